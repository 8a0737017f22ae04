-- Attempts at removal: how they went, what followed a failure, what went wrong, and what became of the gear.
-- key:  measure, axis, code, answer
-- from: result.procedures, withhold.decisions, codes.words_for_codes, codes.procedure_measures
--
-- What is counted differs from measure to measure: animals, procedures or pieces of gear, each with its own total.
--
-- columns:
--   measure: what is asked
--   measure_label: the question in words
--   counts: what is counted: animals, procedures or gear items
--   axis: all, treatment or procedure
--   code: the kind of treatment or procedure, or all
--   label: the kind in words
--   answer: the answer
--   answer_label: the answer in words
--   count: how many have this answer
--   total: of how many with a stated answer
--   not_stated: how many more without a stated answer
--   percent: count in percent of total; empty below the network's floor
--   exact_low: lower 95 % limit, exact, percent
--   exact_high: upper 95 % limit, exact, percent
--   bound_low: percent if none without a stated answer had this one
--   bound_high: percent if all without a stated answer had this one
--   note: why a figure is missing
with hidden as (
    select procedures.measure, procedures.axis, procedures.code, min(decisions.reason) as reason
    from (select distinct measure, axis, code from result.procedures) as procedures
    inner join withhold.decisions as decisions
        on decisions.cell in (
            procedures.measure || '|' || procedures.axis || '=' || procedures.code,
            'procedure|' || procedures.axis || '=' || procedures.code
        )
    group by procedures.measure, procedures.axis, procedures.code
),

decided as (
    select
        procedures.*,
        hidden.reason,
        hidden.reason is null as is_shown,
        hidden.reason is null and procedures.total >= $minimum_for_percentage as has_percent
    from result.procedures as procedures
    left join hidden using (measure, axis, code)
)

select
    decided.measure,
    measures.label as measure_label,
    measures.counts,
    decided.axis,
    decided.code,
    coalesce(kinds.label, 'All kinds') as label,
    decided.answer,
    answers.label as answer_label,
    case when is_shown then decided.count end as count,
    case when is_shown then decided.total end as total,
    case when is_shown then decided.not_stated end as not_stated,
    case when has_percent then round(percent, 4) end as percent,
    case when has_percent then round(exact_low, 4) end as exact_low,
    case when has_percent then round(exact_high, 4) end as exact_high,
    case when has_percent then round(bound_low, 4) end as bound_low,
    case when has_percent then round(bound_high, 4) end as bound_high,
    case
        when not is_shown then 'withheld: ' || reason
        when not has_percent then 'too few for a percentage'
    end as note
from decided
inner join codes.procedure_measures as measures on decided.measure = measures.measure
left join codes.words_for_codes as kinds on decided.axis = kinds.vocabulary and decided.code = kinds.code
left join codes.words_for_codes as answers
    on list_contains(string_split(measures.vocabularies, ' '), answers.vocabulary) and decided.answer = answers.code
order by cast(measures.rank as integer), decided.axis, decided.code, decided.answer
