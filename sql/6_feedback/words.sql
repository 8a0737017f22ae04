-- One row per word or place of a clinic that nobody could code or find: only the clinic knows what it means.
-- key:  clinic, field, word
-- from: standard.coded_words, standard.stays, clinic.gazetteer
with words as (
    select clinic, field, word, times from standard.coded_words where code = 'unmapped'
),

places as (
    select clinic, 'found_place' as field, found_place as word, count(distinct incident_id) as times
    from standard.stays
    where found_place is not null and place_origin is null and exists (select 1 from clinic.gazetteer)
    group by clinic, found_place
)

select clinic, field, word, times from words
union all
select clinic, field, word, times from places
