-- One row per pair of stays that may be one animal, so that their likeness is worth weighing.
-- key:  kind, earlier_number, later_number
-- from: link.compared_stays, link.possible_second_entries, clinic.link_decisions
--
-- hand_over: a stay that ended in a transfer, and admissions elsewhere from the day before to a week after it; of a stay
-- whose last day nobody knows, admissions within half a year that name its clinic, or within a month where it names them.
-- What the clinics state against a pair forbids it: another band, another group of animals, another clinic named. A group
-- that is not known forbids nothing where one clinic names the other. Steward's decisions are not weighed again.
-- is_…_choice: of the animals of one clutch's record the first, so that the record counts as one choice.
with stays as (
    select * from link.compared_stays
),

decided as (
    select first.compared_number as first_number, second.compared_number as second_number
    from clinic.link_decisions as decisions
    inner join stays as first on decisions.first_stay_id = first.stay_id
    inner join stays as second on decisions.second_stay_id = second.stay_id
),

leaving as (
    select *, unnest(range(-1, 8)) as days_on_the_way
    from stays
    where outcome_class = 'transferred' and outcome_date is not null
),

pairs as (
    select 'hand_over' as kind, before.compared_number as earlier_number, after.compared_number as later_number
    from leaving as before
    inner join stays as after
        on before.taxon_group_code = after.taxon_group_code
        and before.outcome_date + cast(before.days_on_the_way as integer) = after.admission_date
    union all
    select 'hand_over', before.compared_number, after.compared_number
    from leaving as before
    inner join stays as after
        on before.outcome_date + cast(before.days_on_the_way as integer) = after.admission_date
        and before.transferred_to = after.clinic
    where before.taxon_group_code is null or after.taxon_group_code is null
    union all
    select 'hand_over', before.compared_number, after.compared_number
    from stays as before
    inner join stays as after on before.clinic = after.other_clinic
    where before.outcome_date is null and before.outcome_class in ('transferred', 'unknown', 'pending')
        and after.admission_date between before.admission_date and before.admission_date + 180
        and coalesce(before.taxon_group_code = after.taxon_group_code, true)
    union all
    select 'hand_over', before.compared_number, after.compared_number
    from stays as before
    inner join stays as after on before.transferred_to = after.clinic
    where before.outcome_date is null and before.outcome_class = 'transferred' and after.other_clinic is null
        and after.admission_date between before.admission_date and before.admission_date + 30
        and coalesce(before.taxon_group_code = after.taxon_group_code, true)
    union all
    select 'second_entry', earlier_number, later_number from link.possible_second_entries
)

select
    pairs.kind,
    pairs.earlier_number,
    pairs.later_number,
    before.animal_number = 1 as is_earlier_choice,
    after.animal_number = 1 as is_later_choice
from pairs
inner join stays as before on pairs.earlier_number = before.compared_number
inner join stays as after on pairs.later_number = after.compared_number
anti join decided
    on least(pairs.earlier_number, pairs.later_number) = decided.first_number
    and greatest(pairs.earlier_number, pairs.later_number) = decided.second_number
where
    coalesce(before.band = after.band, true)
    and after.admission_date >= before.admission_date
    and (
        pairs.kind = 'second_entry'
        or before.clinic <> after.clinic
        and coalesce(before.transferred_to = after.clinic, true)
        and coalesce(after.other_clinic = before.clinic, true)
    )
