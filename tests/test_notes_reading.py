"""Reading a note: look-alikes, denial, doubt, history, plans, days, results and the offsets of what was read."""

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from unsnag.notes import Mention, firmest, understand

ADMITTED = datetime.date(2024, 3, 1)


def said(text: str, axis: str, admission_date: datetime.date | None = None, **order) -> dict[str, str]:
    """Code and status of what is said on one axis."""
    mentions = firmest(understand(text, admission_date, **order))
    return {mention.code: mention.status for mention in mentions if mention.axis == axis}


def day_of(text: str, code: str, **order) -> datetime.date | None:
    return next(m.date for m in understand(text, ADMITTED, **order) if m.code == code)


def result_of(text: str, code: str) -> str | None:
    return next(mention.result for mention in understand(text) if mention.code == code)


@pytest.mark.parametrize(
    "text",
    [
        "Failure to thrive.",
        "Hooked beak normal for the species.",
        "He was off the hook.",
        "Line of sutures along the keel; suture line dry? midline closed.",
        "IV line placed.",
        "In line with policy.",
        "Casting pellets normally.",
        "Fly strike; can fly.",
        "Net weight 420 g. Netted by rescuer with a landing net.",
        "Leads its cygnets. Lead vet on leave. ECG leads clipped on.",
        "Sinking on the left side, floating behind.",
        "Fishing rod nearby. Reeling and falling.",
        "Trap cam footage.",
        "Jigging head movements.",
        "Weather balloon string.",
        "Spinner dolphin refloated.",
        "Tackle box left at centre.",
        "Red de voluntarios. En línea con el protocolo. Pico ganchudo.",
        "Red swelling.",
        "Swallow nestling.",
        "Power line, washing line, railway line.",
    ],
)
def test_words_that_look_like_tackle_and_are_not(text):
    assert said(text, "gear") == {}


@pytest.mark.parametrize(
    ("text", "gear"),
    [
        ("no hook on x-ray", {"hook": "absent"}),
        ("no hooks, line or sinkers", {"hook": "absent", "line": "absent", "sinker": "absent"}),
        ("no hook, line still in beak", {"hook": "absent", "line": "present"}),
        ("no enmallada", {"net": "absent"}),
        ("?hook", {"hook": "uncertain"}),
        ("poss hook in crop", {"hook": "uncertain"}),
        ("posible anzuelo", {"hook": "uncertain"}),
        ("old hook scar", {"hook": "history"}),
        ("previous fishing line injury", {"line": "history"}),
        ("hook? No, hook confirmed by film", {"hook": "present"}),
        ("no hook but line in beak", {"hook": "absent", "line": "present"}),
        ("?hook. XR clear.", {"hook": "absent"}),
        ("?hook. XR clear, can't rule it out.", {"hook": "uncertain"}),
        ("Caller says hook in foot. Removed. XR clear.", {"hook": "present"}),
        ("Caller says hook in foot. Caught, no hook.", {"hook": "absent"}),
        ("She said it ate a hook. XR shows just a sinker. No hook.", {"hook": "absent", "sinker": "present"}),
        ("The gull from May (hook in the leg) is back.", {"hook": "history"}),
    ],
)
def test_denial_doubt_and_history(text, gear):
    assert said(text, "gear") == gear


@pytest.mark.parametrize(
    "text", ["oesophgus hook", "hook in oesphagus", "Enrredada con rafia, anzuelo en esofgo"]
)
def test_slips_are_mended(text):
    assert said(text, "body_site").keys() | said(text, "injury").keys() >= {
        "oesophagus"
    } or "entangled" in said(text, "injury")


def test_a_dead_animal_but_not_a_dead_part():
    assert said("Descompuesta", "arrival") == {"dead": "present"}
    assert said("podrida, en la playa", "arrival") == {"dead": "present"}
    assert said("Aleta trasera derecha, putrefacta.", "arrival") == {}


def test_where_the_gear_sits_says_how_it_injures():
    assert said("hook in stomach", "injury") == {"ingested": "present"}
    assert said("hook in wing", "injury") == {"embedded": "present"}
    assert said("?hook in crop", "injury") == {"ingested": "uncertain"}
    assert said("no hook in crop", "injury") == {}


def test_a_part_of_the_body_is_named_only_for_what_ails_it():
    assert said("Beak normal, wings even. Line round left foot.", "body_site") == {"foot_or_leg": "present"}


def test_a_plan_is_no_deed_and_a_refusal_is_none():
    assert said("Booked for endoscopy", "procedure") == {"endoscopy": "uncertain"}
    assert said("Surgery declined", "procedure") == {"surgery_other": "absent"}
    assert said("To be released tomorrow", "outcome") == {"released": "uncertain"}


def test_a_hook_that_came_out_by_operation_was_not_removed_by_hand():
    assert said("Coeliotomy, hook removed.", "procedure") == {"surgery_coeliotomy": "present"}
    assert said("Hook removed.", "procedure") == {"manual_removal": "present"}


@pytest.mark.parametrize(
    ("text", "code", "result"),
    [
        ("Endoscopic retrieval failed.", "endoscopic_retrieval", "failed"),
        ("Scope: could not grasp hook. Abandoned.", "endoscopic_retrieval", "abandoned"),
        ("Hook retrieved by endoscopy.", "endoscopic_retrieval", "success"),
        ("Hook partially removed.", "manual_removal", "partial"),
        ("Line removed from both legs.", "disentangling", "success"),
    ],
)
def test_the_result_of_an_attempt(text, code, result):
    assert result_of(text, code) == result


