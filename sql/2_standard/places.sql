-- One row per place that an export names: its point in the network's gazetteer, if one place is clearly meant.
-- key:  found_place
-- from: stage.stays, clinic.gazetteer, codes.place_words
--
-- An exact name (case, accents and blanks aside) is that place. A misspelt one is the nearest name if the spelling is
-- close (at most a sixth of its letters off) and no other place is nearly as close. Numbers must agree, and words such
-- as 'north' or 'upper' must be the place's own: 'Ramp 1' is no slip for 'Ramp 2'. Anything else is asked, not guessed.
with known as (
    select
        place, latitude, longitude, uncertainty_m, folded(place) as name,
        latitude || ' ' || longitude as point,
        regexp_extract_all(folded(place), '[0-9]+') as numbers,
        list_intersect(string_split(folded(place), ' '), (select list(folded(word)) from codes.place_words)) as telling_words
    from clinic.gazetteer
),

said as (
    select
        found_place,
        folded(found_place) as name,
        regexp_extract_all(folded(found_place), '[0-9]+') as numbers,
        list_intersect(string_split(folded(found_place), ' '), (select list(folded(word)) from codes.place_words))
            as telling_words
    from (select distinct found_place from stage.stays where found_place is not null)
),

compared as (
    select
        said.found_place,
        known.place, known.latitude, known.longitude, known.uncertainty_m, known.point,
        1 - damerau_levenshtein(said.name, known.name) / greatest(len(said.name), len(known.name)) as likeness,
        said.numbers = known.numbers and list_has_all(known.telling_words, said.telling_words)
            and len(string_split(said.name, ' ')) = len(string_split(known.name, ' ')) as may_be_a_slip
    from said
    inner join known on abs(len(said.name) - len(known.name)) <= 3
),

ranked as (
    select
        *,
        row_number() over (partition by found_place order by likeness desc, may_be_a_slip desc, place, point) as rank,
        max(likeness) over (partition by found_place) as best
    from compared
),

rivals as (
    select ranked.found_place, max(ranked.likeness) as likeness
    from ranked
    inner join ranked as first on ranked.found_place = first.found_place and first.rank = 1
    where ranked.point <> first.point
    group by ranked.found_place
)

select
    ranked.found_place,
    ranked.place,
    ranked.latitude,
    ranked.longitude,
    ranked.uncertainty_m,
    case
        when coalesce(rivals.likeness, 0) > 0.999 then null
        when ranked.likeness > 0.999 then 'exact'
        when ranked.may_be_a_slip and ranked.likeness >= 0.83 and coalesce(rivals.likeness, 0) <= ranked.likeness - 0.1
            then 'spelling'
    end as match
from ranked
left join rivals on ranked.found_place = rivals.found_place
where ranked.rank = 1 and ranked.likeness >= 0.6
