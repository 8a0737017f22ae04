-- One row per current stay record: how the stay ended, when in the stay, and whether the record is complete.
-- key:  record_id
-- from: standard.stated_endings, standard.notes_endings
--
-- Texts say how a stay ended where no column says anything of it, and on what day where the columns have the same
-- ending and no day.
with filled as (
    select
        stated.* exclude (outcome_code, arrival_code, outcome_date),
        stated.outcome_code is null and stated.stated_status_code is null and stated.stated_timing_code is null
            and stated.arrival_code is null as is_open,
        coalesce(stated.outcome_code, if(is_open, said.outcome_code, null)) as outcome_code,
        coalesce(stated.arrival_code, if(is_open, said.arrival_code, null)) as arrival_code,
        is_open and coalesce(said.outcome_code, nullif(said.arrival_code, 'alive')) is not null
            as is_outcome_from_notes,
        stated.is_day_open and coalesce(stated.outcome_code, said.outcome_code) = said.outcome_code
            and said.outcome_date is not null and (is_open or stated.outcome_code is not null)
            as is_outcome_date_from_notes,
        if(is_outcome_date_from_notes, said.outcome_date, stated.outcome_date) as outcome_date
    from standard.stated_endings as stated
    left join standard.notes_endings as said on stated.record_id = said.record_id
),

judged as (
    select
        *,
        coalesce(arrival_code = 'dead' or stated_timing_code = 'before_admission', false) as is_dead_on_arrival
    from filled
)

select
    record_id,
    case when is_dead_on_arrival then coalesce(outcome_code, 'died') else outcome_code end as outcome_code,
    case
        when is_dead_on_arrival then 'before_admission'
        when stated_timing_code is not null then stated_timing_code
        when outcome_code is not null and outcome_date = admission_date then 'within_24_hours'
        when outcome_code is not null and outcome_date > admission_date then 'later'
    end as outcome_timing_code,
    case
        when stated_status_code is not null then stated_status_code
        when outcome_code is null and not is_dead_on_arrival then 'not_stated'
        when outcome_code = 'unmapped' then 'not_stated'
        else 'final'
    end as outcome_status_code,
    if(is_dead_on_arrival, 'dead', 'alive') as arrival_code,
    stated_timing_code is null as is_timing_from_dates,
    euthanasia_reason_code,
    transferred_to,
    other_clinic,
    outcome_date,
    coalesce(is_outcome_from_notes, false) as is_outcome_from_notes,
    coalesce(is_outcome_date_from_notes, false) as is_outcome_date_from_notes
from judged
