"""Stays → cases: what clinics state links them, what cannot be a hand-over does not; times run from the first day."""

import link_truth
import networks
import pytest
from conftest import CHECKOUT

# Three clinics; each letter is one story.
NORTH = """
    case_number,admission_date,species,cause,outcome,outcome_date,transferred_to,other_clinic,other_clinic_number,band,arrival,outcome_timing
    N1,2023-01-01,gull,fishing tackle,transferred,2023-01-05,south,,,,,
    N2,2023-02-01,gull,fishing tackle,transferred,2023-02-05,south,,S 2,,,
    N3,2023-03-01,pelican,fishing tackle,transferred,2023-03-05,,,,AB-12,,
    N4,2023-04-01,gull,fishing tackle,transferred,2023-04-05,south,,,,,
    N5,2023-05-01,gull,fishing tackle,transferred,2023-05-05,,,,,,
    N6,2023-06-01,gull,fishing tackle,died,2023-06-05,,,,,,
    N7,2023-07-01,gull,fishing tackle,released,2023-07-05,,,,CD 7,,
    N8,2023-07-20,gull,fishing tackle,died,2023-07-21,,,,cd-7,,
    N9,2023-08-01,pelican,fishing tackle,transferred,2023-08-01,,,,,,
    N10,2023-09-01,gull,fishing tackle,transferred,2023-09-03,,,,EF 9,,
    N11,2023-10-01,gull,fishing tackle,transferred,2023-10-03,,,,,,
    N12,2023-11-01,gull,fishing tackle,transferred,2023-11-01,,,,,,
    N13,2023-12-01,gull,fishing tackle,died,2023-12-02,,,,none,,
    N14,2023-12-01,gull,fishing tackle,died,2023-12-02,,,,none,,
    N15,2023-12-05,gull,fishing tackle,transferred,2023-12-06,,,,,,
    N16,2023-12-11,gull,fishing tackle,released,2023-12-14,,,,GH 1,,
    N17,2023-12-11,pelican,fishing tackle,died,2023-12-14,,,,GH 1,,
    """
SOUTH = """
    case_number,admission_date,species,cause,outcome,outcome_date,transferred_to,other_clinic,other_clinic_number,band,arrival,outcome_timing
    S1,2023-01-05,gull,fishing tackle,released,2023-01-25,,north,N-1,,,
    S2,2023-02-06,gull,fishing tackle,died,2023-02-06,,,,,,within 24 hours
    S3,2023-03-05,pelican,fishing tackle,released,2023-03-15,,,,ab12,,
    S4,2023-04-20,gull,fishing tackle,died,2023-04-21,,north,N4,,,
    S5,2023-05-06,gull,fishing tackle,transferred,2023-05-10,east,north,N5,,,
    S6,2023-06-06,gull,fishing tackle,released,2023-06-20,,north,N6,,,
    S9,2023-08-01,gull,fishing tackle,released,2023-08-09,,north,N9,,,
    S10,2023-09-20,gull,fishing tackle,released,2023-09-30,,,,EF9,,
    S11,2023-10-03,gull,fishing tackle,died,2023-10-03,,north,N11,,dead,
    S12,2023-11-01,gull,fishing tackle,died,2023-11-01,,north,N12,,,
    S15,2023-12-06,gull,fishing tackle,pending,,,north,N15,,,
    S16,2023-12-15,gull,fishing tackle,released,2023-12-20,,north,N16,gh1,,
    """
EAST = """
    case_number,admission_date,species,cause,outcome,outcome_date,transferred_to,other_clinic,other_clinic_number,band
    E5,2023-05-10,gull,fishing tackle,released,2023-05-31,,south,S5,
    """
