"""Nothing that a clinic sent is lost: each law by hand, on the demo, and broken on purpose."""

import duckdb
import networks
import pytest
from unsnag import checks
from unsnag.databases import reading

DATED = 'export_date_in_name = "stays_%Y-%m-%d"\ntotals = "Total"\nonly = { kind = ["wild"] }\ntitle_rows = 1'
EXPORTS = {
    "stays_2023-01-31.csv": """
        case_number,kind,admission_date,animal_count
        a,wild,2023-01-01,
        b,wild,2023-01-02,
        """,
    "stays_2023-02-28.csv": """
        case_number,kind,admission_date,animal_count
        a,wild,2023-01-01,
        c,pet,2023-02-01,
        d,wild,2023-02-01,4
        d,wild,2023-02-01,4
        e,wild,,
        f,wild,2023-02-02,1,too,many,cells
        Total,,,
        """,
}
# law → (left, right, detail). Eleven records: two title rows, a and b; a, c, d, d, e, f and Total. c is left out (no
# wild animal), f refused on reading (too many cells), e refused for its day; a superseded, d repeated, d four animals.
LAWS = {
    1: (11, 11, "3 + 1 + 1 + 6"),
    2: (6, 6, "6"),
    3: (6, 6, "1 + 5"),
    4: (5, 5, "3 + 1 + 1"),
    5: (6, 6, "3 + 3"),
    6: (6, 6, "6"),
}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("conservation"))
    networks.write_clinic(folder, "north", EXPORTS, settings=DATED)
    exports = folder / "clinics" / "north" / "exports" / "stays"
    for path in exports.iterdir():
        path.write_text("Invented records\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    return networks.build(folder, publish=True)


@pytest.mark.parametrize(("number", "expected"), LAWS.items())
def test_a_law_by_hand(built, number, expected):
    law = built.rows(
        f"select left_side, right_side, detail from mart.conservation where law_number = {number}"
    )
    assert law == [expected]


def test_every_refused_record_is_listed_with_its_reason(built):
    told = built.rows(
        "select rule, row_number from checks.found where rule in ('refused_records', 'refused_rows') order by 1"
    )
    # The title row is row 1, the heading row 2, so e and f stand in rows 7 and 8 of the second file.
    assert told == [("refused_records", 8), ("refused_rows", 7)]


def test_the_laws_hold_on_the_demo_for_every_clinic(demo):
    broken = demo.rows(
        "select clinic, law, left_side, right_side from mart.conservation where holds is not true"
    )
    assert broken == []
    clinics = demo.one("select count(*) from clinic.clinics")
    assert demo.one("select count(*) from mart.conservation") == clinics * len(LAWS)
    assert demo.public("select bool_and(holds), count(*) from public.conservation") == [(True, len(LAWS))]


def test_a_broken_law_is_told_with_its_clinic_and_counts(built, tmp_path):
    copy = tmp_path / "cases.duckdb"
    copy.write_bytes((built.folder / "store" / "cases.duckdb").read_bytes())
    with duckdb.connect(copy) as connection:
        connection.execute("update mart.conservation set right_side = 5, holds = false where law_number = 6")
    with reading(copy) as connection:
        (problem,) = checks.broken_laws(connection)
    assert problem.who == "north" and "6 is not 5" in problem.what
