-- One row per accepted link: the stay, and the one before it that is the same animal's; on what evidence.
-- key:  later_stay_id
-- from: link.chosen_pairs, link.pair_evidence, link.stated_pairs, clinic.link_decisions
--
-- hand_over: an animal is at one clinic at a time, so a stay has one next and one last stay. second_entry: the later
-- record was typed for the same stay as the earlier; what names a second entry joins its first. The reason of a weighed pair is what speaks for it most.
with evidence as (
    select
        kind, earlier_stay_id, later_stay_id,
        array_to_string(list(meaning order by weight desc, field)[:4], '; ') as reason
    from link.pair_evidence
    where weight >= 1 and field <> 'young'
    group by kind, earlier_stay_id, later_stay_id
)

select
    chosen.kind,
    chosen.earlier_stay_id,
    chosen.later_stay_id,
    chosen.basis,
    case chosen.basis
        when 'decided' then concat_ws(': ', 'decided by the steward', decisions.why)
        when 'stated' then stated.reason
        else 'alike: ' || evidence.reason
    end as reason,
    chosen.weight,
    chosen.margin
from link.chosen_pairs as chosen
left join link.stated_pairs as stated
    on chosen.named_earlier_id = stated.earlier_stay_id and chosen.named_later_id = stated.later_stay_id
left join evidence
    on chosen.kind = evidence.kind and chosen.named_earlier_id = evidence.earlier_stay_id
    and chosen.named_later_id = evidence.later_stay_id
left join clinic.link_decisions as decisions
    on least(chosen.named_earlier_id, chosen.named_later_id) = decisions.first_stay_id
    and greatest(chosen.named_earlier_id, chosen.named_later_id) = decisions.second_stay_id
