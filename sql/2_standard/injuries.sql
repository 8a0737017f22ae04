-- One row per current stay record: what injured the animal, on separate axes.
-- key:  record_id
-- from: stage.stays, standard.word_codes
--
-- A column of the axis itself wins; else the word for the injury, for the gear, for the cause may say it.
select
    stays.record_id,
    coalesce(cause.own, injury.cause, gear.cause) as cause_code,
    coalesce(injury.own, gear.injury, cause.injury) as injury_code,
    coalesce(gear.own, injury.gear, cause.gear) as gear_code,
    coalesce(hook_kind.own, gear.hook_kind, injury.hook_kind, cause.hook_kind) as hook_kind_code,
    barb.own as barb_code,
    coalesce(body_site.own, injury.body_site, gear.body_site, cause.body_site) as body_site_code,
    coalesce(line_trailing.own, injury.line_trailing, gear.line_trailing, cause.line_trailing)
        as line_trailing_code,
    coalesce(lead.own, injury.lead, gear.lead, cause.lead) as lead_code,
    coalesce(severity.own, injury.severity) as severity_code,
    injury_age.own as injury_age_code,
    gear_fate.own as gear_fate_code,
    gear_at_release.own as gear_at_release_code
from stage.stays as stays
left join standard.word_codes as cause
    on stays.clinic = cause.clinic and stays.cause = cause.word and cause.field = 'cause'
left join standard.word_codes as injury
    on stays.clinic = injury.clinic and stays.injury = injury.word and injury.field = 'injury'
left join standard.word_codes as gear
    on stays.clinic = gear.clinic and stays.gear = gear.word and gear.field = 'gear'
left join standard.word_codes as hook_kind
    on stays.clinic = hook_kind.clinic and stays.hook_kind = hook_kind.word and hook_kind.field = 'hook_kind'
left join standard.word_codes as barb
    on stays.clinic = barb.clinic and stays.barb = barb.word and barb.field = 'barb'
left join standard.word_codes as body_site
    on stays.clinic = body_site.clinic and stays.body_site = body_site.word and body_site.field = 'body_site'
left join standard.word_codes as line_trailing
    on stays.clinic = line_trailing.clinic and stays.line_trailing = line_trailing.word
    and line_trailing.field = 'line_trailing'
left join standard.word_codes as lead
    on stays.clinic = lead.clinic and stays.lead = lead.word and lead.field = 'lead'
left join standard.word_codes as severity
    on stays.clinic = severity.clinic and stays.severity = severity.word and severity.field = 'severity'
left join standard.word_codes as injury_age
    on stays.clinic = injury_age.clinic and stays.injury_age = injury_age.word and injury_age.field = 'injury_age'
left join standard.word_codes as gear_fate
    on stays.clinic = gear_fate.clinic and stays.gear_fate = gear_fate.word and gear_fate.field = 'gear_fate'
left join standard.word_codes as gear_at_release
    on stays.clinic = gear_at_release.clinic and stays.gear_at_release = gear_at_release.word
    and gear_at_release.field = 'gear_at_release'
where stays.standing = 'current'