# case → (stays, reason of the last link, class, days from the first admission, timing), worked on paper.
CASES = {
    "north:N1": (2, "the later clinic names the number", "released", 24, "later"),
    "north:N2": (2, "the earlier clinic names the number", "died", 5, "later"),
    "north:N3": (2, "one band, and a transfer", "released", 14, "later"),
    "north:N5": (3, "the later clinic names the number", "released", 30, "later"),
    "north:N11": (2, "the later clinic names the number", "died", 2, "later"),
    "north:N12": (2, "the later clinic names the number", "died", 0, "within_24_hours"),
    "north:N15": (2, "the later clinic names the number", "pending", 35, None),
}
APART = {
    "a hand-over of more than a week": ("north:N4", "south:S4"),
    "the first of them is dead": ("north:N6", "south:S6"),
    "the first of them was released": ("north:N16", "south:S16"),
    "the animals are of different groups": ("north:N9", "south:S9"),
    "one band, weeks apart": ("north:N10", "south:S10"),
}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("links"))
    networks.write_clinic(folder, "north", NORTH, settings="export_date = 2024-03-01")
    networks.write_clinic(folder, "south", SOUTH, settings="export_date = 2024-01-09")
    networks.write_clinic(folder, "east", EAST, settings="export_date = 2024-02-01")
    return networks.build(folder)


@pytest.mark.parametrize(("case", "expected"), CASES.items())
def test_a_linked_case_by_hand(built, case, expected):
    told = built.rows(
        "select stay_count, link_reason, outcome_class, stay_days, cases.outcome_timing_code "
        "from mart.cases as cases inner join mart.stays as stays using (case_id) "
        f"where is_last and case_id = '{case}'"
    )
    assert told == [expected]


def test_a_chain_over_three_clinics_is_one_case_in_order(built):
    stays = built.rows("select stay_id from mart.stays where case_id = 'north:N5' order by stay_number")
    assert stays == [("north:N5",), ("south:S5",), ("east:E5",)]


@pytest.mark.parametrize("pair", APART.values(), ids=APART)
def test_what_cannot_be_one_stay_after_another_is_two_cases(built, pair):
    cases = built.rows(f"select case_id from mart.cases where case_id in {pair} order by 1")
    assert [case for (case,) in cases] == sorted(pair)


def test_a_readmission_under_the_same_band_is_another_case_of_one_animal(built):
    animals = built.values("select case_id, animal_id from mart.cases")
    assert animals["north:N8"] == animals["north:N7"] == "north:N7"
    assert animals["south:S16"] == "north:N16"


def test_one_band_number_on_animals_of_two_groups_is_two_animals(built):
    animals = built.values("select case_id, animal_id from mart.cases")
    assert animals["north:N17"] == "north:N17"


def test_a_band_column_that_says_none_joins_nobody(built):
    animals = built.values("select case_id, animal_id from mart.cases")
    assert (animals["north:N13"], animals["north:N14"]) == ("north:N13", "north:N14")


def test_every_stay_is_in_one_case(built):
    stays, in_cases = built.rows("select count(*), count(distinct stay_id) from mart.stays")[0]
    assert stays == in_cases == 17 + 12 + 1


def test_dead_on_arrival_at_the_second_clinic_was_alive_at_the_first(built):
    alive = "select is_alive_on_arrival, outcome_timing_code from mart.cases where case_id = 'north:N11'"
    assert built.rows(alive) == [(True, "later")]


# A bird typed twice at north and handed on under its second number; one from a zoo; a number copied without its zeros.
TWICE = """
    case_number,admission_date,species,cause,mass,found_place,found_date,outcome,outcome_date,transferred_to,other_clinic,band
    A1,2023-01-01,gull,fishing tackle,900,Old Jetty,2023-01-01,transferred,2023-01-05,south,,
    A2,2023-01-01,gull,fishing tackle,900,Old Jetty,2023-01-01,transferred,2023-01-05,south,,
    A3,2023-02-10,swan,fishing tackle,5000,Old Jetty,2023-02-02,died,2023-02-14,,The Zoo,
    A0004,2023-03-01,pelican,fishing tackle,,,,transferred,2023-03-02,,,
    A5,2023-04-01,gull,collision,,,,pending,,,,KL 5
    """
