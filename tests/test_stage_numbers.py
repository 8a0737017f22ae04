"""Numbers, masses and counts out of text: decimal commas, units in the cell or in the heading, slips."""

import networks
import pytest

# written → grams; a pound is 453.59237 g and an ounce 1/16 of it (international yard and pound agreement, 1959).
DOT_IN_GRAMS = {
    "812": 812,
    "812 g": 812,
    "1.5 kg": 1500,
    "1.5kg": 1500,
    "1.25 KG": 1250,
    "2 lb": 907.18474,
    "2.5lbs": 1133.980925,
    "8 oz": 226.796185,
    "2 lb 4 oz": 1020.58283,
    ".5 kg": 500,
    '"250 g, thin"': 250,
    '"1,250"': 1250,
    "~300": 300,
    "not weighed": None,
}
COMMA_IN_KILOGRAMS = {
    '"0,85"': 850,
    '"2,5 kg"': 2500,
    '"1.250,5 g"': 1250.5,
    "3": 3000,
    "1.250 g": 1250,
    "740 g": 740,
}
# A sign that cannot part thousands, in the other convention, is not guessed at: 2,5 in a clinic of decimal points.
UNREADABLE = {"point": ['"2,5"', "1.2.3", "250-300", "1 250"], "comma": ["2.5", '"1,2,3"']}


def masses(written):
    rows = [f"{number},2023-01-01,{mass}" for number, mass in enumerate(written)]
    return "\n".join(["case_number,admission_date,mass", *rows, ""])


def settings(decimal):
    return f'export_date = 2024-01-31\ndecimal = "{decimal}"'


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("numbers"))
    point = masses([*DOT_IN_GRAMS, *UNREADABLE["point"]])
    comma = masses([*COMMA_IN_KILOGRAMS, *UNREADABLE["comma"]])
    networks.write_clinic(folder, "point", point, settings=settings("."), units={"mass": "g"})
    networks.write_clinic(folder, "comma", comma, settings=settings(","), units={"mass": "kg"})
    pounds = "case_number,admission_date,mass\n1,2023-01-01,2\n2,2023-01-01,2 kg\n"
    networks.write_clinic(folder, "pounds", pounds, units={"mass": "lb"})
    counts = """
        case_number,admission_date,latitude,longitude,place_uncertainty_m,animal_count
        1,2023-01-01,-27.4705,153.026,30 m,3
        2,2023-01-01,-27.4705,153.026,0,many
        3,2023-01-01,-27.4705,153.026,,20230405
        4,2023-01-01,-27.4705,153.026,,99999999999999999999
        5,2023-01-01,-27.4705,153.026,,-2
        """
    networks.write_clinic(folder, "counts", counts)
    return networks.build(folder)


def grams(built, clinic):
    return built.values(
        f"select mass_text, mass_g from stage.stays where clinic = '{clinic}' order by row_number"
    )


@pytest.mark.parametrize(("clinic", "expected"), [("point", DOT_IN_GRAMS), ("comma", COMMA_IN_KILOGRAMS)])
def test_masses_are_read_in_the_clinics_sign_and_unit(built, clinic, expected):
    read = grams(built, clinic)
    for written, mass in expected.items():
        assert read[written.strip('"')] == pytest.approx(mass), written


def test_a_unit_in_the_cell_wins_over_the_unit_of_the_column(built):
    assert grams(built, "pounds") == pytest.approx({"2": 907.18474, "2 kg": 2000})


@pytest.mark.parametrize("clinic", UNREADABLE)
def test_a_number_in_the_other_convention_is_not_guessed_but_asked(built, clinic):
    read = grams(built, clinic)
    written = {text.strip('"') for text in UNREADABLE[clinic]}
    assert {text: read[text] for text in written} == dict.fromkeys(written)
    asked = built.rows(
        f"select detail from checks.found where rule = 'number_unreadable' and clinic = '{clinic}'"
    )
    assert {f"mass {text}" for text in written} <= {detail for (detail,) in asked}


def test_coordinates_and_their_uncertainty(built):
    first = "select latitude, longitude, place_uncertainty_m from stage.stays where clinic = 'counts' and {}"
    assert built.rows(first.format("case_number = '1'")) == [(-27.4705, 153.026, 30)]
    assert built.rows(first.format("case_number = '2'")) == [(-27.4705, 153.026, None)]


def test_a_count_that_is_no_count_is_one_animal_and_is_asked(built):
    counted = "select case_number, count(*) from standard.stays where clinic = 'counts' group by all"
    assert built.values(counted) == {"1": 3, "2": 1, "3": 1, "4": 1, "5": 1}
    asked = "select case_number from checks.found where rule = 'number_unreadable' and clinic = 'counts'"
    assert {number for (number,) in built.rows(asked)} == {"2", "3", "4", "5"}
