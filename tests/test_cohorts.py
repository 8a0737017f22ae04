"""Cohorts: named groups of cases as data, their slips said in words, their members and exclusions counted by hand."""

import networks
import pytest
from unsnag.errors import Problems, UnsnagError, render
from unsnag.workspace import load

HEADING = "case_number,admission_date,species,cause,injury,severity,outcome,outcome_date\n"
COHORT = """
    [[cohort]]
    name = "hooked"
    title = "Animals with a swallowed hook"
    why = "A test."
    {more}
"""
WHO = 'who = { injury = "ingested", severity = ["severe", "critical"] }'


def cohort(folder, more=WHO, questions=""):
    """A workspace of one empty clinic with one cohort."""
    networks.write_network(folder)
    networks.write_clinic(folder, "north", HEADING)
    networks.write_text(folder / "cohorts.toml", COHORT.format(more=more))
    if questions:
        networks.write_text(folder / "questions.toml", questions)
    return folder


def slip(folder, more=WHO, questions=""):
    """The one problem of such a workspace, in words."""
    with pytest.raises(UnsnagError) as caught:
        load(cohort(folder, more, questions))
    found = caught.value
    (problem,) = found.problems if isinstance(found, Problems) else [found]
    assert problem.remedy
    return render(problem)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('who = { injuri = "ingested" }', "cannot ask for 'injuri'. Did you mean 'injury'"),
        ('who = { outcome = "released" }', "cannot ask for 'outcome'"),
        ('who = { injury = "ingestd" }', "injury has no code 'ingestd'. Did you mean 'ingested'"),
        ("who = { injury = [] }", "injury lists no code"),
        ("", "the cohort has no condition"),
        ("from = 2022-01-01\nuntil = 2021-01-01", "'from' is later than 'until'"),
        ("form = 2022-01-01", "there is no such key.\nDid you mean 'from'"),
        ('from = "soon"', "cohorts.toml, key cohort.1.from: "),
    ],
)
def test_a_slip_is_said_with_file_and_key(tmp_path, more, said):
    text = slip(tmp_path, more)
    assert said in text and "cohorts.toml, key cohort" in text


def test_two_cohorts_of_one_name_are_a_slip(tmp_path):
    cohort(tmp_path)
    path = tmp_path / "cohorts.toml"
    path.write_text(path.read_text() * 2)
    with pytest.raises(UnsnagError, match="two cohorts are named 'hooked'"):
        load(tmp_path)


QUESTION = """
    [[question]]
    name = "which"
    asks = "Which?"
    planned = 2023-01-01
    reason = "A test."
    cohort = "{cohort}"
    population = {{}}
    intervention = ["surgery_coeliotomy"]
    outcomes = ["released"]
    horizon_days = 90
    confounders = ["severity"]
    effect_by = ["body_site"]
    [[question.strategy]]
    name = "early"
    kind = "retrieve_within"
    days = 7
    forced_over = 3
    [[question.strategy]]
    name = "late"
    kind = "watch_at_least"
    days = 21
"""


def test_a_planned_comparison_asks_only_for_a_cohort_that_was_there_when_it_was_planned(tmp_path):
    text = slip(tmp_path / "a", questions=QUESTION.format(cohort="hoked"))
    assert "questions.toml, key question.1.cohort: no cohort 'hoked'" in text and "'hooked'" in text
    later = slip(tmp_path / "b", "decided = 2024-01-01\n" + WHO, QUESTION.format(cohort="hooked"))
    assert "no cohort 'hooked' was decided by 2023-01-01" in later
    assert load(cohort(tmp_path / "c", questions=QUESTION.format(cohort="hooked")))


def test_an_earlier_day_does_not_know_a_later_cohort(tmp_path):
    place = load(cohort(tmp_path, "decided = 2023-06-01\n" + WHO))
    day = place.cohorts.cohort[0].decided
    assert len(place.known_on(day).cohorts.cohort) == 1
    assert place.known_on(day.replace(day=1, month=5)).cohorts.cohort == ()


# Cases of each of three clinics: number, day, injury, severity.
CASES = [
    ("1", "2022-12-31", "ingested", "severe"),
    ("2", "2023-01-01", "ingested", "severe"),
    ("3", "2023-06-30", "ingested", "mild"),
    ("4", "2023-06-30", "embedded", "critical"),
    ("5", "2023-12-31", "ingested", "critical"),
    ("6", "2023-07-01", "", "critical"),
    ("7", "2024-01-01", "ingested", "critical"),
]


@pytest.fixture(scope="module")
def network(tmp_path_factory):
    """Three clinics with the same seven cases; a fourth clinic alone has a female."""
    folder = networks.write_network(tmp_path_factory.mktemp("cohorts"))
    for clinic in ("one", "two", "three"):
        rows = [
            f"{number},{day},cygnus_atratus,fishing_tackle,{injury},{severity},released,2024-01-20\n"
            for number, day, injury, severity in CASES
        ]
        networks.write_clinic(folder, clinic, HEADING + "".join(rows))
    alone = "1,2023-03-01,cygnus_atratus,fishing_tackle,embedded,severe,released,2024-01-20,female\n"
    networks.write_clinic(folder, "four", HEADING.replace("\n", ",sex\n") + alone)
    window = "from = 2023-01-01\n    until = 2023-12-31\n    " + WHO
    text = COHORT.format(more=window) + COHORT.replace("hooked", "of_one_clinic").format(
        more='who = { sex = "female" }'
    )
    networks.write_text(folder / "cohorts.toml", text)
    return networks.build(folder, publish=True)


