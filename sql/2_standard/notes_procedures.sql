-- One row per stay, procedure and day of which its texts say that it was done in this stay.
-- key:  stay_id, told_number
-- from: notes.facts, notes.texts
--
-- A day before the admission tells of what was done elsewhere, one after the stay's end is a slip: neither counts here.
-- What a text tells once with and once without a day is one procedure.
with told as (
    select
        texts.stay_id,
        texts.clinic,
        facts.code as procedure_code,
        coalesce(facts.fact_date, if(facts.is_day_written, null, texts.own_date)) as procedure_date,
        facts.result
    from notes.facts as facts
    inner join notes.texts as texts on facts.text_number = texts.text_number
    where facts.axis = 'procedure' and facts.status = 'present' and texts.is_of_one_animal
        and (facts.fact_date is null or facts.fact_date between texts.admission_date and texts.last_date)
),

once as (
    select
        stay_id,
        any_value(clinic) as clinic,
        procedure_code,
        procedure_date,
        case when count(distinct result) = 1 then min(result) end as procedure_result_code
    from told
    group by stay_id, procedure_code, procedure_date
)

select *, row_number() over (partition by stay_id order by procedure_date nulls last, procedure_code) as told_number
from once
qualify procedure_date is not null or count(*) over (partition by stay_id, procedure_code) = 1
