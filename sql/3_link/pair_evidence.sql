-- One row per candidate pair and field: how the two stays agree in it, and what that weighs.
-- key:  kind, earlier_stay_id, later_stay_id, field
-- from: link.candidate_pairs, link.scored_fields, link.compared_stays
select
    pairs.kind,
    pairs.earlier_stay_id,
    pairs.later_stay_id,
    fields.field,
    fields.level,
    fields.meaning,
    fields.weight
from link.candidate_pairs as pairs
inner join link.compared_stays as before on pairs.earlier_stay_id = before.stay_id
inner join link.compared_stays as after on pairs.later_stay_id = after.stay_id
inner join link.scored_fields as fields
    on pairs.kind = fields.kind and before.compared_number = fields.earlier_number
    and after.compared_number = fields.later_number
