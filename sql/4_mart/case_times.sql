-- One row per case: whole days from its time zero to ending or last sight, and the class of the ending.
-- key:  case_id
-- from: mart.stays, mart.procedures, mart.findings, link.case_starts, codes.outcome
--
-- Unresolved cases keep what is known: 'pending' until its newest export, 'transferred' until the transfer,
-- 'unknown' until the last thing that was written of it. An ending without a day has no stay_days.
-- Early endings are counted from the case's time zero: what a second clinic says of its own stay ("dead on arrival",
-- "within 24 hours") is true of that stay and not of the case, so that a case of several stays goes by its days.
with spans as (
    select
        case_id,
        max_by(outcome_code, stay_number) filter (where is_last) as outcome_code,
        max_by(outcome_status_code, stay_number) filter (where is_last) as outcome_status_code,
        max_by(outcome_timing_code, stay_number) filter (where is_last) as stated_timing_code,
        count(stay_number) = 1
            and bool_and(not is_timing_from_dates or outcome_timing_code = 'before_admission') as is_timing_stated,
        max(outcome_date) filter (where is_last) as outcome_date,
        max(export_date) filter (where is_last) as export_date,
        max(admission_date) filter (where is_last) as last_admission_date
    from mart.stays
    group by case_id
),

last_words as (
    select case_id, max(day) as last_date
    from (
        select case_id, procedure_date as day from mart.procedures
        union all
        select case_id, finding_date from mart.findings
    )
    group by case_id
),

classed as (
    select
        spans.*,
        starts.time_zero,
        starts.first_admission_date,
        starts.entry_days,
        case
            when spans.outcome_status_code = 'in_care' then 'pending'
            when spans.outcome_status_code in ('record_lost', 'not_stated') then 'unknown'
            else coalesce(outcome.outcome_class, 'unknown')
        end as outcome_class,
        greatest(spans.last_admission_date, coalesce(last_words.last_date, spans.last_admission_date)) as last_date
    from spans
    inner join link.case_starts as starts on spans.case_id = starts.case_id
    left join codes.outcome as outcome on spans.outcome_code = outcome.code
    left join last_words on spans.case_id = last_words.case_id
),

dated as (
    select
        *,
        date_diff('day', time_zero, case
            when outcome_class = 'pending' then export_date
            when outcome_class = 'unknown' then coalesce(outcome_date, least(last_date, export_date))
            else outcome_date
        end) as days
    from classed
)

select
    case_id,
    outcome_class,
    case when days >= entry_days then days end as stay_days,
    entry_days,
    case
        when is_timing_stated then stated_timing_code
        when days = entry_days and outcome_class not in ('pending', 'unknown') then 'within_24_hours'
        when days = entry_days + 1 and outcome_class not in ('pending', 'unknown') then 'next_day'
        when days > entry_days + 1 and outcome_class not in ('pending', 'unknown') then 'later'
    end as outcome_timing_code,
    year(first_admission_date) - if(strftime(first_admission_date, '%m-%d') < $year_starts, 1, 0) as admission_year
from dated
