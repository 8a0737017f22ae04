-- Animals like the one on the table: every group that clears the floors, how its animals ended and how long they stayed.
-- key:  rank, injury_code, body_site_code, taxon_group_code, severity_code
-- from: result.animals_like_this, withhold.decisions, codes.words_for_codes
--
-- A group that is not here has too few animals or clinics, or would give such a one away: look at the next rank.
--
-- columns:
--   rank: how near the likeness is, 1 the nearest; a wider group has a higher rank
--   injury_code: how the tackle injured; all = not asked for
--   injury_label: the injury in words
--   body_site_code: where in the body; all = not asked for
--   body_site_label: the body site in words
--   taxon_group_code: the animals; all = not asked for
--   taxon_group_label: the animals in words
--   severity_code: how grave; all = not asked for
--   severity_label: the severity in words
--   animals: live admissions
--   clinics: clinics that they came to
--   released: of these, released
--   died: of these, died without euthanasia
--   euthanased: of these, euthanased
--   other_known: of these, ended otherwise
--   unresolved: of these, still in care, transferred out or unknown
--   percent_released: released in percent of released, died and euthanased
--   wilson_low: lower 95 % limit, Wilson, percent
--   wilson_high: upper 95 % limit, Wilson, percent
--   clustered_low: lower 95 % limit that allows for clinics, percent
--   clustered_high: upper 95 % limit that allows for clinics, percent
--   quartile_low: first quartile of the stay among the released, days
--   median_days: median stay among the released, days
--   quartile_high: third quartile of the stay among the released, days
select
    alike.rank,
    alike.injury_code,
    coalesce(injury.label, if(alike.injury_code = 'all', 'Any injury', 'Not stated')) as injury_label,
    alike.body_site_code,
    coalesce(site.label, if(alike.body_site_code = 'all', 'Any site', 'Not stated')) as body_site_label,
    alike.taxon_group_code,
    coalesce(taxon.label, if(alike.taxon_group_code = 'all', 'Any animal', 'Not stated')) as taxon_group_label,
    alike.severity_code,
    coalesce(severity.label, if(alike.severity_code = 'all', 'Any severity', 'Not stated')) as severity_label,
    alike.animals,
    alike.clinics,
    alike.released,
    alike.died,
    alike.euthanased,
    alike.other_known,
    alike.unresolved,
    round(alike.percent_released, 4) as percent_released,
    round(alike.wilson_low, 4) as wilson_low,
    round(alike.wilson_high, 4) as wilson_high,
    round(alike.clustered_low, 4) as clustered_low,
    round(alike.clustered_high, 4) as clustered_high,
    alike.quartile_low,
    alike.median_days,
    alike.quartile_high
from result.animals_like_this as alike
anti join withhold.decisions as decisions
    on like_cell(alike.injury_code, alike.body_site_code, alike.taxon_group_code, alike.severity_code) = decisions.cell
left join codes.words_for_codes as injury on injury.vocabulary = 'injury' and alike.injury_code = injury.code
left join codes.words_for_codes as site on site.vocabulary = 'body_site' and alike.body_site_code = site.code
left join codes.words_for_codes as taxon on taxon.vocabulary = 'taxon_group' and alike.taxon_group_code = taxon.code
left join codes.words_for_codes as severity on severity.vocabulary = 'severity' and alike.severity_code = severity.code
order by alike.rank, alike.injury_code, alike.body_site_code, alike.taxon_group_code, alike.severity_code
