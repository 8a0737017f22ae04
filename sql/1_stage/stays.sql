-- One row per readable stay record, and how it stands to other records of the same stay.
-- key:  record_id
-- from: stage.stay_rows
--
-- Identity is clinic and case number. Within one file a number that stands for two animals (another species or
-- another admission day) keeps both, told apart by animal_in_number; checks/number_for_two_animals.sql asks.
-- standing: 'current' = the newest export's last word; 'repeat' = the same stay again in the same file;
-- 'superseded' = an older export's word.
with numbered as (
    select
        * exclude (refusal_reason),
        dense_rank() over (
            partition by clinic, case_number, file_id
            order by admission_date, folded(coalesce(species, ''))
        ) as animal_in_number
    from stage.stay_rows
    where refusal_reason is null
),

ranked as (
    select
        *,
        row_number() over (
            partition by clinic, case_number, animal_in_number, file_id
            order by row_number desc
        ) as rank_in_file,
        first_value(file_id) over (
            partition by clinic, case_number, animal_in_number
            order by export_date desc, file_id desc
        ) as newest_file_id
    from numbered
)

select
    * exclude (rank_in_file, newest_file_id),
    clinic || ':' || case_number || case when animal_in_number > 1 then '#' || animal_in_number else '' end
        as stay_id,
    case
        when rank_in_file > 1 then 'repeat'
        when file_id <> newest_file_id then 'superseded'
        else 'current'
    end as standing
from ranked
