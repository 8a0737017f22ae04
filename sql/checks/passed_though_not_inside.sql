-- Gear is said to have passed that sat in a part of the body from which nothing can pass.
-- level: question
-- remedy: Ask the clinic whether the gear fell out or was removed, or where it sat
-- from: mart.gear_items, mart.stays, codes.body_site
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    'passed from ' || items.body_site_code as detail
from mart.gear_items as items
inner join codes.body_site as site on items.body_site_code = site.code
inner join mart.stays as stays on items.case_id = stays.case_id and stays.stay_number = 1
where items.gear_fate_code = 'passed' and site.is_deep = 'no'
    and items.body_site_code not in ('several_sites', 'unknown_site', 'mouth', 'tongue')
