"""The public database: explained to the last column, and nothing private in it."""

import re

import pytest
from unsnag import models
from unsnag.databases import reading

PUBLIC = models.find(["5_public"])
SECRET_COLUMNS = (
    "case_number", "band", "other_clinic_number", "found_place", "release_place", "notes", "stay_id", "record_id",
    "found_date", "admission_date", "outcome_date", "file_id", "row_number",
)  # fmt: skip


@pytest.fixture(scope="module")
def columns(demo):
    """(table, column, comment) of everything in the public database."""
    return demo.public(
        "select table_name, column_name, comment from duckdb_columns() where schema_name = 'public'"
    )


@pytest.fixture(scope="module")
def values(demo):
    """Every different text that stands in a cell of the public database."""
    texts = set()
    with reading(demo.folder / "out" / "public.duckdb") as connection:
        for model in PUBLIC:
            for (cell,) in connection.execute(
                f"select distinct cell from (unpivot (select columns(*)::varchar from {model.name}) on columns(*) "
                "into name field value cell)"
            ).fetchall():
                texts.add(cell)
    return texts


def private_values(demo, column):
    rows = demo.rows(f"select distinct {column} from standard.stays where {column} is not null")
    return {str(value) for (value,) in rows}


def test_the_public_database_holds_the_tables_of_5_public_and_nothing_else(demo):
    tables = demo.public(
        "select schema_name, table_name from duckdb_tables() where database_name = 'pooled' union all "
        "select schema_name, view_name from duckdb_views() where not internal and database_name = 'pooled'"
    )
    assert sorted(tables) == sorted((model.schema, model.table) for model in PUBLIC)


def test_every_table_is_explained(demo):
    told = dict(demo.public("select table_name, comment from duckdb_tables() where schema_name = 'public'"))
    assert told == {model.table: model.description for model in PUBLIC}


def test_every_column_is_explained(columns):
    assert [(table, column) for table, column, comment in columns if not comment] == []


def test_no_header_explains_a_column_that_is_not_there(columns):
    there = {(table, column) for table, column, _ in columns}
    said = {(model.table, column) for model in PUBLIC for column in model.columns}
    assert said == there


def test_no_private_column_is_published(columns):
    assert {column for _, column, _ in columns} & set(SECRET_COLUMNS) == set()


@pytest.mark.parametrize(
    "column", ["case_number", "band", "found_place", "release_place", "notes", "stay_id"]
)
def test_no_private_value_is_published(demo, values, column):
    private = {value for value in private_values(demo, column) if len(value) > 3}
    # A council's list of its jetties and ramps is public by itself, whether an animal was found there or not.
    listed = {site for (site,) in demo.rows("select site from place.sites")}
    assert len(private - listed) > 5
    assert (private - listed) & values == set()


def test_no_clinic_is_named(demo, values):
    names = {name for row in demo.rows("select clinic, label from clinic.clinics") for name in row if name}
    assert len(names) >= 10
    told = " ".join(values)
    assert [name for name in names if name in told] == []


def test_no_exact_place_is_published(demo):
    exact = demo.rows("select latitude, longitude from mart.cases where latitude is not null")
    shown = demo.public("select latitude, longitude from public.cases where latitude is not null")
    assert len(exact) > len(shown) > 0
    assert set(exact) & set(shown) == set()


def test_a_published_place_is_the_middle_of_a_cell_of_the_grid_that_holds_the_exact_one(demo):
    """A tenth of a degree; the radius is at least half the cell's diagonal (external_checks.md 7.2: 7,845 m at 0°)."""
    pairs = demo.rows(
        "select cases.latitude, cases.longitude, cell_latitude, cell_longitude, uncertainty_m "
        "from mart.cases as cases inner join withhold.places as places using (case_id) where why_withheld is null"
    )
    assert len(pairs) > 10
    for latitude, longitude, cell_latitude, cell_longitude, uncertainty in pairs:
        assert abs(latitude - cell_latitude) <= 0.05 + 1e-6
        assert abs(longitude - cell_longitude) <= 0.05 + 1e-6
        assert round(abs(cell_latitude) * 100) % 10 == 5
        assert 5500 < uncertainty < 30000


def test_a_place_is_published_only_with_enough_cases_of_its_kind_and_year(demo):
    few = demo.public(
        "select latitude, longitude, taxon_group_code, admission_year from public.cases where latitude is not null "
        "and taxon_group_code <> 'withheld' group by all having count(*) < 3"
    )
    assert few == []


def test_what_was_withheld_or_made_coarser_is_said(demo):
    silent = demo.public(
        "select count(*) from public.cases where information_withheld is null "
        "or (latitude is not null and data_generalizations is null)"
    )
    assert silent == [(0,)]


def test_published_ids_are_pseudonyms_in_their_own_order(demo):
    ids = [case for (case,) in demo.public("select case_id from public.cases")]
    assert all(re.fullmatch("[0-9a-f]{16}", case) for case in ids)
    assert ids == sorted(ids) and len(set(ids)) == len(ids)


def test_a_small_network_shows_no_clinics_letter_beside_a_case(demo):
    assert demo.one("select count(*) from clinic.clinics") < 10
    assert demo.public("select count(clinic) from public.cases") == [(0,)]


def test_every_tackle_case_is_published_once(demo):
    private = demo.rows("select count(*), count(*) filter (where is_tackle) from mart.cases")
    assert demo.public("select count(*), count(*) filter (where is_tackle) from public.cases") == private


def test_tables_are_stored_in_the_order_of_their_keys_or_as_told(demo):
    """Rows come back in the same order from any number of threads, because each SELECT ends in an order by."""
    assert [model.name for model in PUBLIC if "order by" not in model.select.splitlines()[-1]] == []
