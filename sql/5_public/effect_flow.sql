-- From all tackle cases to those that a planned comparison follows: how many are left after each step.
-- key:  question, step_number
-- from: result.effect_flow
--
-- columns:
--   question: name of the planned comparison
--   step_number: order of the steps
--   step: the step
--   animals: animals left after it
select question, step_number, step, animals
from result.effect_flow
order by question, step_number
