-- One band or chip stands on animals of different groups.
-- level: question
-- remedy: Check the band and the species at the clinic
-- from: standard.stays
with groups as (
    select band, count(distinct taxon_group_code) as group_count
    from standard.stays
    where band is not null and taxon_group_code <> 'unmapped'
    group by band
)

select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    stays.band || ' on ' || stays.taxon_group_code as detail
from standard.stays as stays
inner join groups on stays.band = groups.band and groups.group_count > 1
