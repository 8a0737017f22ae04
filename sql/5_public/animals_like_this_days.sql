-- Animals like the one on the table: the share that had been released or had died by a few days after admission.
-- key:  rank, injury_code, body_site_code, taxon_group_code, severity_code, day
-- from: result.animals_like_this_days, withhold.decisions, codes.words_for_codes
--
-- columns:
--   rank: how near the likeness is, 1 the nearest
--   injury_code: how the tackle injured; all = not asked for
--   injury_label: the injury in words
--   body_site_code: where in the body; all = not asked for
--   taxon_group_code: the animals; all = not asked for
--   taxon_group_label: the animals in words
--   severity_code: how grave; all = not asked for
--   day: whole days from first admission
--   released: share released by then, endings competing, percent; empty if no animal was watched so long
--   released_low: its lower 95 % limit on the log(-log) scale, percent
--   released_high: its upper 95 % limit on the log(-log) scale, percent
--   dead: share died or euthanased by then, percent
--   dead_low: its lower 95 % limit on the log(-log) scale, percent
--   dead_high: its upper 95 % limit on the log(-log) scale, percent
select
    alike.rank,
    alike.injury_code,
    coalesce(injury.label, if(alike.injury_code = 'all', 'Any injury', 'Not stated')) as injury_label,
    alike.body_site_code,
    alike.taxon_group_code,
    coalesce(taxon.label, if(alike.taxon_group_code = 'all', 'Any animal', 'Not stated')) as taxon_group_label,
    alike.severity_code,
    alike.day,
    round(released, 4) as released, round(released_low, 4) as released_low, round(released_high, 4) as released_high,
    round(dead, 4) as dead, round(dead_low, 4) as dead_low, round(dead_high, 4) as dead_high
from result.animals_like_this_days as alike
anti join withhold.decisions as decisions
    on like_cell(alike.injury_code, alike.body_site_code, alike.taxon_group_code, alike.severity_code) = decisions.cell
left join codes.words_for_codes as injury on injury.vocabulary = 'injury' and alike.injury_code = injury.code
left join codes.words_for_codes as taxon on taxon.vocabulary = 'taxon_group' and alike.taxon_group_code = taxon.code
order by rank, injury_code, body_site_code, taxon_group_code, severity_code, day
