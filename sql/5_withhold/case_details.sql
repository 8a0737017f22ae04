-- One row per case: its quarter, its stay and its counts, made so coarse that no day and no clinic follows from them.
-- key:  case_id
-- from: mart.cases
--
-- The day of admission is published as a quarter. A stay could give it away: of an animal in care on the day of the
-- export it would be counted from that day backwards, so it is counted from the end of the quarter instead, to the first
-- day on which a clinic told of an animal in care, for its own export's day would tell the clinic (less time than is
-- known, and therefore no bias); of an ended case the day of the newest export less the stay is the latest possible
-- day of admission, so where that leaves less than four weeks of the quarter, neither quarter nor stay is given.
-- A count is cut at the highest number that so many clinics reach that none is pointed to.
with reached as (
    select clinic, max(stay_count) as stays, max(gear_item_count) as items
    from mart.cases
    group by clinic
),

highest as (
    select
        list_reverse_sort(list(stays))[$minimum_clinics] as stays,
        list_reverse_sort(list(items))[$minimum_clinics] as items
    from reached
),

dated as (
    select
        *,
        cast(date_trunc('quarter', admission_date) as date) as quarter_begins,
        cast(date_trunc('quarter', admission_date) + interval 3 months as date) as quarter_over,
        outcome_class = 'pending' as is_pending,
        min(export_date) filter (where outcome_class = 'pending') over () as first_told,
        cast($as_of as date) - cast(if(outcome_class = 'pending', 0, coalesce(stay_days, 0)) as integer) as latest_day
    from mart.cases
)

select
    dated.case_id,
    latest_day - quarter_begins < 28 as is_day_withheld,
    case when is_day_withheld then 'quarter and stay' end as no_quarter,
    case when not is_day_withheld then quarter(admission_date) end as admission_quarter,
    case
        when is_day_withheld or stay_days is null then null
        when is_pending then greatest(entry_days, first_told - (quarter_over - 1), 0)
        else stay_days
    end as stay_days,
    if(highest.stays is null, null, least(stay_count, highest.stays)) as stay_count,
    if(highest.items is null, null, least(gear_item_count, highest.items)) as gear_item_count
from dated
cross join highest
