-- One row per procedure of a current stay, in the shared codes: the columns' word, and what only its texts tell of.
-- key:  stay_id, procedure_number
-- from: standard.stated_procedures, standard.notes_procedures, codes.procedure, codes.notes_beside
--
-- A text tells of a procedure that stands in the columns if it is the same, or both try to take gear off or out, or
-- one says less beside the other (codes/notes_beside.csv), within two days or without a day: a day late in the diary
-- makes no second operation. Such a text fills only an empty result.
with kinds as (
    select less.code, more.code as same_as
    from codes.procedure as less
    inner join codes.procedure as more
        on less.code = more.code or (less.is_attempt_at_removal = 'yes' and more.is_attempt_at_removal = 'yes')
    union
    select code, beside from codes.notes_beside where axis = 'procedure'
    union
    select beside, code from codes.notes_beside where axis = 'procedure'
),

known as (
    select told.*, stated.procedure_number
    from standard.notes_procedures as told
    inner join kinds on told.procedure_code = kinds.code
    inner join standard.stated_procedures as stated
        on told.stay_id = stated.stay_id and kinds.same_as = stated.procedure_code
        and coalesce(abs(date_diff('day', told.procedure_date, stated.procedure_date)) <= 2, true)
),

results as (
    select stay_id, procedure_number, min(procedure_result_code) as procedure_result_code
    from known
    group by stay_id, procedure_number
    having count(distinct procedure_result_code) = 1
),

all_told as (
    select
        stated.* replace (coalesce(stated.procedure_result_code, results.procedure_result_code) as procedure_result_code),
        if(stated.procedure_result_code is null and results.procedure_result_code is not null, ['procedure_result'], [])
            as axes_from_notes
    from standard.stated_procedures as stated
    left join codes.procedure as list on stated.procedure_code = list.code
    left join results
        on stated.stay_id = results.stay_id and stated.procedure_number = results.procedure_number
        and list.is_attempt_at_removal = 'yes'
    union all by name
    select told.* exclude (told_number), list.procedure_kind, list.treatment_code, ['procedure'] as axes_from_notes
    from standard.notes_procedures as told
    inner join codes.procedure as list on told.procedure_code = list.code
    anti join known on told.stay_id = known.stay_id and told.told_number = known.told_number
)

select
    * exclude (procedure_number),
    row_number() over (
        partition by stay_id order by procedure_date nulls last, procedure_number nulls last, procedure_code
    ) as procedure_number
from all_told
