-- How long cases stayed that ended so: quartiles of whole days; it describes, and compares nothing.
-- key:  grouping, group_code, ending
-- from: result.stays, withhold.decisions, codes.words_for_codes
--
-- columns:
--   grouping: baseline feature by which cases are grouped; all = every tackle case
--   group_code: shared code of the group
--   group_label: the group in words
--   ending: how they ended
--   animals: live admissions that ended so, with a known day
--   median_days: median stay, days
--   quartile_low: first quartile of the stay, days
--   quartile_high: third quartile of the stay, days
--   longest_days: longest stay, days
--   note: why a figure is missing
with decided as (
    select
        stays.*,
        decisions.reason,
        decisions.reason is null and stays.animals >= $minimum_for_percentage as has_figures
    from result.stays as stays
    left join withhold.decisions as decisions on stays.grouping || '=' || stays.group_code = decisions.cell
)

select
    decided.grouping,
    decided.group_code,
    coalesce(words.label, decided.group_code) as group_label,
    decided.ending,
    case when reason is null then animals end as animals,
    case when has_figures then median_days end as median_days,
    case when has_figures then quartile_low end as quartile_low,
    case when has_figures then quartile_high end as quartile_high,
    case when has_figures then longest_days end as longest_days,
    case
        when reason is not null then 'withheld: ' || reason
        when not has_figures then 'too few for a quartile'
    end as note
from decided
left join codes.words_for_codes as words on decided.grouping = words.vocabulary and decided.group_code = words.code
order by decided.grouping, decided.group_code, decided.ending
