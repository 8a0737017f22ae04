-- How cases ended, day by day: the share of live admissions that had ended so by each day (endings compete).
-- key:  grouping, group_code, ending, day
-- from: result.endings, withhold.decisions, codes.words_for_codes
--
-- columns:
--   grouping: baseline feature by which cases are grouped; all = every tackle case
--   group_code: shared code of the group
--   group_label: the group in words
--   ending: released, died, euthanased, or other (kept for good, escaped, given back)
--   day: whole days from first admission
--   incidence: share that had ended so by the day, percent
--   low: lower 95 % limit on the log(-log) scale, percent
--   high: upper 95 % limit on the log(-log) scale, percent
--   at_risk: animals still in care on the day, those who end on it included
select
    endings.grouping,
    endings.group_code,
    coalesce(words.label, endings.group_code) as group_label,
    endings.ending,
    endings.day,
    round(endings.incidence, 4) as incidence,
    round(endings.low, 4) as low,
    round(endings.high, 4) as high,
    endings.at_risk
from result.endings as endings
anti join withhold.decisions as decisions on endings.grouping || '=' || endings.group_code = decisions.cell
left join codes.words_for_codes as words on endings.grouping = words.vocabulary and endings.group_code = words.code
where endings.animals >= $minimum_for_percentage
order by endings.grouping, endings.group_code, endings.ending, endings.day
