-- One row per council or site and kind of animal or injury found there; tackle incidents, all years.
-- key:  place_kind, place, axis, code
-- from: mart.incidents, codes.words_for_codes, withhold.decisions
--
-- columns:
--   place_kind: council or site
--   place: name of the council, or id of the site
--   axis: taxon_group or injury
--   code: shared code; 'not_told' are animals of sensitive species
--   label: the code in words
--   incidents: tackle incidents
--   note: why the number is missing
with incidents as (
    select
        'council=' || council as council,
        'site=' || site_id as site,
        [
            struct_pack(axis := 'taxon_group', code := if(sensitivity in ('1', '2', '3'), 'not_told', taxon_group_code)),
            struct_pack(axis := 'injury', code := injury_code)
        ] as features
    from mart.incidents
    where is_tackle and is_compared and council is not null
),

counted as (
    select unnest([council, site]) as place, unnest(features, recursive := true)
    from incidents
),

summed as (
    select place, axis, code, count(*) as incidents from counted where place is not null group by all
)

select
    split_part(summed.place, '=', 1) as place_kind,
    split_part(summed.place, '=', 2) as place,
    summed.axis,
    summed.code,
    coalesce(words.label, if(summed.code = 'not_told', 'Sensitive species, not told', summed.code)) as label,
    if(decisions.cell is null, summed.incidents, null) as incidents,
    if(decisions.cell is null, null, 'withheld: ' || decisions.reason) as note
from summed
left join codes.words_for_codes as words on summed.axis = words.vocabulary and summed.code = words.code
left join withhold.decisions as decisions
    on concat(summed.place, '|', summed.axis, '=', summed.code) = decisions.cell
order by place_kind, summed.place, summed.axis, summed.incidents desc, summed.code
