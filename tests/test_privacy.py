"""Contact details go, clinical numbers stay. The written forms are common practice, no source; all are invented."""

import csv
import re
import time

import pytest
from conftest import reference_folder
from hypothesis import given, settings
from hypothesis import strategies as st
from unsnag.privacy import REMOVED, SHORTEST, remove_contact_details

PHONES = """0412 345 678|0412345678|0412-345-678|(07) 5555 1234|07 5555 1234|+61 412 345 678|+61412345678
+61 7 5555 1234|+33 1 23 45 67 89
+44 (0)20 7946 0958|020 7946 0958|07700 900123|021 123 456|030/123456|06 12 34 56 78|06.12.34.56.78
555-123-4567|(555) 123-4567|555.123.4567|+1 (555) 123-4567|1 555 123 4567|2125550123
+34 612 345 678|612 345 678|612345678|612 34 56 78|91 234 56 78|0034 612 345 678|0412\xa0345\xa0678|0412–345–678"""
STREETS = """14 Marsh Lane|14 marsh lane|14 MARSH LN|3/14 Old Marsh Road|Unit 3, 14 Marsh Lane|12A Bay St|12 Bay St.
7 Seaview Pde|1 A St|120 4th Avenue|500 E. 10th St|1200 E 4TH ST|5 St Mary's Court|PO Box 123|P.O. Box 4
Calle Mayor 3|calle mayor 3|C/ Mayor, 3, 2º B|Avenida de la Constitución nº 12|Avda. del Mar 7|Plaza de España 4
Paseo de los Pinos, 21|Apartado de correos 55"""
EMAILS = "jane@example.org|j.o-hara+x@mail.example.co.uk|a@b.co|niña@correo.example"
CONTACTS = [text for block in (PHONES, STREETS, EMAILS) for text in block.replace("\n", "|").split("|")]

CLINICAL = """4/0|12/3|2 x 10 ml|2/0 circle hook, 20 lb mono, 3 m|hook #6 3 days|5 mg/kg q12h x 7 d|0.5-1.25 ml
1250 g|1,250 g|1.250,50 kg|450 460 470|weights: 1020 1050 1100 1150 g|650 655 660 g|1000-1200 g|100 200 300
2024-03-04|04/03/2024|4.3.2024|04-03-24|2024-03-04 10:30|2024-03-04T10:30:00+10:00|2024-03-04T10:30:00.000Z
2024-03-04 0830|0830 2024-03-04|04/03/2024 1000|01/02-03/04/2024|00:30:00|30:00:00|10:30 Marsh Lane
-27.4698, 153.0251|+27.46980+153.02513|-27.46984 153.02513|502345 6961234|56J 502345 6961234
0987-12345|1234-56789|121-12345|band 612345678|tag no. 612345678|anilla 612345678|ring 1234567|M-612345678
956000001234567|956 0000 1234 5678|985 141 000 123 456|2024000123|W24-00123|2024-0123|20240304
pH 7.35 7.40 7.38|Ht 32 TP 4.5|PCV 38 % WBC 12000|Marsh Lane jetty|2 km from marsh road|2 hooks on road
04/03/2024 Marsh Lane|3 Radiographs Dr Smith|2 birds crossing highway|en la calle hace 2 días|Camino Real 2 anzuelos
Plaza de España el 3 de mayo|c/anzuelo 4/0|2 c/ 12 h|seen @ 2 pm|100 mg @ 5 ml""".replace("\n", "|").split(
    "|"
)


@pytest.mark.parametrize("contact", CONTACTS)
@pytest.mark.parametrize("around", ["{}", "x {}, y", "({})", "Finder: {}!", "{}. Fed."])
def test_a_contact_detail_is_removed_whole_and_alone(contact, around):
    """The full stop of an abbreviation ('12 Bay St.') may go with it."""
    found = remove_contact_details(around.format(contact))
    assert found in (around.format(REMOVED), around.replace(".", "", 1).format(REMOVED))


@pytest.mark.parametrize("text", CLINICAL)
@pytest.mark.parametrize("around", ["{}", "x {} y", "({})", "{}; {}"])
def test_what_clinics_write_passes_untouched(text, around):
    given_text = around.format(text, text)
    assert remove_contact_details(given_text) == given_text


@pytest.mark.parametrize("word", ["call", "Tel.", "phone:", "Mobile no.", "rang", "Teléfono:", "llamar al"])
def test_a_short_number_goes_only_behind_a_word_for_calling(word):
    assert remove_contact_details(f"{word} 555 1234 today") == f"{word} {REMOVED} today"
    assert remove_contact_details("555 1234 today") == "555 1234 today"