def test_days_of_a_diary():
    text = "4/3 XR: hook in stomach. 11/3 XR: hook has not moved. 18/3 hook passed. 20/1 released"
    dated = {mention.code: mention.date for mention in understand(text, ADMITTED) if mention.axis != "gear"}
    assert dated["gear_in_place"] == datetime.date(2024, 3, 4)
    assert dated["gear_unmoved"] == datetime.date(2024, 3, 11)
    assert dated["gear_passed"] == datetime.date(2024, 3, 18)
    assert dated["released"] == datetime.date(2025, 1, 20), "long before admission is the next year"


def test_a_day_counts_from_admission_and_both_joined_days_count():
    assert day_of("Day 7: xr clear", "radiograph") == datetime.date(2024, 3, 8)
    films = [
        m.date.day for m in understand("xr on 4/3 and 11/3 unchanged", ADMITTED) if m.code == "radiograph"
    ]
    assert films == [4, 11]


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("films on 9, 11 and 13 March clear", [9, 11, 13]),
        ("xr on 3rd and 5th Mar", [3, 5]),
        ("2 hooks and 5 Mar xr", [5]),
        ("xr 5-6 Mar", [5]),
        ("xr daily 4 to 6 March", [4]),
        ("xr 2024/03/15", [15]),
    ],
)
def test_days_that_share_a_month_spans_and_the_year_first(text, days):
    found = {mention.date.day for mention in understand(text, ADMITTED) if mention.code == "radiograph"}
    assert sorted(found) == days


def test_a_fraction_is_no_day_and_a_leading_zero_makes_one():
    assert day_of("05/03 full pool", "return_to_tank") == datetime.date(2024, 3, 5)
    assert day_of("fluids, the bag 1/2 full", "fluids") is None


def test_an_ending_before_this_stay_is_that_of_an_earlier_one():
    assert said("released 12/2, back with line round leg", "outcome", ADMITTED) == {"released": "history"}
    assert said("line round leg. released 12/3", "outcome", ADMITTED) == {"released": "present"}


def test_no_wounds_and_no_other_injury_is_none_found_and_no_more():
    assert said("No wounds, thin.", "injury") == {"none_found": "present"}
    assert said("Hook in wing, no wounds elsewhere.", "injury").keys() == {"embedded", "external_wound"}


def test_the_clinics_order_of_day_and_month():
    assert day_of("released 4/3", "released") == datetime.date(2024, 3, 4)
    assert day_of("released 4/3", "released", date_order="mdy") == datetime.date(2024, 4, 3)


def test_without_an_admission_a_day_without_year_is_unknown():
    assert [mention.date for mention in understand("released 4/3")] == [None]
    assert [mention.date for mention in understand("released 4/3/2024")] == [datetime.date(2024, 3, 4)]


def test_gear_seen_farther_down_has_moved():
    text = "4/3 xr hook in oesophagus. 11/3 xr hook in stomach. 18/3 xr hook in stomach."
    findings = [m.code for m in understand(text, ADMITTED) if m.axis == "finding"]
    assert findings == ["gear_in_place", "gear_moved", "gear_in_place"]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("Blood lead 0.45 ppm", "0.45 ppm"),
        ("Pb >65 ug/dL", ">65 ug/dL"),
        ("lead lvl 8/6 0.5", "0.5"),
        ("Pb low", None),
    ],
)
def test_a_lead_level_keeps_its_value_as_written(text, value):
    assert result_of(text, "lead_level") == value


def test_a_day_inside_a_sentence_heads_none_that_follows():
    assert day_of("Oesophagotomy 4/3 went well. Baytril.", "antibiotics") is None
    assert day_of("4/3 oesophagotomy went well. Baytril.", "antibiotics") == datetime.date(2024, 3, 4)
    assert day_of("Film 4/3: no hook. Hook passed.", "gear_passed") == datetime.date(2024, 3, 4)


def test_a_day_at_the_end_dates_all_that_was_done_in_its_sentence():
    assert day_of("Wound flushed, Baytril, meloxicam 4/3.", "antibiotics") == datetime.date(2024, 3, 4)
    assert day_of("Wound flushed, Baytril, released 4/3.", "antibiotics") is None


def test_the_firmest_status_is_kept_once_a_code_and_day():
    mentions = [m for m in firmest(understand("?hook. No hook felt. Hook seen.")) if m.axis == "gear"]
    assert [(mention.code, mention.status) for mention in mentions] == [("hook", "present")]


def test_every_mention_says_why():
    assert "'no': a denial before it" in next(m.why for m in understand("no hook") if m.axis == "gear")


def test_a_note_without_anything_says_nothing():
    assert understand("") == understand("   \n") == understand("Fell from nest.") == []


WORDS = st.sampled_from(
    [
        "hook",
        "no",
        "?",
        "line",
        "xr",
        "3/3",
        "removed",
        ".",
        ",",
        "ala",
        "Ñandú",
        "esófago",
        "not",
        "\n",
        "day 7",
        "/",
        "İ",
    ]
)


@settings(max_examples=150, deadline=None)
@given(st.one_of(st.text(max_size=60), st.lists(WORDS, max_size=25).map(" ".join)))
def test_any_text_is_read_and_every_mention_stands_where_it_says(text):
    for mention in understand(text, ADMITTED):
        assert isinstance(mention, Mention)
        assert text[mention.start : mention.end] == mention.text
        assert 0 <= mention.start < mention.end <= len(text)
