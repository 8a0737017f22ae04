-- One row per possible pair that is not hopeless: how much evidence speaks for one animal, in log2 of the odds.
-- key:  kind, earlier_stay_id, later_stay_id
-- from: link.possible_pairs, link.scored_pairs, link.compared_stays
--
-- The evidence is the Fellegi-Sunter sum of the stated weights, the prior with it. That a stay has its other half is one
-- chance, shared by all the stays that could be it: of n choices each has an nth, so that log2(n) is taken off. In a
-- large network a likeness by accident is more likely, and more is asked of a pair. Animals of one clutch's record are
-- one choice.
with choices_of_earlier as (
    select kind, earlier_number, count(*) filter (where is_later_choice) as choices
    from link.possible_pairs
    group by kind, earlier_number
),

choices_of_later as (
    select kind, later_number, count(*) filter (where is_earlier_choice) as choices
    from link.possible_pairs
    group by kind, later_number
),

counted as (
    select scored.*, greatest(forward.choices, backward.choices, 1) as choices
    from link.scored_pairs as scored
    inner join choices_of_earlier as forward using (kind, earlier_number)
    inner join choices_of_later as backward using (kind, later_number)
)

select
    counted.kind,
    before.stay_id as earlier_stay_id,
    after.stay_id as later_stay_id,
    counted.earlier_number,
    counted.later_number,
    counted.evidence_weight,
    counted.choices,
    round(counted.evidence_weight - log2(counted.choices), 6) as weight
from counted
inner join link.compared_stays as before on counted.earlier_number = before.compared_number
inner join link.compared_stays as after on counted.later_number = after.compared_number
