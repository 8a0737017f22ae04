-- One row per pair of stays that a steward decided to be one animal: how they follow each other, or why they cannot.
-- key:  earlier_stay_id, later_stay_id
-- from: clinic.link_decisions, link.compared_stays
--
-- readmission: the animal had been released, so that its return is another case of the same animal. A decision overrules
-- bands, which are lost and misread, but neither death nor being in two places at once.
with sides as (
    select
        first.stay_id as first_stay_id, second.stay_id as second_stay_id,
        first.admission_date < second.admission_date
            or first.admission_date = second.admission_date
                and (first.outcome_class = 'transferred' or second.outcome_class <> 'transferred') as is_first_earlier
    from clinic.link_decisions as decisions
    inner join link.compared_stays as first on decisions.first_stay_id = first.stay_id
    inner join link.compared_stays as second on decisions.second_stay_id = second.stay_id
    where decisions.decision = 'same'
),

ordered as (
    select
        if(is_first_earlier, first_stay_id, second_stay_id) as earlier_stay_id,
        if(is_first_earlier, second_stay_id, first_stay_id) as later_stay_id
    from sides
),

judged as (
    select
        ordered.*,
        before.clinic = after.clinic as is_one_clinic,
        coalesce(before.outcome_date > after.admission_date, before.outcome_class in ('pending', 'unknown'))
            or before.admission_date = after.admission_date as is_at_one_time,
        coalesce(before.outcome_date - 1 > after.admission_date, false) as is_overlapping,
        before.outcome_class in ('died', 'euthanased') as is_dead,
        before.outcome_class = 'released' as is_released,
        before.taxon_group_code <> after.taxon_group_code as is_other_group
    from ordered
    inner join link.compared_stays as before on ordered.earlier_stay_id = before.stay_id
    inner join link.compared_stays as after on ordered.later_stay_id = after.stay_id
)

select
    earlier_stay_id,
    later_stay_id,
    case
        when is_other_group then null
        when is_one_clinic and is_at_one_time then 'second_entry'
        when is_dead or is_overlapping then null
        when is_released then 'readmission'
        else 'hand_over'
    end as kind,
    case
        when is_other_group then 'they are of two groups of animals'
        when is_one_clinic and is_at_one_time then null
        when is_dead then 'the animal of the first was dead before the second'
        when is_overlapping then 'they were at two clinics at one time'
    end as why_not
from judged