SOUTH_AGAIN = """
    case_number,admission_date,species,cause,outcome,outcome_date,other_clinic,other_clinic_number,band
    B1,2023-01-05,gull,fishing tackle,released,2023-01-25,north,A2,
    B4,2023-03-02,pelican,fishing tackle,released,2023-03-30,,a4,
    B5,2023-05-10,gull,collision,released,2023-05-12,,,kl5
    """
PROCEDURES = """
    case_number,procedure,procedure_date
    A1,radiograph,2023-01-02
    A2,radiograph,2023-01-02
    A2,fluids,2023-01-03
    A3,radiograph,2023-02-11
    """


@pytest.fixture(scope="module")
def twice(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("twice"))
    terms = "other_clinic,The Zoo,outside\n"
    networks.write_clinic(folder, "north", TWICE, sheets={"procedure": PROCEDURES}, terms=terms)
    networks.write_clinic(folder, "south", SOUTH_AGAIN)
    return networks.build(folder)


def test_a_bird_typed_twice_is_one_stay_of_its_case_and_both_records_are_kept(twice):
    stays = twice.rows(
        "select stay_id, stay_number, is_last, second_entry_of from mart.stays where case_id = 'north:A1' order by 1"
    )
    assert stays == [
        ("north:A1", 1, False, None),
        ("north:A2", None, False, "north:A1"),
        ("south:B1", 2, True, None),
    ]
    counted = (
        "select stay_count, clinic_count, outcome_class, stay_days from mart.cases where case_id = 'north:A1'"
    )
    assert twice.rows(counted) == [(2, 2, "released", 24)]


def test_what_a_second_entry_repeats_counts_once_and_what_only_it_says_is_kept(twice):
    done = twice.rows(
        "select procedure_code, procedure_days from mart.procedures where case_id = 'north:A1' order by 2"
    )
    assert done == [("radiograph", 1), ("fluids", 2)]


def test_an_animal_from_outside_enters_late(twice):
    """Found on the 2nd, here from the 10th, operated on the 11th, dead on the 14th: days 0, 8, 9 and 12."""
    times = "select entry_days, stay_days, admission_date::varchar from mart.cases where case_id = 'north:A3'"
    assert twice.rows(times) == [(8, 12, "2023-02-10")]
    assert twice.values("select case_id, procedure_days from mart.procedures")["north:A3"] == 9
    assert twice.one("select count(*) from mart.cases where entry_days > 0") == 1


def test_a_number_copied_without_its_zeros_is_that_number(twice):
    links = twice.values("select later_stay_id, earlier_stay_id from link.links where basis = 'stated'")
    assert links["south:B4"] == "north:A0004"


def test_a_band_that_comes_to_another_clinic_from_a_stay_that_was_never_closed_was_handed_over(twice):
    links = twice.values("select later_stay_id, earlier_stay_id from link.links where basis = 'stated'")
    assert links["south:B5"] == "north:A5"


def test_ids_that_were_joined_lead_to_the_case(twice):
    aliases = twice.values("select alias_id, case_id from link.aliases")
    assert aliases["north:A2"] == aliases["south:B1"] == "north:A1"
    cases = twice.one("select count(*) from mart.cases")
    assert cases + len(aliases) == twice.one("select count(*) from mart.stays") == 8


def test_no_two_stays_of_a_case_overlap_by_more_than_the_day_of_hand_over(demo):
    """On the demo; second entries are the same stay and have no number."""
    together = demo.rows(
        """select before.stay_id, after.stay_id
        from mart.stays as before
        inner join mart.stays as after
            on before.case_id = after.case_id and before.stay_number < after.stay_number
        where after.admission_date < before.outcome_date - 1 and before.outcome_date >= before.admission_date"""
    )
    assert together == []


def test_links_recover_the_invented_truth(demo):
    """The demand: of links to other clinics 99 in 100 are right, and of true transfers 95 in 100 are found."""
    truth = link_truth.true_cases(CHECKOUT / "data_demo" / "truth" / "stays.csv")
    for score in link_truth.score(link_truth.made_links(demo.folder / "store" / "cases.duckdb"), truth):
        link_truth.show([score])
        assert len(score.right) >= 5
        assert score.precision >= 0.99 and score.recall >= 0.95
