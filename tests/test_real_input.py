"""Real records in full: the municipal intakes of external check 5.3, read in place, through the whole pipeline."""

import shutil
from pathlib import Path

import networks
import pytest
from conftest import reference_folder

REAL = Path(__file__).parent / "real"
FILE = Path("data") / "longbeach_shelter" / "longbeach.csv"
# Computed by others from the same file (external_checks.md 5.3; check_values.csv LB1 to LB4), not by this project.
CONVENTIONS = {
    "crude": (272, 4473),
    "resolved": (272, 2505),
    "resolved_without_early_deaths": (272, 391),
    "resolved_without_deaths_to_day_1": (272, 291),
    # 163 = 44 + 59 + 60: with the releases of day 0 left out too, which the check does not print but its counts give.
    "resolved_without_early_endings": (44, 163),
}
ENDINGS = {
    "euthanased": 2023,
    "transferred_out": 1127 + 676 + 103 + 4,
    "released": 272,
    "died": 210,
    "disposed": 38,
    "returned_to_finder": 10 + 4,
    "lost_sight": 3 + 1,
    None: 2,
}


def linked(folder: Path, name: str, clinic: str, file: Path) -> Path:
    """The settings copied, the data linked in place."""
    origin = reference_folder() / file
    if not origin.is_file():
        pytest.skip(f"published data not there: {origin}; set UNSNAG_REFERENCE to the folder that has it")
    shutil.copytree(REAL / name, folder, dirs_exist_ok=True)
    exports = folder / "clinics" / clinic / "exports"
    exports.mkdir(exist_ok=True)
    (exports / file.name).symlink_to(origin)
    return folder


@pytest.fixture(scope="module")
def municipal(tmp_path_factory):
    folder = linked(tmp_path_factory.mktemp("municipal"), "long_beach", "municipal", FILE)
    return networks.build(folder, publish=True)


def test_every_intake_becomes_a_case(municipal):
    # One line of 29,788 is the heading; the rest are 29,787 animals of which 4,473 are wild.
    counted = municipal.rows("select records_counted, title_rows, left_out_rows, raw_rows from raw.files")
    assert counted == [(29787, 0, 29787 - 4473, 4473)]
    assert municipal.one("select count(*) from mart.cases") == 4473


def test_the_endings_are_those_of_the_file(municipal):
    endings = municipal.values("select outcome_code, count(*) from mart.cases group by all")
    assert endings == ENDINGS


@pytest.mark.parametrize(("convention", "expected"), CONVENTIONS.items())
def test_release_rates_match_external_check_5_3(municipal, convention, expected):
    shown = municipal.public(
        "select numerator, denominator, percent from public.release_rates "
        f"where grouping = 'all_causes' and convention = '{convention}'"
    )
    count, total = expected
    assert shown == [(count, total, pytest.approx(100 * count / total, abs=5e-5))]


def test_no_street_and_no_exact_place_is_stored_or_published(municipal):
    columns = municipal.rows("select column_name from information_schema.columns where table_schema = 'raw'")
    assert {"crossing", "geopoint", "animal_name"}.isdisjoint(name for (name,) in columns)
    steps = municipal.public("select latitude, longitude from public.cases where latitude is not null")
    # The middle of a cell of a tenth of a degree ends in 5 hundredths.
    assert steps and all(round(abs(value) * 100) % 10 == 5 for pair in steps for value in pair)


def test_readmissions_are_cases_of_one_animal(municipal):
    """4,471 animals' numbers in 4,473 intakes (data/longbeach_shelter/ORIGIN.md)."""
    assert municipal.one("select count(distinct animal_id) from mart.cases") == 4471
