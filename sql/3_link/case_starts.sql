-- One row per case: the day from which its time runs, and how many days later it came under the clinics' eyes.
-- key:  case_id
-- from: link.case_stays, link.compared_stays
--
-- Time zero is the first admission. An animal that came from another clinic or carer whose record is not here was in
-- care before: animals that died there never came, so that its first days must not count as survived under our eyes
-- (left truncation). Its time runs from the day on which it was found, and it is observed from its first admission here.
-- Without a day of finding, or with one more than sixty days back, nothing is known of the days before: time runs from the
-- admission.
select
    case_stays.case_id,
    case
        when stays.other_clinic is not null and stays.found_date between stays.admission_date - 60 and stays.admission_date
            then stays.found_date
        else stays.admission_date
    end as time_zero,
    stays.admission_date as first_admission_date,
    date_diff('day', time_zero, first_admission_date) as entry_days
from link.case_stays as case_stays
inner join link.compared_stays as stays on case_stays.stay_id = stays.stay_id
where case_stays.stay_number = 1
