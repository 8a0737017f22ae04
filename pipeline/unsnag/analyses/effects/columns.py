"""The tables that the planned comparisons fill, each column with its meaning."""

KEY = {
    "question": "name of the planned comparison, as in questions.toml",
    "effect_by": "the feature by which animals are grouped, or 'all'",
    "group": "the group, or 'all'",
}
TABLES = {
    "effects": KEY
    | {
        "asks": "the question in words",
        "strategy": "strategy that is compared",
        "reference": "strategy that it is compared with: the first of the question",
        "measure": "released, died_or_euthanased (percent of animals), days_free or days_lost (days)",
        "horizon_days": "days from admission at which it is read",
        "eligible": "animals that the comparison is about",
        "reference_estimate": "what would be seen under the reference",
        "strategy_estimate": "what would be seen under the strategy",
        "difference": "strategy minus reference, in points or days",
        "low": "lower 95 % limit, percentile bootstrap over cases within clinics",
        "high": "upper 95 % limit",
        "difference_truncated": "the same with weights cut at their 99th percentile",
        "p": "chance of a difference so large if there were none",
        "adjusted_p": "p after allowing for all planned comparisons (Benjamini and Hochberg)",
        "verdict": "more, fewer, no clear difference, cannot tell, cannot be told apart, too few to tell",
        "certainty": "very low, low or moderate, by written rules; never high",
        "reasons": "what the verdict and the certainty rest on",
        "events": "outcomes in the smaller of both strategies, counting only animals that speak for one of them",
        "effective_size": "effective number of animals, the smaller of both",
        "clinics": "clinics with eligible animals",
        "clinics_with_both": "clinics that use both strategies",
        "e_value": "strength that unmeasured confounding would need to explain the limit nearer to none",
    },
    "effect_bias": {
        "question": KEY["question"],
        "method": "how retrieved and not retrieved animals are compared",
        "measure": "released (points) or hazard ratio of death or euthanasia",
        "value": "retrieved less not retrieved, or the ratio",
        "low": "lower 95 % limit, empty if none is given",
        "high": "upper 95 % limit, empty if none is given",
        "is_biased": "whether the method is shown only to tell how it misleads",
    },
    "effect_curves": {
        "question": KEY["question"],
        "strategy": "the strategy",
        "ending": "released, died, euthanased, other",
        "day": "whole days from admission",
        "incidence": "share that would have ended so by the day under the strategy, percent",
    },
    "effect_flow": {
        "question": KEY["question"],
        "step": "step of the selection, from all tackle cases to those that stayed in a strategy",
        "step_number": "order of the steps",
        "animals": "animals left after the step",
    },
    "effect_balance": {
        "question": KEY["question"],
        "strategy": "the strategy",
        "covariate": "baseline feature and level",
        "difference_before": "standardised difference between those who stayed in the strategy and all eligible",
        "difference_after": "the same after weighting",
    },
}
