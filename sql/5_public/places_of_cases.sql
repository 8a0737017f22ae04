-- One row per way in which a case stands to the councils and sites; every case stands in one, and 'all' is their sum.
-- key:  place_standing
-- from: mart.case_places, place.councils, withhold.decisions
--
-- columns:
--   place_standing: all, at_site, away_from_sites, too_uncertain, just_outside, outside, no_place
--   label: the same in words
--   cases: cases of any cause
--   note: why the number is missing
with counted as (
    select unnest([place_standing, 'all']) as place_standing, count(*) as cases
    from mart.case_places
    group by 1
),

words as (
    select unnest([
        struct_pack(place_standing := 'all', label := 'All cases', position := 0),
        struct_pack(place_standing := 'at_site', label := 'At a candidate site', position := 1),
        struct_pack(place_standing := 'away_from_sites', label := 'In a council, at no candidate site', position := 2),
        struct_pack(place_standing := 'too_uncertain', label := 'In a council, place known too roughly', position := 3),
        struct_pack(place_standing := 'just_outside', label := 'Just outside every council', position := 4),
        struct_pack(place_standing := 'outside', label := 'Farther outside every council', position := 5),
        struct_pack(place_standing := 'no_place', label := 'No place known', position := 6)
    ], recursive := true)
)

select
    words.place_standing,
    words.label,
    if(decisions.cell is null, coalesce(counted.cases, 0), null) as cases,
    if(decisions.cell is null, null, 'withheld: ' || decisions.reason) as note
from words
left join counted on words.place_standing = counted.place_standing
left join withhold.decisions as decisions on 'place_standing=' || words.place_standing = decisions.cell
where exists (select 1 from place.councils)
order by words.position
