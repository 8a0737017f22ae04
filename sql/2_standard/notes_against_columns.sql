-- One row per stay and axis of its tackle where columns and texts differ: both are kept as they are, the columns count.
-- key:  stay_id, axis
-- from: standard.stated_gear_items, standard.notes_said, codes.notes_beside
--
-- A code that says less beside the other (codes/notes_beside.csv) is no contradiction; one that agrees with any piece
-- of tackle of the stay is none either.
with stated as (
    unpivot (
        select stay_id, gear_code as gear, injury_code as injury, hook_kind_code as hook_kind,
            body_site_code as body_site, line_trailing_code as line_trailing, lead_code as lead
        from standard.stated_gear_items
    )
    on gear, injury, hook_kind, body_site, line_trailing, lead
    into name axis value code
),

compared as (
    select
        said.stay_id,
        said.axis,
        said.code as code_said,
        said.words,
        stated.code as code_stated,
        stated.code = said.code or beside.code is not null as agrees
    from standard.notes_said as said
    inner join stated on said.stay_id = stated.stay_id and said.axis = stated.axis and stated.code <> 'unmapped'
    left join codes.notes_beside as beside
        on said.axis = beside.axis and (
            (beside.code = said.code and beside.beside in (stated.code, '*'))
            or (beside.code = stated.code and beside.beside in (said.code, '*'))
        )
    where said.code is not null
)

select
    stay_id,
    axis,
    any_value(code_said) as code_said,
    string_agg(distinct code_stated, ', ' order by code_stated) as codes_stated,
    any_value(words) as words
from compared
group by stay_id, axis
having not bool_or(agrees)