def test_a_list_of_numbers_leaves_none():
    assert (
        remove_contact_details("0412 345 678/0413 345 678,0414 345 678") == f"{REMOVED}/{REMOVED},{REMOVED}"
    )


def test_a_date_beside_a_phone_number_stays():
    text = "2024-03-04 0412 345 678 2024-03-05"
    assert remove_contact_details(text) == f"2024-03-04 {REMOVED} 2024-03-05"


words = st.sampled_from(
    ["hook", "Marsh", "lane", "St", "calle", "Mayor", "tel", "de", "g", "x", "Unit", "Box", "PO"]
)
numbers = st.from_regex(r"[0-9+(@/.,:-]{1,9}", fullmatch=True)
fragments = st.lists(st.one_of(words, numbers, st.sampled_from(CONTACTS + CLINICAL)), max_size=8).map(
    " ".join
)


@given(fragments)
@settings(max_examples=150, deadline=None)
def test_the_result_passes_unchanged(text):
    once = remove_contact_details(text)
    assert remove_contact_details(once) == once


@given(st.text(alphabet=st.characters(exclude_categories=["Nd", "Cs"], exclude_characters="@"), max_size=80))
def test_text_without_digit_and_at_sign_is_never_touched(text):
    assert remove_contact_details(text) == text


@given(st.text(max_size=SHORTEST - 1))
def test_what_is_shorter_than_the_shortest_is_never_touched(text):
    assert remove_contact_details(text) == text


@given(st.dates(), st.times(), st.sampled_from(["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%m-%d-%Y", "%d/%m/%y"]))
def test_no_date_or_stamp_is_touched(day, clock, pattern):
    day = day.replace(year=1990 + day.year % 60)
    text = f"seen {day.strftime(pattern)} {clock:%H:%M} and {day}T{clock:%H:%M:%S}Z"
    assert remove_contact_details(text) == text


@given(st.floats(-90, 90), st.floats(-180, 180), st.sampled_from([", ", " ", ",", " / "]), st.integers(4, 7))
def test_no_pair_of_coordinates_is_touched(latitude, longitude, between, places):
    text = f"at {latitude:.{places}f}{between}{longitude:.{places}f}"
    assert remove_contact_details(text) == text


@given(
    st.integers(1, 30),
    st.integers(0, 9),
    st.integers(1, 99999),
    st.sampled_from(["g", "kg", "ml", "mg", "mm"]),
)
def test_no_hook_size_dose_or_weight_is_touched(size, aughts, amount, unit):
    text = f"hook {size}/{aughts}, {aughts} x {size} {unit}, then {amount} {unit} and {amount}{unit}"
    assert remove_contact_details(text) == text


@given(st.integers(0, 9999), st.integers(0, 99999))
def test_no_band_number_is_touched(prefix, number):
    text = f"band {prefix:03}-{number:05} read twice"
    assert remove_contact_details(text) == text


def test_real_intake_records_lose_their_addresses_and_nothing_else():
    """29,787 published records of the municipal shelter of Long Beach; only ``crossing`` holds addresses."""
    path = reference_folder() / "data" / "longbeach_shelter" / "longbeach.csv"
    if not path.is_file():
        pytest.skip(f"{path.name} is not there")
    with path.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    others = {cell for row in rows for name, cell in row.items() if name != "crossing"}
    assert [cell for cell in others if remove_contact_details(cell) != cell] == []
    places = {
        row["crossing"]
        for row in rows
        if re.match(r"\d+ (BLK|E|W|N|S) .* (ST|AVE|RD|BLVD),", row["crossing"])
    }
    assert len(places) > 1000
    missed = [place for place in places if REMOVED not in remove_contact_details(place)]
    assert len(missed) < 0.01 * len(places)


@pytest.mark.parametrize("unit", ["x", "1", "1 ", "a.b-", "a@", "0 ", "1 Aa ", "+1(2)", "calle ", "Unit 1, "])
def test_the_time_grows_no_faster_than_the_text(unit):
    """Ten times the text may take ten times as long; a pattern that backtracks would take a hundred times."""
    took = []
    for length in (4_000, 40_000):
        start = time.process_time()
        remove_contact_details(unit * (length // len(unit)) + "@ 1")
        took.append(time.process_time() - start)
    assert took[1] < 40 * max(took[0], 0.002)
