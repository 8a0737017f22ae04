-- One row per injury, group of animals, body site, treatment and severity band: resolved live admissions, and those released.
-- key:  injury_code, taxon_group_code, body_site_code, treatment_code, stratum
-- from: mart.cases, mart.treatments, codes.case_mix
--
-- The treatment 'all' is every such animal once, whatever was done: the case mix that treatments are set to. Animals
-- without a stated severity have no band and are not here.
with banded as (
    select
        cases.case_id,
        coalesce(cases.injury_code, 'not_stated') as injury_code,
        cases.taxon_group_code,
        coalesce(cases.body_site_code, 'not_stated') as body_site_code,
        severity.stratum,
        cases.outcome_class = 'released' as is_released
    from mart.cases as cases
    inner join codes.case_mix as severity on severity.vocabulary = 'severity' and cases.severity_code = severity.code
    where cases.is_tackle and cases.is_alive_on_arrival and cases.outcome_class in ('released', 'died', 'euthanased')
),

treated as (
    select *, 'all' as treatment_code from banded
    union all
    select banded.*, treatments.treatment_code
    from mart.treatments as treatments
    inner join banded on treatments.case_id = banded.case_id
),

grouped as (
    select
        injury_code, treatment_code, stratum, is_released,
        unnest([
            struct_pack(taxon := 'all', site := 'all'),
            struct_pack(taxon := taxon_group_code, site := 'all'),
            struct_pack(taxon := 'all', site := body_site_code),
            struct_pack(taxon := taxon_group_code, site := body_site_code)
        ], recursive := true)
    from treated
)

select
    injury_code,
    taxon as taxon_group_code,
    site as body_site_code,
    treatment_code,
    stratum,
    count(*) filter (where is_released) as released,
    count(*) as resolved
from grouped
where taxon is not null
group by all