def test_flow_by_hand(network):
    """22 cases; 3 before, 3 after; of 16 four are embedded and three silent; of 9 three are mild."""
    flow = network.rows(
        "select reason, animals_out, animals_left from mart.cohort_flow where cohort = 'hooked' order by step"
    )
    assert flow == [
        ("all cases", 0, 22),
        ("admitted from 2023-01-01", 3, 19),
        ("admitted until 2023-12-31", 3, 16),
        ("injury: ingested", 7, 9),
        ("severity: severe or critical", 3, 6),
    ]


def test_members_by_hand(network):
    cases = network.rows(
        "select distinct right(case_id, 1) from mart.cohort_cases where cohort = 'hooked' order by 1"
    )
    assert cases == [("2",), ("5",)]
    assert network.rows("select animals from mart.cohorts where cohort = 'hooked'") == [(6,)]


def test_published_members_are_the_published_cases_that_show_what_the_cohort_asks_for(network):
    listed = network.public("select case_id from public.cohort_cases where cohort = 'hooked' order by 1")
    shown = network.public(
        "select case_id from public.cases where is_tackle and admission_year = 2023 and injury_code = 'ingested' "
        "and severity_code in ('severe', 'critical') order by 1"
    )
    assert set(listed) <= set(shown) and 3 <= len(listed) <= len(shown) == 6


def test_a_cohort_of_one_clinic_is_named_but_not_listed(network):
    assert network.public("select animals_listed from public.cohorts where cohort = 'of_one_clinic'") == [
        (0,)
    ]
    told = network.public(
        "select step, animals_left, note from public.cohort_flow where cohort = 'of_one_clinic' order by step"
    )
    assert told == [(0, 22, None), (1, None, "withheld: fewer than 3 clinics")]


def test_no_listed_case_has_a_withheld_value_in_a_feature_that_its_cohort_asks_for(demo):
    features = demo.rows(
        "select distinct cohort, feature from clinic.cohort_steps where feature not like 'admitted%'"
    )
    assert len(features) > 5
    for cohort_name, feature in features:
        if feature in ("tackle", "arrival"):
            continue
        hidden = demo.public(
            f"select count(*) from public.cohort_cases inner join public.cases using (case_id) "
            f"where cohort = '{cohort_name}' and {feature}_code = 'withheld'"
        )
        assert hidden == [(0,)]


def test_published_flow_can_be_counted_from_the_published_cases(demo):
    """The turtles: nothing that public.cases does not tell."""
    counted = demo.public(
        "select count(*), count(*) filter (where is_tackle), "
        "count(*) filter (where is_tackle and is_alive_on_arrival), "
        "count(*) filter (where is_tackle and is_alive_on_arrival and injury_code = 'ingested') from public.cases"
    )[0]
    flow = demo.public(
        "select animals_left from public.cohort_flow where cohort = 'swallowed_hook_turtles' order by step limit 4"
    )
    assert tuple(left for (left,) in flow) == counted


def test_the_flow_says_how_many_it_could_not_judge(demo):
    """Entangled birds: those whose injury is withheld may be constricted, so that the cohort may be short of them."""
    of_birds = (
        "from public.cohort_flow where cohort = 'entangled_birds_2021_to_2023' and reason like 'injury%'"
    )
    ((withheld, left),) = demo.public(f"select animals_withheld, animals_left {of_birds}")
    conditions = "is_tackle and admission_year between 2021 and 2023 and injury_code = 'withheld'"
    at_most = demo.public(f"select count(*) from public.cases where {conditions}")[0][0]
    assert 0 < withheld <= at_most and left > 0
    assert demo.public("select count(*) from public.cohort_flow where animals_withheld > animals_out") == [
        (0,)
    ]


def test_a_planned_comparison_takes_its_animals_from_a_cohort(demo):
    """Selecting by the cohort equals selecting by the same codes."""
    from unsnag.analyse import Mart
    from unsnag.analyses.effects.selection import select
    from unsnag.databases import reading

    question = load(demo.folder).questions.question[0]
    codes = {
        "injury": ("ingested",),
        "gear": ("hook", "several"),
        "taxon_group": ("freshwater_turtle", "sea_turtle"),
    }
    with reading(demo.folder / "store" / "cases.duckdb") as connection:
        mart = Mart(connection)
        by_cohort = select(
            mart, question.model_copy(update={"population": {}, "cohort": "swallowed_hook_turtles"})
        )
        by_codes = select(mart, question.model_copy(update={"population": codes}))
    assert list(by_cohort.cases["case"]) == list(by_codes.cases["case"]) and len(by_cohort.cases) > 50


def test_a_workspace_without_cohorts_has_none(tmp_path):
    networks.write_network(tmp_path)
    networks.write_clinic(
        tmp_path, "one", HEADING + "1,2023-01-01,cygnus_atratus,fishing_tackle,,,released,2023-01-20\n"
    )
    built = networks.build(tmp_path, publish=True)
    assert built.one("select count(*) from mart.cohort_flow") == 0
    assert built.public("select count(*) from public.cohort_cases") == [(0,)]
