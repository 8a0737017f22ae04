-- One row per case: the animal that it is a case of. A readmission under the same band, or one that the steward decided,
-- is the same animal, if it is of the same group: marking schemes of turtles and of birds use the same numbers.
-- key:  case_id
-- from: link.case_stays, link.compared_stays, link.decided_pairs
with recursive bands as (
    select case_stays.case_id, min(stays.band) as band, min(stays.taxon_group_code) as taxon_group_code,
        min(stays.admission_date) as admission_date
    from link.case_stays as case_stays
    inner join link.compared_stays as stays on case_stays.stay_id = stays.stay_id
    group by case_stays.case_id
),

numbered as (
    select *, row_number() over (order by admission_date, case_id) as case_number from bands
),

pairs as (
    select
        case_number,
        min(case_number) over (partition by band, taxon_group_code) as other_number
    from numbered
    where band is not null
    union
    select later.case_number, earlier.case_number
    from link.decided_pairs as decided
    inner join link.case_stays as before on decided.earlier_stay_id = before.stay_id
    inner join link.case_stays as after on decided.later_stay_id = after.stay_id
    inner join numbered as earlier on before.case_id = earlier.case_id
    inner join numbered as later on after.case_id = later.case_id
    where decided.kind = 'readmission'
),

ways as (
    select case_number, other_number from pairs where case_number <> other_number
    union
    select other_number, case_number from pairs where case_number <> other_number
),

reached as (
    select distinct case_number, case_number as first_number from ways
    union
    select ways.other_number, reached.first_number
    from reached
    inner join ways on reached.case_number = ways.case_number
    where reached.first_number < ways.other_number
),

firsts as (
    select case_number, min(first_number) as first_number from reached group by case_number
)

select numbered.case_id, coalesce(animal.case_id, numbered.case_id) as animal_id
from numbered
left join firsts on numbered.case_number = firsts.case_number
left join numbered as animal on firsts.first_number = animal.case_number
