-- One row per accepted link: an animal is at one clinic at a time, so a stay has one next and one last stay.
-- key:  later_stay_id
-- from: link.stated_pairs, standard.stays
--
-- Where several pairs compete the nearest admission wins; a tie goes to the smaller id, so that order of files
-- does not matter.
with ranked as (
    select
        pairs.*,
        row_number() over (
            partition by pairs.earlier_stay_id order by after.admission_date, pairs.later_stay_id
        ) as rank_of_next,
        row_number() over (
            partition by pairs.later_stay_id order by before.admission_date desc, pairs.earlier_stay_id
        ) as rank_of_last
    from link.stated_pairs as pairs
    inner join standard.stays as before on pairs.earlier_stay_id = before.stay_id
    inner join standard.stays as after on pairs.later_stay_id = after.stay_id
)

select earlier_stay_id, later_stay_id, reason
from ranked
where rank_of_next = 1 and rank_of_last = 1
