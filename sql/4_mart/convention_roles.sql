-- One row per convention, class of ending and timing that counts in it, and as what.
-- key:  convention, outcome_class, outcome_timing_code
-- from: codes.release_convention, codes.outcome_class, codes.outcome_timing
--
-- The denominators are data in codes/release_convention.csv; this only spreads them over the combinations.
with timings as (
    select code as outcome_timing_code from codes.outcome_timing
    union all
    select 'not_stated'
),

combinations as (
    select
        conventions.code as convention,
        classes.code as outcome_class,
        timings.outcome_timing_code,
        string_split(coalesce(conventions.numerator, ''), ' ') as numerator,
        string_split(coalesce(conventions.denominator, ''), ' ') as denominator,
        string_split(coalesce(conventions.without_timing, ''), ' ') as without_timing
    from codes.release_convention as conventions
    cross join codes.outcome_class as classes
    cross join timings
)

select
    convention,
    outcome_class,
    outcome_timing_code,
    list_contains(numerator, outcome_class) as is_numerator
from combinations
where list_contains(denominator, outcome_class)
    and not list_contains(without_timing, outcome_class || '@' || outcome_timing_code)
