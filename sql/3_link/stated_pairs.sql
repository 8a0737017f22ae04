-- One row per pair of stays that the clinics themselves say are one animal on its way between clinics.
-- key:  earlier_stay_id, later_stay_id
-- from: standard.stays, codes.outcome
--
-- Three statements count: the later stay names the earlier clinic's number, the earlier names the later's, or
-- both carry one band and the earlier ended in a transfer. The hand-over must be possible: the earlier stay ended in
-- no death and no release (a released animal that comes again is another case), and the later admission lies from
-- one day before the earlier stay's end to seven days after it (a night on the way, a late entry).
with before as (
    select * from standard.stays
),

after as (
    select * from standard.stays
),

by_other_number as (
    select before.stay_id as earlier_stay_id, after.stay_id as later_stay_id, 'the later clinic names the number' as why
    from after
    inner join before on after.other_clinic_number = before.own_number and after.clinic <> before.clinic
    where coalesce(after.other_clinic, before.clinic) = before.clinic
    union all
    select before.stay_id, after.stay_id, 'the earlier clinic names the number'
    from before
    inner join after on before.other_clinic_number = after.own_number and after.clinic <> before.clinic
    where coalesce(before.other_clinic, before.transferred_to, after.clinic) = after.clinic
),

by_band as (
    select before.stay_id as earlier_stay_id, after.stay_id as later_stay_id, 'one band, and a transfer' as why
    from before
    inner join after on before.band = after.band and before.stay_id <> after.stay_id
    where before.outcome_code = 'transferred_out'
),

said as (
    select * from by_other_number
    union all
    select * from by_band
)

select
    said.earlier_stay_id,
    said.later_stay_id,
    string_agg(distinct said.why, '; ' order by said.why) as reason
from said
inner join standard.stays as before on said.earlier_stay_id = before.stay_id
inner join standard.stays as after on said.later_stay_id = after.stay_id
left join codes.outcome as ending on before.outcome_code = ending.code
where
    coalesce(ending.outcome_class, 'unknown') not in ('released', 'died', 'euthanased')
    and after.admission_date >= coalesce(before.outcome_date, before.admission_date) - 1
    and after.admission_date <= coalesce(before.outcome_date, before.admission_date) + 7
    and (after.admission_date, after.stay_id) > (before.admission_date, before.stay_id)
    and before.taxon_group_code = after.taxon_group_code
group by said.earlier_stay_id, said.later_stay_id
