-- One row per stay, finding and day that its texts tell of.
-- key:  stay_id, told_number
-- from: notes.facts, notes.texts, codes.notes_beside
--
-- Of one day only what says most counts (codes/notes_beside.csv), and nothing of gear if texts say two things of it.
-- Lead is given in ug/dL; 1 ppm is 100 ug/dL, 1 umol/L is 20.72 (207.2 g to the mole); without a unit, or only "below"
-- a number, the level has no value.
with told as (
    select
        texts.stay_id,
        texts.clinic,
        facts.code as finding_code,
        coalesce(facts.fact_date, if(facts.is_day_written, null, texts.own_date)) as finding_date,
        as_number(replace(nullif(regexp_extract(facts.result, '^[0-9]+([.,][0-9]+)?'), ''), ',', '.'), '.')
        * case regexp_extract(regexp_replace(lower(facts.result), '(µ|μ|mc|micro)(g|mol)', 'u\2'), '[a-z/]+$')
            when 'ug/dl' then 1 when 'ug/l' then 0.1 when 'ppm' then 100 when 'mg/l' then 100 when 'umol/l' then 20.72
        end as finding_value
    from notes.facts as facts
    inner join notes.texts as texts on facts.text_number = texts.text_number
    where facts.axis = 'finding' and facts.status = 'present' and texts.is_of_one_animal
        and (facts.fact_date is null or facts.fact_date between texts.admission_date and texts.last_date)
),

once as (
    select
        stay_id, any_value(clinic) as clinic, finding_code, finding_date,
        case when count(distinct finding_value) = 1 then min(finding_value) end as finding_value
    from told
    group by stay_id, finding_code, finding_date
),

telling as (
    select once.*
    from once
    anti join (
        select less.stay_id, less.finding_code, less.finding_date
        from once as less
        inner join codes.notes_beside as beside on beside.axis = 'finding' and less.finding_code = beside.code
        inner join once as more
            on less.stay_id = more.stay_id and beside.beside = more.finding_code
            and less.finding_date is not distinct from more.finding_date
    ) as less
        on once.stay_id = less.stay_id and once.finding_code = less.finding_code
        and once.finding_date is not distinct from less.finding_date
)

select
    *,
    if(starts_with(finding_code, 'gear_'), 'gear', finding_code) as finding_of,
    row_number() over (partition by stay_id order by finding_date nulls last, finding_code) as told_number
from telling
qualify finding_date is null or count(*) over (partition by stay_id, finding_of, finding_date) = 1
