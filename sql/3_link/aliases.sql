-- One row per id that stands for a case under another: a stay that was joined to an earlier one keeps its own id here.
-- key:  alias_id
-- from: link.case_stays
--
-- As long as a stay is not joined its case has its id; whoever cited that finds the case by it after the join.
select stay_id as alias_id, case_id
from link.case_stays
where stay_id <> case_id
