-- One row per finding of a current stay, in the shared codes: the columns' word, and what only its texts tell of.
-- key:  stay_id, finding_number
-- from: standard.stated_findings, standard.notes_findings
--
-- What texts say of gear (or of appetite, of lead …) on a day of which the columns say anything of it is not taken;
-- nor is what has no day on either side.
with stated as (
    select *, if(starts_with(finding_code, 'gear_'), 'gear', finding_code) as finding_of
    from standard.stated_findings
),

all_told as (
    select * exclude (finding_of), false as from_notes
    from stated
    union all by name
    select
        told.* exclude (finding_of, told_number),
        case when told.finding_value is not null then 'ug/dL' end as finding_unit,
        true as from_notes
    from standard.notes_findings as told
    anti join stated
        on told.stay_id = stated.stay_id and told.finding_of = stated.finding_of
        and coalesce(told.finding_date = stated.finding_date, true)
)

select
    * exclude (finding_number),
    row_number() over (
        partition by stay_id order by finding_date nulls last, finding_number nulls last, finding_code
    ) as finding_number
from all_told
