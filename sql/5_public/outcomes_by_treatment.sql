-- How animals so treated ended, counted from the day of that treatment; not what the treatment did.
-- key:  injury_code, taxon_group_code, body_site_code, treatment_code
-- from: result.outcomes_by_treatment, withhold.decisions, codes.words_for_codes
--
-- columns:
--   injury_code: how the tackle injured
--   injury_label: the injury in words
--   taxon_group_code: the animals, or all
--   taxon_group_label: the animals in words
--   body_site_code: where in the body, or all
--   body_site_label: the body site in words
--   treatment_code: the treatment reached
--   treatment_label: the treatment in words
--   animals: animals that reached the treatment, failed attempts included
--   released: of these, released
--   died: of these, died without euthanasia
--   euthanased: of these, euthanased
--   other_known: of these, ended otherwise
--   unresolved: of these, still in care, transferred out or unknown
--   percent_released: released in percent of released, died and euthanased
--   wilson_low: lower 95 % limit, Wilson, percent
--   wilson_high: upper 95 % limit, Wilson, percent
--   exact_low: lower 95 % limit, exact, percent
--   exact_high: upper 95 % limit, exact, percent
--   standardised: percent released with the severity of all resolved animals of the injury, group and site
--   standardised_low: its lower 95 % limit, percent
--   standardised_high: its upper 95 % limit, percent
--   median_days: median days from the treatment to release, among the released
--   horizon_days: days after the treatment at which the next four columns are read
--   release_by_horizon: share released by then, counted from the day of the treatment, percent
--   release_low: its lower 95 % limit on the log(-log) scale, percent
--   release_high: its upper 95 % limit on the log(-log) scale, percent
--   death_by_horizon: share that had died or been euthanased by then, percent
--   note: why a figure is missing
with decided as (
    select
        treated.*,
        decisions.reason,
        decisions.reason is null as is_shown,
        decisions.reason is null and released + died + euthanased >= $minimum_for_percentage as has_percent
    from result.outcomes_by_treatment as treated
    left join withhold.decisions as decisions
        on concat_ws('|', injury_code, taxon_group_code, body_site_code, treatment_code) = decisions.cell
)

select
    decided.injury_code,
    coalesce(injury.label, 'Not stated') as injury_label,
    decided.taxon_group_code,
    coalesce(taxon.label, 'All animals') as taxon_group_label,
    decided.body_site_code,
    coalesce(site.label, case body_site_code when 'all' then 'All sites' else 'Not stated' end) as body_site_label,
    decided.treatment_code,
    treatment.label as treatment_label,
    case when is_shown then animals end as animals,
    case when is_shown then released end as released,
    case when is_shown then died end as died, case when is_shown then euthanased end as euthanased,
    case when is_shown then other_known end as other_known,
    case when is_shown then unresolved end as unresolved,
    case when has_percent then round(percent_released, 4) end as percent_released,
    case when has_percent then round(wilson_low, 4) end as wilson_low, case when has_percent then round(wilson_high, 4) end as wilson_high,
    case when has_percent then round(exact_low, 4) end as exact_low, case when has_percent then round(exact_high, 4) end as exact_high,
    case when has_percent then round(standardised, 4) end as standardised,
    case when has_percent then round(standardised_low, 4) end as standardised_low, case when has_percent then round(standardised_high, 4) end as standardised_high,
    case when has_percent then median_days end as median_days,
    horizon_days,
    case when has_percent then round(release_by_horizon, 4) end as release_by_horizon,
    case when has_percent then round(release_low, 4) end as release_low, case when has_percent then round(release_high, 4) end as release_high,
    case when has_percent then round(death_by_horizon, 4) end as death_by_horizon,
    case
        when not is_shown then 'withheld: ' || reason
        when not has_percent then 'too few for a percentage'
    end as note
from decided
left join codes.words_for_codes as injury on injury.vocabulary = 'injury' and injury_code = injury.code
left join codes.words_for_codes as taxon on taxon.vocabulary = 'taxon_group' and taxon_group_code = taxon.code
left join codes.words_for_codes as site on site.vocabulary = 'body_site' and body_site_code = site.code
left join codes.words_for_codes as treatment on treatment.vocabulary = 'treatment' and treatment_code = treatment.code
order by injury_code, taxon_group_code, body_site_code, treatment_code
