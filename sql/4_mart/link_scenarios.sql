-- One row per way of joining stays, class of ending and whether tackle injured the animal: how many cases there would be.
-- key:  scenario, is_tackle, is_alive_on_arrival, outcome_class
-- from: mart.link_joins, link.case_stays, link.compared_stays, standard.stays, mart.cases
--
-- none_joined: each record a case of its own; the other ways as in mart.link_joins. A stay is a tackle case's if its case
-- as counted is one. Only stays that any way joins are followed; the others stand alone in all.
with recursive followed as (
    select distinct unnest([earlier_stay_id, later_stay_id]) as stay_id from mart.link_joins
),

scenarios as (
    select unnest(['as_counted', 'none_joined', 'stated_only', 'doubtful_joined']) as scenario
),

chains as (
    select scenarios.scenario, followed.stay_id as case_id, followed.stay_id, 1 as stay_number
    from scenarios
    cross join followed
    anti join mart.link_joins as joins on scenarios.scenario = joins.scenario and followed.stay_id = joins.later_stay_id
    union all
    select chains.scenario, chains.case_id, joins.later_stay_id, chains.stay_number + 1
    from chains
    inner join (select * from mart.link_joins where kind = 'hand_over') as joins
        on chains.scenario = joins.scenario and chains.stay_id = joins.earlier_stay_id
),

told as (
    select
        stays.stay_id,
        compared.outcome_class,
        coalesce(stays.outcome_timing_code, '') <> 'before_admission' as is_alive,
        cases.is_tackle
    from standard.stays as stays
    inner join link.compared_stays as compared on stays.stay_id = compared.stay_id
    inner join link.case_stays as case_stays on stays.stay_id = case_stays.stay_id
    inner join mart.cases as cases on case_stays.case_id = cases.case_id
),

followed_cases as (
    select
        chains.scenario, chains.case_id,
        arg_min(told.is_alive, chains.stay_number) as is_alive_on_arrival,
        arg_max(told.outcome_class, chains.stay_number) as outcome_class,
        bool_or(told.is_tackle) as is_tackle
    from chains
    inner join told on chains.stay_id = told.stay_id
    group by chains.scenario, chains.case_id
),

all_cases as (
    select scenario, is_tackle, is_alive_on_arrival, outcome_class from followed_cases
    union all
    select scenarios.scenario, told.is_tackle, told.is_alive, told.outcome_class
    from told
    anti join followed on told.stay_id = followed.stay_id
    cross join scenarios
)

select scenario, is_tackle, is_alive_on_arrival, outcome_class, count(*) as animals
from all_cases
group by scenario, is_tackle, is_alive_on_arrival, outcome_class
