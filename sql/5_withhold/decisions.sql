-- One row per cell that is withheld, and why.
-- key:  cell
-- from: withhold.cells
--
-- A cell that rests on fewer clinics than the network allows is withheld, for each of two clinics could take its
-- own animals away and read the other's. Where that leaves one gap in a family, the smallest other cell is
-- withheld too, or the total less the rest would fill the gap. The second gap may open one in another family;
-- two rounds close them.
with first_gaps as (
    select cell, family, animals, clinics < $minimum_clinics as is_gap
    from withhold.cells
),

second_gaps as (
    select
        *,
        is_gap or (
            count_if(is_gap) over (partition by family) = 1
            and row_number() over (partition by family, is_gap order by animals, cell) = 1
        ) as is_gap_now
    from first_gaps
),

spread as (
    select cell, family, animals, is_gap, bool_or(is_gap_now) over (partition by cell) as is_gap_now
    from second_gaps
),

third_gaps as (
    select
        *,
        is_gap_now or (
            count_if(is_gap_now) over (partition by family) = 1
            and row_number() over (partition by family, is_gap_now order by animals, cell) = 1
        ) as is_gap_at_last
    from spread
)

select
    cell,
    case when bool_or(is_gap) then 'fewer than ' || $minimum_clinics || ' clinics' else 'would give away a withheld cell' end
        as reason
from third_gaps
group by cell
having bool_or(is_gap_at_last)
