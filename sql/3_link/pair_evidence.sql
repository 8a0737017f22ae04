-- One row per candidate pair and field: how the two stays agree in it, and what that weighs.
-- key:  kind, earlier_stay_id, later_stay_id, field
-- from: link.candidate_pairs, link.scored_fields
select
    pairs.kind,
    pairs.earlier_stay_id,
    pairs.later_stay_id,
    fields.field,
    fields.level,
    fields.meaning,
    fields.weight
from link.candidate_pairs as pairs
inner join link.scored_fields as fields using (kind, earlier_number, later_number)
