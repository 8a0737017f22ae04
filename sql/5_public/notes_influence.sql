-- How far what was read in the clinics' texts moves counts and release rates: one row per group of tackle cases.
-- key:  grouping, group_code
-- from: result.notes_influence, withhold.decisions, codes.words_for_codes
--
-- columns:
--   grouping: baseline feature by which cases are grouped; all = every tackle case
--   group_code: shared code of the group
--   group_label: the group in words
--   animals_with: tackle cases of the group, texts read
--   animals_without: tackle cases of the group by columns alone
--   owing: cases of the group of which anything (tackle, procedure, finding, ending) was read in a text
--   resolved_with: live admissions whose case is resolved, texts read
--   resolved_without: live admissions whose case is resolved, by columns alone
--   released_with: of them released, texts read
--   released_without: of them released, by columns alone
--   percent_with: released in percent of resolved, texts read; empty below the network's floor
--   percent_without: the same by columns alone
--   points_moved: percent_with less percent_without, percentage points
--   note: why a figure is missing
with decided as (
    select
        influence.*,
        coalesce(whole.reason, difference.reason) as reason,
        whole.reason is null as is_with_shown,
        whole.reason is null and difference.reason is null as is_without_shown,
        whole.reason is null and owing_cell.reason is null as is_owing_shown
    from result.notes_influence as influence
    left join withhold.decisions as whole
        on influence.grouping || '=' || influence.group_code = whole.cell
    left join withhold.decisions as difference
        on 'without|' || influence.grouping || '=' || influence.group_code = difference.cell
    left join withhold.decisions as owing_cell
        on 'owing|' || influence.grouping || '=' || influence.group_code = owing_cell.cell
),

floored as (
    select
        *,
        is_with_shown and resolved_with >= $minimum_for_percentage as has_percent_with,
        is_without_shown and resolved_without >= $minimum_for_percentage as has_percent_without
    from decided
)

select
    floored.grouping,
    floored.group_code,
    coalesce(words.label, floored.group_code) as group_label,
    case when is_with_shown then animals_with end as animals_with,
    case when is_without_shown then animals_without end as animals_without,
    case when is_owing_shown then owing end as owing,
    case when is_with_shown then resolved_with end as resolved_with,
    case when is_without_shown then resolved_without end as resolved_without,
    case when is_with_shown then released_with end as released_with,
    case when is_without_shown then released_without end as released_without,
    case when has_percent_with then round(percent_with, 4) end as percent_with,
    case when has_percent_without then round(percent_without, 4) end as percent_without,
    case when has_percent_with and has_percent_without then round(points_moved, 4) end as points_moved,
    case
        when not is_with_shown or not is_without_shown then 'withheld: ' || reason
        when not (has_percent_with and has_percent_without) then 'too few for a percentage'
    end as note
from floored
left join codes.words_for_codes as words on floored.grouping = words.vocabulary and floored.group_code = words.code
order by floored.grouping, floored.group_code
