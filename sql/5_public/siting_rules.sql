-- One row per rule of siting: what is assumed of a bin, how cases belong to sites, and what a set of bins keeps.
-- key:  rule
-- from: place.rules
--
-- columns:
--   rule: the key in places/siting.toml
--   value: its value
select rule, value
from place.rules
order by rule
