-- One row per stay of a case; a second entry of a stay has no stay_number.
-- key:  stay_id
-- from: link.case_stays, standard.stays
select
    case_stays.case_id,
    case_stays.stay_number,
    case_stays.link_reason,
    case_stays.is_last,
    case_stays.second_entry_of,
    stays.*
from link.case_stays as case_stays
inner join standard.stays as stays on case_stays.stay_id = stays.stay_id
