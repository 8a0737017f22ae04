-- The only piece of gear was removed or passed, yet the animal is said to have left with gear; or the other way round.
-- level: question
-- remedy: Correct what became of the gear, or whether the animal left with it, at the clinic
-- from: mart.cases, mart.stays, mart.gear_items
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    'gear ' || items.gear_fate_code || ', left with gear: ' || cases.gear_at_release_code as detail
from mart.cases as cases
inner join mart.stays as stays on cases.case_id = stays.case_id and stays.is_last
inner join mart.gear_items as items on cases.case_id = items.case_id
where cases.gear_item_count = 1 and cases.outcome_class = 'released'
    and (
        (items.gear_fate_code in ('removed', 'passed') and cases.gear_at_release_code = 'yes')
        or (items.gear_fate_code = 'left_in' and cases.gear_at_release_code = 'no')
    )
