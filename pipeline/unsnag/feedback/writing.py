"""Write each clinic's page and CSV out of feedback.*, which is never published."""

from pathlib import Path

import numpy as np

from unsnag.csv_text import csv_text
from unsnag.databases import reading
from unsnag.feedback.page import Adjusted, Feedback, render
from unsnag.stats.standardise import expected_count, indirect_ratio
from unsnag.workspace import Workspace

QUESTIONS = "level, rule, label, case_number, file, row_number, detail, remedy"
# Two sources may part one file between them; two sheets of one workbook have one path and hardly one length.
LEFT_OUT = """
    select coalesce(sum(greatest(least(fewest, whole - taken), 0)), 0)::bigint from (
        select min(left_out_rows) as fewest, sum(refused_rows + raw_rows) as taken,
            max(left_out_rows + refused_rows + raw_rows) as whole
        from raw.files where clinic = $clinic group by path, records_counted)"""
CSV_HEADING = ("level", "rule", "question", "case_number", "file", "row", "what_it_says", "what_to_do")


def write_all(workspace: Workspace) -> list[Path]:
    """Write ``private/<clinic>/feedback.html`` and ``questions.csv`` of every clinic that could be read.

    Returns  the folders
    """
    written = []
    with reading(workspace.store) as connection:
        for clinic in workspace.clinics:
            feedback = _gather(connection, workspace, clinic.name)
            if feedback is None:
                continue
            folder = workspace.made("private") / clinic.name
            folder.mkdir(parents=True, exist_ok=True)
            (folder / "feedback.html").write_text(render(feedback), encoding="utf-8", newline="\n")
            text = csv_text([CSV_HEADING, *feedback.questions])
            (folder / "questions.csv").write_text(text, encoding="utf-8-sig", newline="\n")
            written.append(folder)
    return written


def _gather(connection, workspace: Workspace, clinic: str) -> Feedback | None:
    """What one clinic is told; None if it could not be read."""

    def rows(sql: str) -> list[tuple]:
        return connection.execute(sql, {"clinic": clinic}).fetchall()

    ((left_out,),) = rows(LEFT_OUT)
    ((label, records, export_date),) = rows(
        "select max(label), sum(raw_rows), max(export_date) "
        "from clinic.clinics left join raw.files using (clinic) where clinic = $clinic"
    )
    if records is None:
        return None
    ((as_of,),) = connection.execute("select as_of from run.about").fetchall()
    return Feedback(
        clinic=label or clinic,
        network=workspace.network.name,
        is_invented=workspace.network.invented,
        as_of=as_of,
        export_date=export_date,
        records=records,
        left_out=left_out,
        minimum_clinics=workspace.network.publication.minimum_clinics,
        questions=rows(
            f"select {QUESTIONS} from feedback.questions where clinic = $clinic order by question_number"
        ),
        words=rows(
            "select field, word, times from feedback.words where clinic = $clinic order by times desc, field, word"
        ),
        completeness=rows(
            "select field, cases, filled, percent, others_lowest, others_middle, others_highest "
            "from feedback.completeness where clinic = $clinic order by field"
        ),
        figures=rows(
            "select label, part, whole, percent, pooled_part, pooled_whole, pooled_percent "
            "from feedback.figures where clinic = $clinic order by position"
        ),
        adjusted=adjusted(
            rows(
                "select released, resolved, pooled_released, pooled_resolved from feedback.case_mix "
                "where clinic = $clinic order by stratum"
            ),
            workspace.network.publication.minimum_for_percentage,
        ),
    )


def adjusted(strata: list[tuple], minimum: int) -> Adjusted | None:
    """Observed over expected releases of one clinic; None below the floor for a percentage.

    strata  : released, resolved, released and resolved of all clinics, for each kind of case that enough clinics have
    """
    if sum(row[1] for row in strata) < minimum:
        return None
    released, resolved, pooled_released, pooled_resolved = np.array(strata, dtype=float).T
    rate = pooled_released / pooled_resolved
    expected, _ = expected_count(resolved, rate)
    if expected == 0:
        return None
    ratio, low, high = indirect_ratio(released.sum(), resolved, rate)
    figures = (float(value) for value in (expected, ratio, low, high))
    return Adjusted(int(resolved.sum()), int(released.sum()), *figures)
