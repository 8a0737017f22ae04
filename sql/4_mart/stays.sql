-- One row per stay of a case.
-- key:  stay_id
-- from: link.case_stays, standard.stays
select
    case_stays.case_id,
    case_stays.stay_number,
    case_stays.link_reason,
    case_stays.is_last,
    stays.*
from link.case_stays as case_stays
inner join standard.stays as stays on case_stays.stay_id = stays.stay_id
