"""The steward's page: what to do next is told from the store, in order, and only what is open."""

import networks
import pytest
from unsnag import steward, store, workspace
from unsnag.steward import history
from unsnag.steward.tasks import State, tasks

CLINIC = {
    "label": "North",
    "is_missing": False,
    "export_age_days": 3,
    "newest_export": "2024-01-01",
    "questions": 0,
}
CALM = State([CLINIC], 0, 0, [], 0, 2023, 1, False, "net")
ROWS = """
    case_number,admission_date,species,cause,injury,gear,outcome,outcome_date
    1,2023-01-01,gull,zonked,ingested,hook,released,2023-01-09
    2,2023-02-01,gull,zonked,embedded,hook,died,2023-01-02
    """


def state(**open_things):
    return State(**(vars(CALM) | open_things))


def test_nothing_open_is_nothing_to_do():
    assert tasks(CALM) == []


@pytest.mark.parametrize(
    ("open_things", "told"),
    [
        ({"clinics": [CLINIC | {"is_missing": True}]}, "Mend the exports of 1 clinic: North"),
        ({"broken_laws": 2}, "2 laws of conservation"),
        ({"refused": 1}, "Look at 1 refused record"),
        (
            {"words": [("north", "cause", "zonked", 7), ("north", "gear", "zz", 1)]},
            "Code 2 words, written 8 times",
        ),
        ({"grey_pairs": 3}, "Decide 3 uncertain pairs of stays"),
        (
            {"clinics": [CLINIC | {"export_age_days": 121}]},
            "Ask 1 clinic for a new export: North (2024-01-01)",
        ),
        ({"clinics": [CLINIC | {"questions": 4}]}, "Send 1 clinic its questions, 4 in all"),
        ({"edition": 0}, "Publish the report of 2023"),
        ({"changed": True}, "Decide whether 2023 needs another edition"),
    ],
)
def test_each_open_thing_is_one_task(open_things, told):
    (task,) = tasks(state(**open_things))
    assert task.title.startswith(told) and task.why and task.where


def test_an_export_of_120_days_is_not_late():
    assert tasks(state(clinics=[CLINIC | {"export_age_days": 120}])) == []


def test_what_keeps_animals_out_of_every_figure_comes_first():
    clinics = [CLINIC | {"is_missing": True}, CLINIC | {"questions": 9}]
    titles = [
        task.title
        for task in tasks(state(clinics=clinics, refused=1, words=[("n", "cause", "z", 1)], edition=0))
    ]
    assert [title.split()[0] for title in titles] == ["Mend", "Look", "Code", "Send", "Publish"]


def test_a_run_is_remembered_once_until_something_changes(tmp_path):
    run = dict.fromkeys(history.COLUMNS, 1)
    path = tmp_path / "private" / "runs.csv"
    assert len(history.remember(path, run)) == len(history.remember(path, run)) == 1
    assert [line["cases"] for line in history.remember(path, run | {"cases": 2})] == ["1", "2"]


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("steward") / "net")
    networks.write_clinic(folder, "north", ROWS)
    place = workspace.load(folder)
    store.build(place)
    return steward.write(place, 2023, False).read_text(encoding="utf-8")


def test_the_page_names_the_clinic_its_words_and_what_to_do(page):
    assert "Code 1 word, written 2 times" in page and "zonked" in page
    assert "Send 1 clinic its questions" in page and "Publish the report of 2023" in page


def test_the_page_runs_no_script_and_asks_for_nothing(page):
    assert "<script" not in page and "http" not in page.replace("http-equiv", "").replace(
        "http://www.w3.org", ""
    )
