-- One row per located case: the grid cell that may be published of its place, or why none may.
-- key:  case_id
-- from: mart.cases, codes.species
--
-- The step is the network's grid, or coarser where the species is sensitive (Chapman 2020, doi:10.15468/doc-5jp4-5g10:
-- category 1 nothing, 2 a tenth of a degree, 3 a hundredth, 4 a thousandth). The published point is the middle of
-- the cell, so that the uncertainty is half the cell's diagonal and that of the place itself, together rounded up to
-- whole heights of a cell: how exactly a clinic states places would else tell its cases apart. A cell with too few
-- cases of one animal group in one year could point to a finder's home or a nest.
with located as (
    select
        cases.case_id, cases.taxon_group_code, cases.admission_year, cases.latitude, cases.longitude,
        cases.place_uncertainty_m, species.sensitivity,
        greatest($grid_degrees, case species.sensitivity when '2' then 0.1 when '3' then 0.01 else 0.001 end) as step
    from mart.cases as cases
    left join codes.species as species on cases.species_code = species.code
    where cases.latitude between -90 and 90 and cases.longitude between -180 and 180
),

gridded as (
    select
        *,
        round((floor(latitude / step) + 0.5) * step, 6) as cell_latitude,
        round((floor(longitude / step) + 0.5) * step, 6) as cell_longitude
    from located
),

counted as (
    select *, count(*) over (partition by cell_latitude, cell_longitude, taxon_group_code, admission_year) as cell_cases
    from gridded
),

decided as (
    select
        *,
        case
            when sensitivity = '1' then 'place (species of the highest sensitivity)'
            when cell_cases < $minimum_cell then 'place (fewer than ' || $minimum_cell || ' such cases there that year)'
        end as why_withheld
    from counted
)

select
    case_id,
    why_withheld,
    case when why_withheld is null then cell_latitude end as cell_latitude,
    case when why_withheld is null then cell_longitude end as cell_longitude,
    case when why_withheld is null then cast(ceil(
        (coalesce(place_uncertainty_m, 0) + 111320 * step / 2 * sqrt(1 + pow(cos(radians(cell_latitude)), 2)))
        / (111320 * step)
    ) * 111320 * step as integer) end as uncertainty_m,
    case when why_withheld is null then 'coordinates to the middle of a geographic grid cell of ' || step || ' degrees'
    end as generalization
from decided
