-- One row per cell that tells what texts add to a group, sum that it stands in and clinic: the cases that it rests on.
-- key:  cell, family, clinic
-- from: mart.notes_cells
--
-- Whoever knows a group with and without texts knows the difference: so the figures without texts rest on the clinics
-- whose cases differ, or, where none does, on all of the group's. A total that is the same either way says nothing of its
-- groups: what one loses another gains. How many cases owe anything to texts is a cell too.
with counted as (
    select
        *,
        sum(differing) over (partition by grouping, group_code) = 0 as is_same
    from mart.notes_cells
),

cells as (
    select 'without' as what, grouping, group_code, clinic, is_same, if(is_same, animals_with, differing) as animals
    from counted
    union all
    select 'owing', grouping, group_code, clinic, false, owing
    from counted
)

select what || '|' || grouping || '=' || group_code as cell, what || '|' || grouping as family, clinic, animals
from cells
where animals > 0
union all
select totals.what || '|all=all', totals.what || '|' || groupings.grouping, totals.clinic, totals.animals
from cells as totals
cross join (select distinct grouping from cells where grouping <> 'all') as groupings
where totals.grouping = 'all' and totals.animals > 0 and not totals.is_same
