-- One row per stay: the case that it belongs to and its place in it.
-- key:  stay_id
-- from: standard.stays, link.links
--
-- A case has the id of its earliest stay. A second entry of a stay has no place of its own in the order: its
-- stay_number is null, and nothing of the case is taken from it but the procedures and findings that only it has.
with recursive chains as (
    select stays.stay_id as case_id, stays.stay_id, 1 as stay_number, cast(null as varchar) as link_reason
    from standard.stays as stays
    anti join link.links as links on stays.stay_id = links.later_stay_id
    union all
    select chains.case_id, links.later_stay_id, chains.stay_number + 1, links.reason
    from chains
    inner join (select * from link.links where kind = 'hand_over') as links on chains.stay_id = links.earlier_stay_id
)

select
    case_id,
    stay_id,
    stay_number,
    link_reason,
    stay_number = max(stay_number) over (partition by case_id) as is_last,
    cast(null as varchar) as second_entry_of
from chains
union all
select chains.case_id, links.later_stay_id, null, links.reason, false, links.earlier_stay_id
from chains
inner join link.links as links on chains.stay_id = links.earlier_stay_id
where links.kind = 'second_entry'
