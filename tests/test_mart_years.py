"""Years that begin on another day than 1 January, leap years included, and the last full year before a day."""

from datetime import date

import networks
import pytest
from unsnag.run import full_year

# admission → the year in which the network's year, from 1 July, began
FROM_JULY = {
    "2023-06-30": 2022,
    "2023-07-01": 2023,
    "2024-02-29": 2023,
    "2024-06-30": 2023,
    "2024-07-01": 2024,
}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("years"), 'year_starts = "07-01"\n')
    rows = "".join(f"{day},{day}\n" for day in FROM_JULY)
    settings = "export_date = 2024-12-31"
    networks.write_clinic(folder, "north", f"case_number,admission_date\n{rows}", settings=settings)
    return networks.build(folder)


def test_a_case_belongs_to_the_year_in_which_it_was_admitted(built):
    years = built.values("select admission_date::varchar, admission_year from mart.cases")
    assert years == FROM_JULY


@pytest.mark.parametrize(
    ("as_of", "year_starts", "expected"),
    [
        (date(2024, 12, 31), "01-01", 2024),
        (date(2024, 12, 30), "01-01", 2023),
        (date(2025, 6, 30), "07-01", 2024),
        (date(2025, 6, 29), "07-01", 2023),
        (date(2024, 6, 30), "07-01", 2023),
        (date(2024, 6, 29), "07-01", 2022),
    ],
)
def test_the_last_full_year(as_of, year_starts, expected):
    assert full_year(as_of, year_starts) == expected
