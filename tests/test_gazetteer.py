"""Places that clinics know by name only: an exact or clearly nearest name is that place, anything else is asked."""

import networks
import pytest
from unsnag.errors import UnsnagError
from unsnag.workspace import load

GAZETTEER = """
    place,latitude,longitude,uncertainty_m
    Odmere Weir,-36.5644,160.4522,400
    North Quay,-36.1000,160.1000,200
    South Quay,-36.3000,160.3000,200
    Ramp 1,-36.4000,160.4000,100
    Bahía Larga,-36.5000,160.5000,
    Long Beach,-36.6000,160.6000,300
    Long Beach,-36.7000,160.7000,300
"""
NAMES = {
    "Odmere Weir": "exact",
    "  odmere   WEIR ": "exact",
    "bahia larga": "exact",
    "Odmere Wier": "spelling",
    "Odmeer Wier": None,  # two slips in eleven letters
    "Nroth Quay": "spelling",
    "North Quey": "spelling",
    "West Quay": None,  # another side is another place
    "Quay": None,
    "Ramp 2": None,
    "Long Beach": None,  # two places have the name
    "Odmere": None,
}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("places"))
    networks.write_text(folder / "places" / "gazetteer.csv", GAZETTEER)
    rows = [f"A{number},2023-01-01,{name},," for number, name in enumerate(NAMES)]
    rows += ["B1,2023-01-01,Odmere Weir,-36.5,160.4", "B2,2023-01-01,Odmere Weir,-36.9,160.9"]
    heading = "case_number,admission_date,found_place,latitude,longitude\n"
    networks.write_clinic(folder, "one", heading + "\n".join(rows) + "\n")
    return networks.build(folder)


@pytest.mark.parametrize(("name", "match"), NAMES.items())
def test_a_name_is_its_place_if_one_place_is_clearly_meant(built, name, match):
    found = built.rows(f"select match from standard.places where found_place = '{name.strip()}'")
    assert (found[0][0] if found else None) == match


def test_the_gazetteers_point_and_its_uncertainty_stand_in_for_coordinates(built):
    sql = "select latitude, longitude, place_uncertainty_m, place_origin from standard.stays where case_number = "
    assert built.rows(f"{sql} 'A3'") == [(-36.5644, 160.4522, 400.0, "gazetteer")]
    assert built.rows(f"{sql} 'B1'") == [(-36.5, 160.4, None, "coordinates")]


def test_a_name_that_means_no_place_clearly_is_asked_with_the_nearest(built):
    found = {row[0] for row in built.rows("select detail from checks.found where rule = 'place_not_found'")}
    assert (
        "West Quay (1 records); perhaps North Quay?" in found
        or "West Quay (1 records); perhaps South Quay?" in found
    )
    assert "Ramp 2 (1 records); perhaps Ramp 1?" in found
    assert not any(detail.startswith(("Odmere Weir", "Odmere Wier")) for detail in found)


def test_a_point_far_from_its_named_place_is_asked(built):
    # B1 lies 8.5 km from the weir, B2 some 54 km (degrees of 111.32 km, by hand).
    rows = built.rows("select case_number, detail from checks.found where rule = 'place_and_point_apart'")
    assert rows == [("B2", "55 km from Odmere Weir")]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (",1,2,3", "there is no place"),
        ("Weir,a,2,3", "the numbers of 'Weir' cannot be read"),
        ("Weir,160,-36,3", "'Weir' lies nowhere on earth"),
        ("Weir,-36,160,0", "the uncertainty of 'Weir' is no radius"),
    ],
)
def test_a_slip_in_the_gazetteer_is_said_with_its_line(tmp_path, row, said):
    folder = networks.write_network(tmp_path)
    networks.write_text(
        folder / "places" / "gazetteer.csv", f"place,latitude,longitude,uncertainty_m\n{row}\n"
    )
    networks.write_clinic(folder, "one", "case_number,admission_date\nA1,2023-01-01\n")
    with pytest.raises(UnsnagError, match=rf"gazetteer.csv, line 2: {said}"):
        load(folder)
