-- One row per text that a clinic wrote about a current stay, beside its columns, with the days between which it speaks.
-- key:  text_number
-- from: stage.stays, stage.procedures, stage.findings, clinic.sources
--
-- What stands beside a procedure or a film speaks of that day where it names none. Of a clutch nobody can tell which
-- animal a text means. What was seen after a release is no part of the stay and is not read here. A clinic whose columns
-- write days only with the year first has said nothing of 3/4 in its texts: such a day is left open.
with stays as (
    select stays.*, coalesce(sources.date_order, 'ymd') as date_order
    from stage.stays as stays
    inner join clinic.sources as sources on stays.clinic = sources.clinic and stays.source = sources.source
    where stays.standing = 'current'
),

written as (
    select stay_id, 'stay' as beside, file_id, row_number, 0 as item_number, 0 as block_number,
        cast(null as date) as own_date, notes as text
    from stays
    union all
    select stay_id, 'procedure', file_id, row_number, item_number, block_number, procedure_date, procedure_note
    from stage.procedures
    where is_current
    union all
    select stay_id, 'finding', file_id, row_number, item_number, block_number, finding_date, finding_note
    from stage.findings
    where is_current
)

select
    row_number() over (order by
        written.stay_id, written.beside, written.file_id, written.row_number, written.item_number, written.block_number
    ) as text_number,
    written.stay_id,
    stays.clinic,
    written.beside,
    stays.date_order,
    stays.admission_date,
    coalesce(stays.outcome_date, stays.export_date) as last_date,
    written.own_date,
    coalesce(stays.animal_count, 1) = 1 as is_of_one_animal,
    written.text
from written
inner join stays on written.stay_id = stays.stay_id
where written.text is not null
