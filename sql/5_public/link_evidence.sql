-- How many stays were joined to an earlier one as the same animal's, by the evidence for it.
-- key:  kind, basis
-- from: result.link_evidence
--
-- columns:
--   kind: hand_over = from one clinic to another; second_entry = typed twice in one clinic
--   kind_label: the kind in words
--   basis: stated, weighed, decided or open
--   basis_label: the evidence in words
--   pairs: pairs of stays, all clinics together
select
    kind,
    case kind when 'hand_over' then 'handed over between clinics' else 'typed twice in one clinic' end as kind_label,
    basis,
    case basis
        when 'stated' then 'joined: stated by the clinics'' own numbers or by a band'
        when 'weighed' then 'joined: alike enough, with no rival'
        when 'decided' then 'joined: decided by the steward'
        when 'open' then 'not joined: in doubt'
    end as basis_label,
    pairs
from result.link_evidence
order by kind, basis
