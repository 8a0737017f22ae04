-- One row per pair of records of one clinic that may have been typed for one animal's stay.
-- key:  earlier_number, later_number
-- from: link.compared_stays, codes.link_limits
--
-- They are of one species and were admitted within three days of each other. Animals of a clutch's record are not
-- compared: which of them would be which cannot be told; nor are those of a crowd, such as a wreck of seabirds.
with single as (
    select *
    from link.compared_stays
    where incident_id = stay_id
    qualify count(*) over (
        partition by clinic, species_code
        order by admission_date
        range between interval 3 days preceding and interval 3 days following
    ) <= (select cast(crowd as integer) from codes.link_limits where kind = 'second_entry')
),

near as (
    select *, unnest(range(0, 4)) as days_apart from single
)

select before.compared_number as earlier_number, after.compared_number as later_number
from near as before
inner join single as after
    on before.clinic = after.clinic and before.species_code = after.species_code
    and before.admission_date + cast(before.days_apart as integer) = after.admission_date
where (before.admission_date, before.stay_id) < (after.admission_date, after.stay_id)
