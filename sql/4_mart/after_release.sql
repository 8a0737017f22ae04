-- One row per released tackle case: whether and when after its release the animal was seen, admitted or found dead.
-- key:  case_id
-- from: mart.cases, mart.stays, stage.stays, codes.found_dead_words
--
-- Readmitted: a later case of the same animal, whatever its cause; what link.animals cannot join is not seen here.
-- Found dead: the words on the later sight say so (codes/found_dead_words.csv), or it came back dead on arrival.
-- Days count from the release; a day before it is a slip that checks/seen_again_too_early.sql asks about.
with words as (
    select '(^|[^a-z])(' || string_agg(pattern, '|' order by pattern) || ')([^a-z]|$)' as pattern
    from codes.found_dead_words
),

sights as (
    select
        stays.case_id,
        min(stays.seen_again_date) as seen_date,
        bool_or(records.seen_again_date is not null or records.seen_again is not null) as is_seen,
        bool_or(coalesce(regexp_matches(folded(records.seen_again), words.pattern), false)) as is_dead_sight
    from mart.stays as stays
    inner join stage.stays as records on stays.record_id = records.record_id and stays.animal_number = 1
    cross join words
    group by stays.case_id
),

released as (
    select * from mart.cases where is_tackle and outcome_class = 'released' and is_alive_on_arrival
),

readmissions as (
    select
        released.case_id,
        min(later.admission_date) as readmission_date,
        min(later.admission_date) filter (where not later.is_alive_on_arrival) as dead_date
    from released
    inner join mart.cases as later
        on released.animal_id = later.animal_id and released.case_id <> later.case_id
        and later.admission_date >= coalesce(released.outcome_date, released.admission_date)
    group by released.case_id
),

joined as (
    select
        released.*,
        readmissions.case_id is not null as is_readmitted,
        coalesce(sights.is_seen, false) as is_seen,
        coalesce(sights.is_dead_sight, false) or readmissions.dead_date is not null as is_recovered_dead,
        date_diff('day', released.outcome_date, sights.seen_date) as sight_days,
        date_diff('day', released.outcome_date, readmissions.readmission_date) as readmission_days,
        date_diff('day', released.outcome_date, coalesce(
            readmissions.dead_date, if(sights.is_dead_sight, sights.seen_date, null)
        )) as dead_days
    from released
    left join sights on released.case_id = sights.case_id
    left join readmissions on released.case_id = readmissions.case_id
)

select
    case_id, clinic, taxon_group_code, gear_at_release_code,
    is_seen or is_readmitted as is_seen_again,
    is_readmitted,
    is_recovered_dead,
    least(if(sight_days >= 0, sight_days, null), readmission_days) as seen_again_days,
    readmission_days,
    if(dead_days >= 0, dead_days, null) as recovered_dead_days
from joined
