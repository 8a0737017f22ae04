-- One row per way of joining stays and pair that it joins.
-- key:  scenario, later_stay_id
-- from: link.links, link.grey_pairs
--
-- as_counted: the links that were made. stated_only: what clinics' numbers, bands and the steward say. doubtful_joined:
-- the doubtful pairs too, each stay to the likeliest; hand-overs before second entries, so that no stay is both.
with second_entries as (
    select later_stay_id as stay_id from link.links where kind = 'second_entry'
),

hand_overs as (
    select earlier_stay_id, later_stay_id from link.links where kind = 'hand_over'
    union all
    select earlier_stay_id, later_stay_id from link.grey_pairs
    where kind = 'hand_over' and would_join
        and earlier_stay_id not in (from second_entries) and later_stay_id not in (from second_entries)
),

doubtful as (
    select 'hand_over' as kind, earlier_stay_id, later_stay_id from hand_overs
    union all
    select kind, earlier_stay_id, later_stay_id from link.links where kind = 'second_entry'
    union all
    select kind, earlier_stay_id, later_stay_id from link.grey_pairs
    where kind = 'second_entry' and would_join
        and later_stay_id not in (select unnest([earlier_stay_id, later_stay_id]) from hand_overs)
)

select 'as_counted' as scenario, kind, earlier_stay_id, later_stay_id from link.links
union all
select 'doubtful_joined', kind, earlier_stay_id, later_stay_id from doubtful
union all
select 'stated_only', kind, earlier_stay_id, later_stay_id from link.links where basis <> 'weighed'
