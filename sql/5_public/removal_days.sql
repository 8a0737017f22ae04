-- Days from first admission to the removal of the gear, by the kind of the attempt that got it out.
-- key:  axis, code
-- from: result.removal_days, withhold.decisions, codes.words_for_codes
--
-- columns:
--   axis: all, treatment or procedure
--   code: the kind of the first successful attempt, or all
--   label: the kind in words
--   animals: animals whose gear was got out by it, with a known day
--   median_days: median days from first admission to removal
--   quartile_low: first quartile, days
--   quartile_high: third quartile, days
--   note: why a figure is missing
with decided as (
    select
        removal.*,
        decisions.reason,
        decisions.reason is null and removal.animals >= $minimum_for_percentage as has_figures
    from result.removal_days as removal
    left join withhold.decisions as decisions on 'removal|' || axis || '=' || code = decisions.cell
)

select
    decided.axis,
    decided.code,
    coalesce(kinds.label, 'All kinds') as label,
    case when reason is null then animals end as animals,
    case when has_figures then median_days end as median_days,
    case when has_figures then quartile_low end as quartile_low,
    case when has_figures then quartile_high end as quartile_high,
    case
        when reason is not null then 'withheld: ' || reason
        when not has_figures then 'too few for a quartile'
    end as note
from decided
left join codes.words_for_codes as kinds on decided.axis = kinds.vocabulary and decided.code = kinds.code
order by decided.axis, decided.code
