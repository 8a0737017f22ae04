"""unsnag effects: what is handed on for review, and what one question alone still owes to the others."""

import csv
import dataclasses
import io

import pytest
from rich.console import Console
from unsnag import cli_effects
from unsnag.errors import Problem
from unsnag.workspace import load

QUESTION = "endoscopy_or_surgery_first"


@pytest.fixture(scope="module")
def workspace(demo):
    return load(demo.folder)


@pytest.fixture(scope="module")
def frames(workspace):
    said = []
    found = cli_effects.recompute(workspace, QUESTION, said.append)
    assert said == [f"comparing {QUESTION}"]
    return found


@pytest.fixture(scope="module")
def folder(workspace, frames, tmp_path_factory):
    elsewhere = dataclasses.replace(workspace, folder=tmp_path_factory.mktemp("review"))
    (written,) = cli_effects.write_review(elsewhere, frames)
    return written


def rows(path):
    return list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


def test_recomputing_gives_what_the_analysis_gave(demo, frames):
    stored = demo.rows("select difference, verdict from result.effects order by rowid")
    found = frames["effects"][["difference", "verdict"]].itertuples(index=False, name=None)
    assert [verdict for _, verdict in found] == [verdict for _, verdict in stored]


def test_weights_of_each_strategy_stand_for_about_all_eligible(folder, frames):
    weights, eligible = rows(folder / "weights.csv"), frames["effects"]["eligible"].max()
    for strategy in ("endoscopy_first", "surgery_first"):
        mine = [float(row["weight"]) for row in weights if row["strategy"] == strategy]
        assert len(mine) == eligible
        assert sum(mine) / eligible == pytest.approx(1, abs=0.15)


def test_a_table_a_protocol_and_a_picture_stand_in_the_private_folder(folder):
    assert folder.parts[-3:] == ("private", "effects", QUESTION)
    assert "| Eligibility |" in (folder / "protocol.md").read_text(encoding="utf-8")
    svg = (folder / "effects.svg").read_text(encoding="utf-8")
    assert svg.startswith("<svg") and "<desc>Differences between strategies" in svg
    # As planned; the lost and the open, released and dead; least and most; without notes; a clinic out, least and most.
    assert len(rows(folder / "effect_sensitivity.csv")) == 2 * (1 + 4 + 2 + 1 + 2)


def test_no_figure_is_drawn_where_too_few_can_tell(frames):
    untold = frames["effects"].assign(verdict="too few to tell", difference=77.0, low=66.0, high=88.0)
    assert "77" not in cli_effects.picture(untold)


def test_every_reason_is_printed(frames):
    out = Console(file=io.StringIO(), width=200)
    cli_effects.show(frames, out)
    printed = " ".join(out.file.getvalue().split())
    pooled = frames["effects"].query("group == 'all' and reasons != ''")
    assert len(pooled) and all(" ".join(reasons.split()) in printed for reasons in pooled["reasons"])
    assert "attending licensed veterinarian decides" in printed


def test_questions_not_asked_still_count_as_planned(demo, workspace):
    with cli_effects.reading(workspace.store) as connection:
        (question,) = workspace.questions.question
        known = cli_effects._planned_elsewhere(connection, [question])
        never_analysed = question.model_copy(update={"name": "another"})
        assert cli_effects._planned_elsewhere(connection, [never_analysed]) == [1.0, 1.0]
    stored = "where effect_by = 'all' and measure in ('released', 'died_or_euthanased')"
    assert known == [p for (p,) in demo.rows(f"select p from result.effects {stored} order by rowid")]


def test_an_unknown_question_is_told_with_those_there_are(workspace):
    with pytest.raises(Problem, match="no question 'surgery'") as slip:
        cli_effects.recompute(workspace, "surgery")
    assert QUESTION in str(slip.value)
