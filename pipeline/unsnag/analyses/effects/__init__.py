"""Which intervention works: every planned comparison as an emulated target trial (METHODS in stats/emulation)."""

from unsnag.analyses.effects.answers import answer
from unsnag.analyses.effects.columns import TABLES
from unsnag.analyses.effects.planning import planned_rows
from unsnag.analyses.effects.tables import gather

TITLE = "Which intervention works"
QUESTION = "In the comparisons planned beforehand, which strategy gives the animals better odds, and how sure is that?"
CAUTION = (
    "An emulated trial removes immortal time and what the records say of the choice of patient; what they do not say "
    "stays. No result from one network of records is highly certain. The attending licensed veterinarian decides."
)
__all__ = ["CAUTION", "QUESTION", "TABLES", "TITLE", "compute"]


def compute(mart):
    """A frame for each of TABLES; multiple comparisons are allowed for over all planned questions at once.

    Settings of the mart: "questions"; "planned_elsewhere", p values of planned contrasts that are not asked here;
    "tell", a function that is told what is being done.
    """
    planned = mart.settings["questions"]
    tell = mart.settings.get("tell", lambda what: None)
    answers = []
    for question in planned.question:
        tell(f"comparing {question.name}")
        answers.append(answer(mart, planned, question))
    words = planned_rows(mart, planned.question)
    return gather(answers, words, mart.settings.get("planned_elsewhere", ()))
