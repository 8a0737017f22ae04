"""Clinics beside their case mix: by hand, and public from ten clinics on, not with nine."""

import networks
import numpy as np
import pandas as pd
import pytest
from unsnag import analyse, models, store
from unsnag.analyses import clinic_funnel
from unsnag.databases import swapped_in
from unsnag.feedback.writing import adjusted
from unsnag.workspace import load

HEADING = "case_number,admission_date,species,cause,injury,severity,outcome,outcome_date\n"


class Cells:
    """A mart with these cells: (clinic, stratum, released, resolved)."""

    def __init__(self, *rows):
        self.rows = pd.DataFrame(rows, columns=["clinic", "stratum", "released", "resolved"])

    def frame(self, sql):
        return self.rows


def test_observed_over_expected_by_hand():
    # Pooled: milder 20/25 = 0.8, graver 5/25 = 0.2. Clinic a, 20 milder and 5 graver: 16 + 1 = 17 expected, 20 seen.
    frame = clinic_funnel.compute(
        Cells(("a", "m", 18, 20), ("a", "g", 2, 5), ("b", "m", 2, 5), ("b", "g", 3, 20))
    ).set_index("clinic")
    assert list(frame["expected"]) == pytest.approx([17, 8])
    assert list(frame["ratio"]) == pytest.approx([20 / 17, 5 / 8])
    assert frame["low_95"].isna().all() and frame["reason"].str.contains("a funnel needs 10").all()


def test_a_clinics_own_figure_by_hand():
    # Exact limits of 7 of 10 are 0.3475 and 0.9333 (R binom.test); of 5 expected they are 0.695 and 1.867 times.
    told = adjusted([(4, 5, 30, 50), (3, 5, 20, 50)], 10)
    assert (told.resolved, told.observed, told.expected) == (10, 7, pytest.approx(5))
    assert (told.ratio, told.low, told.high) == pytest.approx((1.4, 0.6951, 1.8665), abs=1e-3)


def test_a_clinic_of_too_few_animals_or_nothing_to_expect_is_told_no_ratio():
    assert adjusted([(4, 5, 30, 50)], 10) is None
    assert adjusted([(0, 12, 0, 50)], 10) is None
    assert adjusted([], 10) is None


def published(folder, clinics):
    """(letters, rows) of the public funnel of an invented network of so many clinics, each with 12 cases."""
    networks.write_network(folder)
    for number in range(clinics):
        rows = [
            f"{case},2023-01-0{1 + case % 9},cygnus_atratus,fishing_tackle,ingested,{'mild' if case % 2 else 'severe'},"
            f"{'died' if case % (3 + number % 3) == 0 else 'released'},2023-02-01\n"
            for case in range(12)
        ]
        networks.write_clinic(folder, f"clinic_{number}", HEADING + "".join(rows))
    workspace = load(folder)
    as_of = store.build(workspace).as_of
    with swapped_in(workspace.store, start_from=workspace.store) as connection:
        connection.execute("create schema if not exists result")
        frame = clinic_funnel.compute(analyse.Mart(connection))
        connection.register("frame", frame)
        connection.execute("create table result.clinic_funnel as select * from frame")
        (model,) = (item for item in models.find(["5_public"]) if item.table == "clinic_funnel")
        models.build(connection, [model], store.parameters(workspace, as_of))
        return frame, connection.execute("from public.clinic_funnel").fetchall()


def test_nine_clinics_have_no_public_funnel(tmp_path):
    frame, rows = published(tmp_path, 9)
    assert len(frame) == 9 and rows == []


def test_ten_clinics_have_one_by_letters(tmp_path):
    frame, rows = published(tmp_path, 10)
    assert [row[0] for row in rows] == list("ABCDEFGHIJ")
    assert sorted(row[4] for row in rows) == pytest.approx(sorted(np.round(frame["ratio"], 4)))
    assert not any("clinic_" in str(cell) for row in rows for cell in row)
