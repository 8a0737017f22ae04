-- Tests of whether the groups of a baseline feature end alike: Gray's test of incidence, within clinics.
-- key:  grouping, ending
-- from: result.gray_tests, codes.outcome_class
--
-- Groups with too few animals for a percentage, and those not stated, are not compared. Sizes are in the other tables:
-- here they would tell the size of a group that is withheld there.
--
-- columns:
--   grouping: the baseline feature whose groups are compared
--   grouping_label: the feature in words
--   ending: the ending whose incidence is compared
--   ending_label: the ending in words
--   statistic: chi squared, stratified by clinic
--   degrees_of_freedom: its degrees of freedom
--   p_value: chance of a statistic so large if the groups were alike
--   adjusted_p: the same, adjusted for all tests of this table (Benjamini-Hochberg)
--   tests: tests in this table
--   note: why a figure is missing
select
    gray_tests.grouping,
    in_letters(gray_tests.grouping) as grouping_label,
    gray_tests.ending,
    classes.label as ending_label,
    round(statistic, 4) as statistic,
    degrees_of_freedom,
    round(p_value, 6) as p_value,
    round(adjusted_p, 6) as adjusted_p,
    tests,
    nullif(reason, '') as note
from result.gray_tests as gray_tests
inner join codes.outcome_class as classes on gray_tests.ending = classes.code
order by gray_tests.grouping, gray_tests.ending
