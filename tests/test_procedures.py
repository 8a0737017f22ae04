"""Attempts at removal: which was the first, how it went, what followed, when the gear was out; by hand."""

import networks
import pytest
from analysing import computed
from unsnag.analyses import procedures

STAYS = """
    case_number,admission_date,species,cause,outcome,outcome_date,gear_at_release
    converted,2023-01-01,gull,fishing tackle,released,2023-03-01,no
    at once,2023-01-01,gull,fishing tackle,released,2023-03-01,no
    died,2023-01-01,gull,fishing tackle,died,2023-01-09,
    twice,2023-01-01,gull,fishing tackle,released,2023-03-01,yes
    silent,2023-01-01,gull,fishing tackle,released,2023-03-01,
    no order,2023-01-01,gull,fishing tackle,released,2023-03-01,
    no day,2023-01-01,gull,fishing tackle,released,2023-03-01,
    partly,2023-01-01,gull,fishing tackle,transferred,2023-01-09,
    watched,2023-01-01,gull,fishing tackle,released,2023-03-01,yes
    dead,2023-01-01,gull,fishing tackle,died,2023-01-01,
    """
PROCEDURES = """
    case_number,procedure,procedure_date,procedure_result,complication
    converted,endoscopic retrieval,2023-01-03,failed,none
    converted,coeliotomy,2023-01-05,success,haemorrhage
    converted,antibiotics,2023-01-02,,
    at once,endoscopic retrieval,2023-01-01,success,
    died,endoscopic retrieval,2023-01-03,abandoned,anaesthetic
    twice,endoscopic retrieval,2023-01-04,success,none
    twice,endoscopic retrieval,2023-01-11,success,none
    silent,endoscopic retrieval,2023-01-03,,
    no order,endoscopic retrieval,,failed,
    no order,coeliotomy,2023-01-06,success,none
    no day,manual removal,,success,
    partly,manual removal,2023-01-02,partial,none
    watched,watch,2023-01-01,,
    """
GEAR = """
    case_number,gear,injury,body_site,gear_fate
    converted,hook,ingested,stomach,removed
    at once,hook,ingested,stomach,removed
    died,hook,ingested,stomach,left in
    twice,hook,ingested,stomach,removed
    twice,line,ingested,intestine,left in
    silent,hook,ingested,stomach,unknown
    no order,hook,ingested,stomach,removed
    no day,hook,embedded,mouth,removed
    partly,hook,embedded,mouth,left in
    watched,hook,ingested,stomach,passed
    dead,hook,ingested,stomach,left in
    """
# Measure and kind → {answer: count}, and those without a stated answer, by hand.
TOLD = {
    ("first_attempt", "endoscopic_retrieval"): ({"success": 2, "failed": 1, "abandoned": 1}, 1),
    ("first_attempt", "manual_removal"): ({"success": 1, "partial": 1}, 0),
    ("first_attempt", "all"): ({"success": 3, "failed": 1, "abandoned": 1, "partial": 1}, 1),
    ("attempt", "endoscopic_retrieval"): ({"success": 3, "failed": 2, "abandoned": 1}, 1),
    ("attempt", "surgery"): ({"success": 2}, 0),
    ("after_failure", "endoscopic_retrieval"): ({"surgery": 1, "died": 1}, 0),
    ("after_failure", "manual_removal"): ({"transferred": 1}, 0),
    ("complication", "endoscopic_retrieval"): ({"none": 3, "anaesthetic": 1}, 3),
    ("complication", "surgery"): ({"none": 1, "haemorrhage": 1}, 0),
    ("gear_item", "endoscopic_retrieval"): ({"removed": 4, "left_in": 2}, 1),
    ("gear_item", "watched"): ({"passed": 1}, 0),
    ("gear_item", "all"): ({"removed": 5, "left_in": 4, "passed": 1}, 1),
    ("at_release", "endoscopic_retrieval"): ({"no": 2, "yes": 1}, 2),
    ("at_release", "watched"): ({"yes": 1}, 0),
    ("at_release", "all"): ({"no": 2, "yes": 2}, 3),
}


@pytest.fixture(scope="module")
def frames(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("procedures"))
    networks.write_clinic(folder, "north", STAYS, sheets={"procedure": PROCEDURES, "gear_item": GEAR})
    return computed(networks.build(folder), procedures)


@pytest.mark.parametrize(("measure", "code"), TOLD)
def test_answers_and_what_is_not_stated_by_hand(frames, measure, code):
    rows = frames["procedures"].query("measure == @measure and code == @code and axis != 'procedure'")
    answers, not_stated = TOLD[measure, code]
    assert dict(rows.loc[rows["count"] > 0, ["answer", "count"]].to_numpy()) == answers
    assert set(rows["total"]) == {sum(answers.values())} and set(rows["not_stated"]) == {not_stated}


def test_percent_limits_and_bounds_of_a_first_attempt_by_hand(frames):
    """2 of 4, one more not stated: Clopper and Pearson's limits solve 6 low² - 8 low³ + 3 low⁴ = 0.025."""
    asked = "measure == 'first_attempt' and code == 'endoscopic_retrieval' and axis == 'treatment'"
    rows = frames["procedures"].query(asked).set_index("answer")
    row = rows.loc["success"]
    assert (row["percent"], row["bound_low"], row["bound_high"]) == (50, 40, pytest.approx(60))
    low = row["exact_low"] / 100
    assert 6 * low**2 - 8 * low**3 + 3 * low**4 == pytest.approx(0.025)
    assert row["exact_high"] == pytest.approx(100 - row["exact_low"])


def test_days_to_the_first_success_by_hand(frames):
    """Endoscopy on days 0 and 3, surgery on days 4 and 5; a success without a day has none."""
    told = frames["removal_days"].set_index("code")[
        ["animals", "quartile_low", "median_days", "quartile_high"]
    ]
    assert tuple(told.loc["endoscopic_retrieval"].iloc[0]) == (2, 0, 1.5, 3)
    assert tuple(told.loc["surgery"]) == (2, 4, 4.5, 5)
    assert tuple(told.loc["all"]) == (4, 1.5, 3.5, 4.5)
    assert "manual_removal" not in told.index


def test_a_kind_that_never_succeeded_is_told_with_none(frames):
    rows = frames["procedures"].query("measure == 'after_failure' and code == 'manual_removal'")
    assert rows.set_index(["axis", "answer"])["count"]["treatment", "surgery"] == 0
