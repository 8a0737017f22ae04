-- One row per area, number of new bins and candidate site: whether the best set holds it, and how firmly.
-- key:  area, bins, site_id
-- from: result.bin_choices, mart.sites
--
-- columns:
--   area: a council, or all councils
--   bins: new bins at most
--   site_id: the council's id of the site
--   site: name of the site
--   is_chosen: whether the best set holds it
--   chosen_in_100: in how many of 100 records, such as might have been, the best set holds it
select
    choices.area, cast(choices.bins as integer) as bins, choices.site_id, sites.site, choices.is_chosen,
    cast(round(choices.chosen_in_100) as integer) as chosen_in_100
from result.bin_choices as choices
inner join mart.sites as sites on choices.site_id = sites.site_id
order by choices.area, choices.bins, choices.site_id
