-- One row per clinic: how many records stand in each room, each counted there anew.
-- key:  clinic
-- from: raw.files, clinic.sources, layout.stays, stage.stay_rows, stage.stays, standard.stays, mart.stays, mart.cases
with files as (
    select
        files.clinic,
        sum(files.records_counted) as counted,
        sum(files.title_rows + files.totals_rows) as set_aside,
        sum(files.left_out_rows) as left_out,
        sum(files.refused_rows) as refused_on_reading,
        sum(files.raw_rows) as rows_read,
        sum(if(sources.has_stays, files.raw_rows, 0)) as patient_rows
    from raw.files as files
    inner join clinic.sources as sources on files.clinic = sources.clinic and files.source = sources.source
    group by files.clinic
),

laid_out as (
    select clinic, count(*) as stay_records from layout.stays group by clinic
),

read_rows as (
    select clinic, count(*) filter (where refusal_reason is not null) as refused_stays
    from stage.stay_rows
    group by clinic
),

standing as (
    select
        clinic,
        count(*) as staged,
        count(*) filter (where standing = 'current') as current_records,
        count(*) filter (where standing = 'superseded') as superseded,
        count(*) filter (where standing = 'repeat') as repeats,
        coalesce(sum(animal_count - 1) filter (where standing = 'current' and animal_count > 1), 0) as more_animals
    from stage.stays
    group by clinic
),

animals as (
    select clinic, count(*) as stays from standard.stays group by clinic
),

in_cases as (
    select stays.clinic, count(*) as stays_in_cases
    from mart.stays as stays
    inner join mart.cases as cases on stays.case_id = cases.case_id
    group by stays.clinic
)

select clinic, coalesce(columns(* exclude (clinic)), 0)
from files
left join laid_out using (clinic)
left join read_rows using (clinic)
left join standing using (clinic)
left join animals using (clinic)
left join in_cases using (clinic)
