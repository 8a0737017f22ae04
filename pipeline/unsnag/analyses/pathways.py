"""What was done to the animals, in order, as counts from one step to the next."""

TITLE = "What was done, in order"
QUESTION = "Which treatments did the animals go through, and how did they end after each?"
CAUTION = (
    "A picture of what was done, not of what worked: which way an animal went depends on how ill it was and how long "
    "it lived."
)
COLUMNS = {
    "step_number": "place of the first of the two steps, 0 = admission",
    "step_from": "the step: admitted, or a treatment",
    "step_to": "the next step: a treatment, or how the case ended",
    "animals": "animals that went this way",
    "clinics": "clinics that they came to",
}
LAST_STEP = 3
COUNTS = """
with pairs as (
    select
        case_id, step_number, step as step_from,
        lead(step) over (partition by case_id order by step_number) as step_to
    from mart.pathway_steps
)
select
    pairs.step_number, step_from, step_to, count(*) as animals, count(distinct cases.clinic) as clinics
from pairs
inner join mart.cases as cases on pairs.case_id = cases.case_id
where step_to is not null and pairs.step_number <= $last_step
group by all
order by all
"""


def compute(mart):
    """One row per pair of steps that follow each other."""
    return mart.frame(COUNTS, last_step=LAST_STEP)[list(COLUMNS)]
