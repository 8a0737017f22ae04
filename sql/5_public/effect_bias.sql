-- What the design of the planned comparisons removes: comparisons that mislead, beside the one that was planned.
-- key:  question, method
-- from: result.effect_bias
--
-- columns:
--   question: name of the planned comparison
--   method: how retrieved and not retrieved animals are compared
--   measure: released (points), or hazard ratio of death or euthanasia
--   value: retrieved less not retrieved, or the ratio
--   low: lower 95 % limit, empty if none is given
--   high: upper 95 % limit, empty if none is given
--   is_biased: true where the method is shown only to tell how it misleads
select question, method, measure, round(value, 3) as value, round(low, 3) as low, round(high, 3) as high, is_biased
from result.effect_bias
where value is not null and not isnan(value)
order by question, measure desc, is_biased, method
