-- One row per possible pair that is not hopeless: how much evidence speaks for one animal, in log2 of the odds.
-- key:  kind, earlier_stay_id, later_stay_id
-- from: link.possible_pairs, link.scored_pairs, link.compared_stays
--
-- The evidence is the Fellegi-Sunter sum of the stated weights, the prior with it. That a stay has its other half is one
-- chance, shared by all the stays that could be it: of n choices each has an nth, so that log2(n) is taken off. In a
-- large network a likeness by accident is more likely, and more is asked of a pair. Animals of one clutch's record are
-- one choice.
with counted as (
    select
        pairs.kind, pairs.earlier_number, pairs.later_number, pairs.earlier_stay_id, pairs.later_stay_id,
        before.incident_id as earlier_incident_id, after.incident_id as later_incident_id
    from link.possible_pairs as pairs
    inner join link.compared_stays as before on pairs.earlier_number = before.compared_number
    inner join link.compared_stays as after on pairs.later_number = after.compared_number
),

choices_of_earlier as (
    select kind, earlier_number, count(distinct later_incident_id) as choices from counted group by all
),

choices_of_later as (
    select kind, later_number, count(distinct earlier_incident_id) as choices from counted group by all
)

select
    scored.kind,
    counted.earlier_stay_id,
    counted.later_stay_id,
    scored.evidence_weight,
    greatest(forward.choices, backward.choices) as choices,
    round(scored.evidence_weight - log2(greatest(forward.choices, backward.choices)), 6) as weight
from link.scored_pairs as scored
inner join counted using (kind, earlier_number, later_number)
inner join choices_of_earlier as forward using (kind, earlier_number)
inner join choices_of_later as backward using (kind, later_number)
