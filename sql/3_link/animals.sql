-- One row per case: the animal that it is a case of. A readmission under the same band is the same animal, if it
-- is of the same group: marking schemes of turtles and of birds use the same numbers.
-- key:  case_id
-- from: link.case_stays, standard.stays
with bands as (
    select case_stays.case_id, min(stays.band) as band, min(stays.taxon_group_code) as taxon_group_code,
        min(stays.admission_date) as admission_date
    from link.case_stays as case_stays
    inner join standard.stays as stays on case_stays.stay_id = stays.stay_id
    group by case_stays.case_id
)

select
    case_id,
    case
        when band is null then case_id
        else first_value(case_id) over (partition by band, taxon_group_code order by admission_date, case_id)
    end as animal_id
from bands
