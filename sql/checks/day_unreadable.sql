-- A day of finding or ending cannot be read, so it is withheld.
-- level: withheld
-- remedy: Correct the day at the clinic: it does not exist, or is written in another order
-- from: stage.stays
select clinic, case_number, file_id, row_number,
    concat_ws(
        ', ', case when found_date is null then 'found ' || found_text end,
        case when outcome_date is null then 'ended ' || outcome_text end
    ) as detail
from stage.stays
where standing = 'current'
    and ((found_date is null and found_text is not null) or (outcome_date is null and outcome_text is not null))
