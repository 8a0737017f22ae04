-- One row per pair of stays that the clinics' own numbers make one animal: on its way between clinics, or typed twice.
-- key:  earlier_stay_id, later_stay_id
-- from: stage.stays, standard.stays, link.compared_stays
--
-- hand_over: the later stay names the earlier clinic's number, the earlier names the later's, or both carry one band and
-- the earlier did not end there. The hand-over must be possible: no death and no release before it (a released animal
-- that comes again is another case), and the later admission from one day before the earlier stay's end to seven days
-- after it (a night on the way, a late entry), or within half a year of an admission that was never closed. Numbers are compared without blanks and signs, and without leading zeros.
-- second_entry: one band at one clinic at one time.
with numbers as (
    select stay_id, clinic, own_number as number from standard.stays
    union
    select stay_id, clinic, without_zeros(case_number) from standard.stays
),

named as (
    select stay_id, clinic, other_clinic, transferred_to, other_clinic_number as number from standard.stays
    union
    select stays.stay_id, stays.clinic, stays.other_clinic, stays.transferred_to, without_zeros(said.other_clinic_number)
    from standard.stays as stays
    inner join stage.stays as said on stays.record_id = said.record_id
),

said as (
    select numbers.stay_id as earlier_stay_id, named.stay_id as later_stay_id, 'the later clinic names the number' as why
    from named
    inner join numbers on named.number = numbers.number and named.clinic <> numbers.clinic
    where coalesce(named.other_clinic, numbers.clinic) = numbers.clinic
    union
    select named.stay_id, numbers.stay_id, 'the earlier clinic names the number'
    from named
    inner join numbers on named.number = numbers.number and named.clinic <> numbers.clinic
    where coalesce(named.other_clinic, named.transferred_to, numbers.clinic) = numbers.clinic
    union
    select before.stay_id, after.stay_id, 'one band, and a transfer'
    from link.compared_stays as before
    inner join link.compared_stays as after on before.band = after.band and before.stay_id <> after.stay_id
    where before.outcome_class = 'transferred' or (before.outcome_date is null and before.clinic <> after.clinic)
    union
    select before.stay_id, after.stay_id, 'one band at one clinic at one time'
    from link.compared_stays as before
    inner join link.compared_stays as after on before.band = after.band and before.clinic = after.clinic
    where (before.admission_date, before.stay_id) < (after.admission_date, after.stay_id)
        and (
            before.admission_date = after.admission_date
            or coalesce(before.outcome_date > after.admission_date, after.admission_date <= before.admission_date + 3)
        )
)

select
    if(bool_and(said.why = 'one band at one clinic at one time'), 'second_entry', 'hand_over') as kind,
    said.earlier_stay_id,
    said.later_stay_id,
    string_agg(distinct said.why, '; ' order by said.why) as reason
from said
inner join link.compared_stays as before on said.earlier_stay_id = before.stay_id
inner join link.compared_stays as after on said.later_stay_id = after.stay_id
where
    coalesce(before.taxon_group_code = after.taxon_group_code, true)
    and coalesce(before.band = after.band, true)
    and after.admission_date >= before.admission_date
    and (
        said.why = 'one band at one clinic at one time'
        or before.outcome_class in ('transferred', 'unknown', 'pending', 'other_known', 'captive')
        and after.admission_date >= coalesce(before.outcome_date, before.admission_date) - 1
        and after.admission_date <= coalesce(before.outcome_date + 7, before.admission_date + 180)
    )
group by said.earlier_stay_id, said.later_stay_id
