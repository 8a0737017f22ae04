-- One row per cell that is withheld, and why.
-- key:  cell
-- from: withhold.cells
--
-- A cell that rests on fewer clinics than the network allows is withheld, for each of two clinics could take its
-- own animals away and read the other's. A family's total less what is shown gives what is withheld: so with it the
-- smallest other cells are withheld, until at least two cells and enough clinics stand behind that rest. That may
-- open a gap in another family of the same cells; six rounds close them all (a test looks whether they did).
with recursive rounds as (
    select
        cell, family, animals, clinics,
        bool_or(len(clinics) < $minimum_clinics) over (partition by cell) as is_small,
        bool_or(len(clinics) < $minimum_clinics) over (partition by cell) as is_withheld,
        0 as round
    from withhold.cells
    union all
    select
        cell, family, animals, clinics, is_small,
        bool_or(
            is_withheld
            or (has_gap and (len(behind) < 2 or len(list_distinct(flatten(behind))) < $minimum_clinics))
        ) over (partition by cell),
        round + 1
    from (
        select
            *,
            bool_or(is_withheld) over (partition by family) as has_gap,
            list(clinics) over (
                partition by family order by not is_withheld, animals, cell
                rows between unbounded preceding and 1 preceding
            ) as behind
        from rounds
        where round < 6
    )
)

select
    cell,
    case
        when bool_or(is_small) then 'fewer than ' || $minimum_clinics || ' clinics'
        else 'would give away a withheld cell'
    end as reason
from rounds
where round = 6 and is_withheld
group by cell
