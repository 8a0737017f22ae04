-- How the main figures would change if stays were joined into cases in another way.
-- key:  scenario
-- from: result.link_influence
--
-- columns:
--   scenario: way of joining: as_counted, none_joined, stated_only, doubtful_joined
--   scenario_label: the way of joining in words
--   cases: cases of all causes
--   tackle_cases: cases injured by tackle
--   transferred: live tackle admissions that end in a transfer whose other end was not found
--   denominator: live tackle admissions that were released, died or were euthanased
--   numerator: of these the released
--   percent: numerator in percent of denominator
--   wilson_low: lower 95 % limit, Wilson, percent
--   wilson_high: upper 95 % limit, Wilson, percent
select
    scenario,
    case scenario
        when 'as_counted' then 'as counted in this report'
        when 'none_joined' then 'no stays joined: each record an animal'
        when 'stated_only' then 'only what numbers, bands and the steward say'
        when 'doubtful_joined' then 'all doubtful pairs joined too'
    end as scenario_label,
    cases,
    tackle_cases,
    transferred,
    denominator,
    numerator,
    case when denominator >= $minimum_for_percentage then percent end as percent,
    case when denominator >= $minimum_for_percentage then wilson_low end as wilson_low,
    case when denominator >= $minimum_for_percentage then wilson_high end as wilson_high
from result.link_influence
order by list_position(['as_counted', 'none_joined', 'stated_only', 'doubtful_joined'], scenario)
