-- One row per current stay record: what its columns say of how the stay ended, in the shared codes.
-- key:  record_id
-- from: stage.stays, standard.word_codes
--
-- Ending, timing and status are three axes; one word of a clinic ("dead on arrival", "still here") may fill any.
select
    stays.record_id,
    stays.admission_date,
    stays.outcome_date,
    stays.outcome_text is null as is_day_open,
    coalesce(outcome.own, arrival.outcome, outcome_status.outcome) as outcome_code,
    coalesce(outcome_timing.own, outcome.outcome_timing, arrival.outcome_timing) as stated_timing_code,
    coalesce(outcome_status.own, outcome.outcome_status) as stated_status_code,
    coalesce(arrival.own, outcome.arrival) as arrival_code,
    coalesce(euthanasia_reason.own, outcome.euthanasia_reason) as euthanasia_reason_code,
    transferred_to.own as transferred_to,
    other_clinic.own as other_clinic
from stage.stays as stays
left join standard.word_codes as outcome
    on stays.clinic = outcome.clinic and stays.outcome = outcome.word and outcome.field = 'outcome'
left join standard.word_codes as outcome_timing
    on stays.clinic = outcome_timing.clinic and stays.outcome_timing = outcome_timing.word
    and outcome_timing.field = 'outcome_timing'
left join standard.word_codes as outcome_status
    on stays.clinic = outcome_status.clinic and stays.outcome_status = outcome_status.word
    and outcome_status.field = 'outcome_status'
left join standard.word_codes as arrival
    on stays.clinic = arrival.clinic and stays.arrival = arrival.word and arrival.field = 'arrival'
left join standard.word_codes as euthanasia_reason
    on stays.clinic = euthanasia_reason.clinic and stays.euthanasia_reason = euthanasia_reason.word
    and euthanasia_reason.field = 'euthanasia_reason'
left join standard.word_codes as transferred_to
    on stays.clinic = transferred_to.clinic and stays.transferred_to = transferred_to.word
    and transferred_to.field = 'transferred_to'
left join standard.word_codes as other_clinic
    on stays.clinic = other_clinic.clinic and stays.other_clinic = other_clinic.word
    and other_clinic.field = 'other_clinic'
where stays.standing = 'current'
