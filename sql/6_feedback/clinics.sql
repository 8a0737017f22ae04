-- One row per clinic: what it sent, how old that is, and what is open with it.
-- key:  clinic
-- from: clinic.clinics, clinic.missing, raw.files, mart.cases, feedback.questions, feedback.words
--
-- A clinic that could not be read is here too, with nothing sent.
with sent as (
    select clinic, count(*) as files, sum(raw_rows) as records, max(export_date) as newest_export
    from raw.files
    group by clinic
),

admitted as (
    select clinic, count(*) as cases, count(*) filter (where outcome_class = 'pending') as pending
    from mart.cases
    group by clinic
),

asked as (
    select clinic, count(*) as questions from feedback.questions group by clinic
),

unread as (
    select clinic, count(*) as words, sum(times) as times from feedback.words group by clinic
)

select
    clinics.clinic,
    coalesce(clinics.label, clinics.clinic) as label,
    missing.clinic is not null as is_missing,
    coalesce(sent.files, 0) as files,
    cast(coalesce(sent.records, 0) as bigint) as records,
    sent.newest_export,
    date_diff('day', sent.newest_export, cast($as_of as date)) as export_age_days,
    coalesce(admitted.cases, 0) as cases,
    coalesce(admitted.pending, 0) as pending,
    coalesce(asked.questions, 0) as questions,
    coalesce(unread.words, 0) as words,
    cast(coalesce(unread.times, 0) as bigint) as times
from clinic.clinics as clinics
left join clinic.missing as missing on clinics.clinic = missing.clinic
left join sent on clinics.clinic = sent.clinic
left join admitted on clinics.clinic = admitted.clinic
left join asked on clinics.clinic = asked.clinic
left join unread on clinics.clinic = unread.clinic
