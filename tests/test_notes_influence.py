"""With and without what was read in texts: the same as a run without them, withheld where few clinics write texts."""

from dataclasses import replace

import networks
import pytest
from unsnag import analyse, models, publish, run, store
from unsnag.analyses import notes_influence
from unsnag.databases import reading
from unsnag.workspace import load

SAID = "Hook in the stomach on xr."
# Ten animals a clinic; text(s) tells what is written of the first five, whose columns are silent.
HEADER = "case_number,admission_date,species,cause,injury,gear,body_site,outcome,outcome_date,notes\n"
AXES = "is_tackle, injury_code, gear_code, body_site_code, outcome_class, outcome_timing_code"


def stays(text: str, outcome: str = "released") -> str:
    silent = [f"{n},2023-03-01,gull,fishing tackle,,,,{outcome},2023-03-20,{text}\n" for n in range(5)]
    told = [
        f"{n},2023-03-01,gull,fishing tackle,ingested,hook,stomach,died,2023-03-20,\n" for n in range(5, 10)
    ]
    return HEADER + "".join(silent + told)


def network(folder, texts):
    networks.write_network(folder)
    for clinic, text in zip(("north", "east", "south", "west"), texts, strict=False):
        networks.write_clinic(folder, clinic, stays(text))
    built = networks.build(folder)
    publish_alone(built)
    return built


def publish_alone(built) -> None:
    """This analysis and what it takes to publish it, without all the others."""
    parameters = store.parameters(load(built.folder), None)
    with run.changed_copy(built.folder / "store" / "cases.duckdb") as connection:
        connection.execute("create schema result")
        frame = notes_influence.compute(analyse.Mart(connection))  # noqa: F841 (DuckDB finds it by its name)
        connection.execute("create table result.notes_influence as select * from frame")
        models.build(connection, models.find(["5_withhold"]), parameters)
        publish.decide(connection, parameters["minimum_clinics"])
        (public,) = (model for model in models.find(["5_public"]) if model.table == "notes_influence")
        models.build(connection, [public], parameters)


@pytest.fixture(scope="module")
def three(tmp_path_factory):
    return network(tmp_path_factory.mktemp("three"), (SAID, SAID, SAID))


@pytest.fixture(scope="module")
def one(tmp_path_factory):
    return network(tmp_path_factory.mktemp("one"), (SAID, "", "", ""))


COLUMNS = "animals_with, animals_without, owing, released_with, released_without, points_moved"


def row(built, group):
    (found,) = built.rows(f"select {COLUMNS} from public.notes_influence where group_code = '{group}'")
    return found


def test_a_rate_moves_by_the_cases_that_texts_add_by_hand(three):
    """30 swallowed, 15 of them released; by columns alone 15, none of them released."""
    assert row(three, "ingested") == (30, 15, 15, 15, 0, 50)
    assert row(three, "all") == (30, 30, 15, 15, 15, 0)


def test_what_texts_add_at_one_clinic_is_withheld(one):
    with_texts, without, owing, *_, moved = row(one, "ingested")
    assert (with_texts, without, owing, moved) == (25, None, None, None)
    assert one.rows("select note from public.notes_influence where group_code = 'ingested'") == [
        ("withheld: fewer than 3 clinics",)
    ]


def test_what_is_withheld_cannot_be_had_from_the_total(one):
    """40 tackle cases without texts too: one group withheld alone would be 40 less the others."""
    assert row(one, "all")[1] == 40
    hidden = (
        "select count(*) from public.notes_influence where grouping = 'injury' and animals_without is null"
    )
    assert one.rows(hidden) == [(2,)]


@pytest.mark.parametrize("built", ["three", "one"])
def test_columns_alone_say_what_a_run_without_texts_says(built, request):
    built = request.getfixturevalue(built)
    workspace = replace(load(built.folder), without_notes=True)
    store.build(workspace)
    with reading(workspace.store) as connection:
        alone = connection.execute(f"select case_id, {AXES} from mart.cases order by 1").fetchall()
    assert built.rows(f"select case_id, {AXES} from mart.cases_without_notes order by 1") == alone
    assert workspace.store != load(built.folder).store
