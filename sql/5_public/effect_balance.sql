-- Whether those that stayed in a strategy look like all eligible animals, before and after weighting.
-- key:  question, strategy, covariate
-- from: result.effect_balance
--
-- Clinics are told together, for a clinic's share would point to it: the largest difference of any clinic.
--
-- columns:
--   question: name of the planned comparison
--   strategy: the strategy
--   covariate: baseline feature and level; 'clinic (largest)' for the clinics
--   difference_before: standardised difference from all eligible before weighting
--   difference_after: the same after weighting
with named as (
    select *, case when covariate like 'clinic:%' then 'clinic (largest)' else covariate end as shown
    from result.effect_balance
)

select
    question,
    strategy,
    shown as covariate,
    round(arg_max(difference_before, abs(difference_before)), 3) as difference_before,
    round(arg_max(difference_after, abs(difference_after)), 3) as difference_after
from named
group by question, strategy, shown
order by question, strategy, shown
