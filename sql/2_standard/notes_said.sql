-- One row per stay and axis of which its texts speak plainly: the one code that they say, or none if they say several.
-- key:  stay_id, axis
-- from: notes.facts, notes.texts, codes.notes_beside, codes.procedure
--
-- Plainly: present, not doubted, planned, denied or of an earlier time. What is also denied counts only where gear
-- came off or out in between ("hook removed; film: no hook"). Where line hangs out is not where the gear sits. A code
-- that says less beside another one (codes/notes_beside.csv) is no second way of saying it; one that says less beside
-- itself fills nothing.
with facts as (
    select texts.stay_id, facts.*
    from notes.facts as facts
    inner join notes.texts as texts on facts.text_number = texts.text_number
    anti join notes.facts as hanging
        on facts.axis = 'body_site' and hanging.axis = 'line_trailing' and facts.text_number = hanging.text_number
        and facts.first_character between hanging.first_character and hanging.first_character + len(hanging.words)
    where texts.is_of_one_animal
),

came_off as (
    select distinct facts.stay_id
    from facts
    left join codes.procedure as list on facts.axis = 'procedure' and facts.code = list.code
    where facts.status = 'present' and (list.is_attempt_at_removal = 'yes' or facts.code = 'gear_passed')
),

told as (
    select
        facts.stay_id,
        facts.axis,
        facts.code,
        bool_or(facts.status = 'absent') and not bool_or(came_off.stay_id is not null) as is_also_denied,
        arg_min(facts.words, (facts.text_number, facts.fact_number)) filter (where facts.status = 'present') as words
    from facts
    left join came_off on facts.stay_id = came_off.stay_id
    where facts.axis in ('gear', 'hook_kind', 'injury', 'body_site', 'line_trailing', 'lead', 'outcome', 'arrival')
    group by facts.stay_id, facts.axis, facts.code
    having bool_or(facts.status = 'present')
),

telling as (
    select told.*
    from told
    anti join (
        select less.stay_id, less.axis, less.code
        from told as less
        inner join told as more on less.stay_id = more.stay_id and less.axis = more.axis
        inner join codes.notes_beside as beside
            on less.axis = beside.axis and less.code = beside.code
            and (beside.beside = more.code or (beside.beside = '*' and less.code <> more.code))
    ) as less on told.stay_id = less.stay_id and told.axis = less.axis and told.code = less.code
)

select
    stay_id,
    axis,
    case when count(*) = 1 and not bool_or(is_also_denied) then min(code) end as code,
    list(code order by code) as codes_said,
    bool_or(is_also_denied) as is_also_denied,
    string_agg(words, ' … ' order by code) as words
from telling
group by stay_id, axis
