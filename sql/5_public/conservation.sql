-- Nothing is lost between the clinics' files and the cases: each law, all clinics together.
-- key:  law_number
-- from: mart.conservation
--
-- columns:
--   law_number: the laws in the order of the way from file to case
--   law: the law in words
--   left_side: records on the left side
--   right_side: records on the right side
--   holds: whether the law holds at every clinic
select
    law_number,
    law,
    cast(sum(left_side) as bigint) as left_side,
    cast(sum(right_side) as bigint) as right_side,
    bool_and(holds) as holds
from mart.conservation
group by law_number, law
order by law_number
