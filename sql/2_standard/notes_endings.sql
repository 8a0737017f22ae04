-- One row per current stay record whose texts say plainly how the stay ended, or that the animal came dead.
-- key:  record_id
-- from: standard.notes_said, notes.facts, notes.texts, stage.stays
--
-- The day is the one that the texts give to this ending, if it is one and lies in the stay.
with days as (
    select texts.stay_id, facts.code, min(facts.fact_date) as outcome_date
    from notes.facts as facts
    inner join notes.texts as texts on facts.text_number = texts.text_number
    where facts.axis = 'outcome' and facts.status = 'present'
        and facts.fact_date between texts.admission_date and texts.last_date
    group by texts.stay_id, facts.code
    having count(distinct facts.fact_date) = 1
)

select
    stays.record_id,
    max(said.code) filter (where said.axis = 'outcome') as outcome_code,
    max(said.code) filter (where said.axis = 'arrival') as arrival_code,
    max(days.outcome_date) as outcome_date
from standard.notes_said as said
inner join stage.stays as stays on said.stay_id = stays.stay_id and stays.standing = 'current'
left join days on said.axis = 'outcome' and said.stay_id = days.stay_id and said.code = days.code
where said.axis in ('outcome', 'arrival') and said.code is not null
group by stays.record_id
