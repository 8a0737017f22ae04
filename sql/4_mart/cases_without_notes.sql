-- One row per case: what the columns alone say of its tackle and its ending, as in a run with --without-notes.
-- key:  case_id
-- from: mart.cases, mart.gear_items, mart.stays, codes.cause, codes.injury, codes.body_site
--
-- Links between stays are those of the run that reads texts.
with pieces as (
    select
        case_id,
        gear_item_number,
        if(list_contains(axes_from_notes, 'gear'), null, gear_code) as gear_code,
        if(list_contains(axes_from_notes, 'injury'), null, injury_code) as injury_code,
        if(list_contains(axes_from_notes, 'body_site'), null, body_site_code) as body_site_code
    from mart.gear_items
    where is_in_columns
),

principal as (
    select pieces.*
    from pieces
    left join codes.injury as injury on pieces.injury_code = injury.code
    left join codes.body_site as body_site on pieces.body_site_code = body_site.code
    qualify row_number() over (
        partition by pieces.case_id
        order by
            cast(injury.rank as integer) nulls last, cast(body_site.rank as integer) nulls last,
            pieces.gear_item_number
    ) = 1
)

select
    cases.case_id,
    cases.clinic,
    coalesce(cause.is_tackle = 'yes', false) or principal.case_id is not null as is_tackle,
    cases.taxon_group_code,
    principal.injury_code,
    principal.gear_code,
    principal.body_site_code,
    if(stays.is_outcome_from_notes, 'unknown', cases.outcome_class) as outcome_class,
    if(stays.is_outcome_from_notes, null, cases.outcome_timing_code) as outcome_timing_code
from mart.cases as cases
inner join mart.stays as stays on cases.case_id = stays.case_id and stays.is_last
left join codes.cause as cause on cases.cause_code = cause.code
left join principal on cases.case_id = principal.case_id
