"""The protocol of an emulated trial, for review: what was planned, in the nine rows of the TARGET statement.

Source  Cashin et al. (2025), TARGET, JAMA, doi:10.1001/jama.2025.13350 (rows of the protocol).
"""

from unsnag.stats.emulation.wording import in_words
from unsnag.workspace.questions import Question, Questions


def protocol(question: Question, planned: Questions) -> str:
    """The protocol of one question as Markdown."""
    rows = "\n".join(f"| {name} | {text} |" for name, text in _rows(question, planned))
    return (
        f"# {question.asks}\n\n`{question.name}`, planned on {question.planned}. {question.reason}\n\n"
        f"| row | the emulated trial |\n|---|---|\n{rows}\n\n"
        "Population evidence informs; it does not decide one animal's treatment. The attending, licensed veterinarian "
        "decides under local law, licence conditions and euthanasia guidelines.\n"
    )


def _rows(question: Question, planned: Questions) -> list[tuple[str, str]]:
    who = "; ".join(
        f"{name.replace('_', ' ')}: {', '.join(values)}" for name, values in question.population.items()
    )
    floors = question.floors or planned.floors
    return [
        ("Eligibility", f"tackle cases alive on arrival, last day and interventions dated; {who}"),
        ("Strategies", "; ".join(f"**{each.name}**: {in_words(each.settings)}" for each in question.strategy)),
        ("Assignment", "each eligible case is cloned into every strategy; a strategy is a target daily chance of "
         f"intervention ({', '.join(question.intervention)})"),
        ("Time zero", "first admission of the linked case, day 0"),
        ("Follow-up", f"to release, death, euthanasia, another ending, loss, or day {question.horizon_days}"),
        ("Outcome", ", ".join(question.outcomes).replace("_", " ") + f" at day {question.horizon_days}"),
        ("Contrast", f"each strategy minus {question.strategy[0].name}, in animals per 100 and in days; by "
         + (", ".join(question.effect_by).replace("_", " ") or "no group")),
        ("Assumptions", "the findings and features named decide treatment and ending together with nothing that is not "
         f"recorded: {', '.join((*question.confounders, 'clinic'))}; every strategy is possible in every animal; "
         "a passing of gear is known on the day it is seen"),
        ("Analysis", "pooled logistic regression of the daily chance h of intervention; "
         "weights h*/h and (1 - h*)/(1 - h) from each day on; weighted Aalen-Johansen curves; "
         "percentile bootstrap over cases within clinics, expanded for small effective sizes (Hesterberg 2014), "
         f"{planned.resampling.replicates} replicates, seed {planned.resampling.seed}; "
         f"too few to tell below {floors.events_per_arm} events a strategy, effective size {floors.effective_size}, "
         f"{floors.clinics_using_both} clinics that use both"),
    ]  # fmt: skip
