-- How many records each rule of good data questions, all clinics together.
-- key:  rule
-- from: checks.found, checks.rules
--
-- columns:
--   rule: name of the rule
--   label: the rule in words
--   level: what it means: refused, withheld or question
--   count: records that it names
select rules.rule, rules.label, rules.level, count(found.rule) as count
from checks.rules as rules
left join checks.found as found on rules.rule = found.rule
group by rules.rule, rules.label, rules.level
order by rules.level, rules.rule
