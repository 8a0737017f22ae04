-- The comparisons that were planned before any result was seen: in which animals, of what, until when.
-- key:  question
-- from: result.effect_questions
--
-- columns:
--   question: name of the planned comparison
--   asks: the question in words
--   planned: day on which it was planned
--   reason: why it was planned
--   animals: the animals that it is about
--   strategies: the strategies, the one that the others are compared with first
--   horizon_days: days from admission at which it is read
select question, asks, planned, reason, animals, strategies, horizon_days
from result.effect_questions
order by question
