-- The gear sits in a part of the body that such an animal does not have.
-- level: question
-- remedy: Correct the species or the part of the body at the clinic, or the code of one of the two words
-- from: mart.gear_items, mart.cases, mart.stays, codes.impossible_site
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    items.body_site_code || ' of ' || cases.taxon_group_code as detail
from mart.gear_items as items
inner join mart.cases as cases on items.case_id = cases.case_id
inner join mart.stays as stays on cases.case_id = stays.case_id and stays.stay_number = 1
inner join codes.impossible_site as impossible
    on items.body_site_code = impossible.body_site and cases.taxon_group_code = impossible.taxon_group
