"""What facts mean together: loops that cut in, gear that was passed, films not yet taken, low levels, lists of days."""

import datetime

import pytest
from unsnag.notes import understand
from unsnag.notes.values import is_low_lead

ADMITTED = datetime.date(2024, 5, 1)


def said(text: str) -> set[tuple[str, str, str]]:
    return {(each.axis, each.code, each.status) for each in understand(text, ADMITTED)}


def days(text: str, code: str) -> set[str]:
    return {
        each.date.isoformat() if each.date else "" for each in understand(text, ADMITTED) if each.code == code
    }


@pytest.mark.parametrize(
    ("text", "injury"),
    [
        ("line cutting into the left hock", "entangled"),
        ("rope on the neck", "entangled"),
        ("red en el cuello", "entangled"),
        ("hook seen on film, passed 9/5", "ingested"),
        ("line hanging from the vent", "ingested"),
        ("dos plomos y un anzuelo con hilo en el pico", "embedded"),
        ("Orphan. No wounds.", "none_found"),
    ],
)
def test_an_injury_follows_from_what_is_said(text, injury):
    assert ("injury", injury, "present") in said(text)


@pytest.mark.parametrize(
    ("text", "injury"),
    [
        ("line hanging from the bill", "ingested"),
        ("hook hanging from the bill", "embedded"),
        ("lure stuck in chest feathers", "embedded"),
        ("hook fell out of the cheek by itself, embedded in the skin before", "ingested"),
        ("No wounds. Leg fractured, line round it.", "none_found"),
    ],
)
def test_an_injury_does_not_follow_from_less(text, injury):
    assert ("injury", injury, "present") not in said(text)


@pytest.mark.parametrize(
    ("text", "passed"),
    [
        ("9/5 xr: hook in gizzard. 15/5 xr: hook gone.", True),
        ("9/5 xr: hook in gizzard. 10/5 scoped, hook removed. 15/5 xr: hook gone.", False),
        ("15/5 xr: hook gone.", False),
        ("9/5 xr: hook in gizzard. 15/5 xr clear.", False),
    ],
)
def test_what_was_there_and_has_gone_left_by_itself_unless_it_was_taken_out(text, passed):
    assert (("finding", "gear_passed", "present") in said(text)) == passed


def test_a_film_that_is_still_to_be_taken_shows_nothing():
    assert not {each for each in said("hook on xr tomorrow") if each[0] == "finding"}
    assert ("finding", "gear_in_place", "present") in said("hook on xr today")


def test_what_may_be_gear_is_seen_only_perhaps():
    assert ("finding", "gear_in_place", "uncertain") in said("xr: metal object in gizzard")


def test_a_false_alarm_denies_what_was_reported():
    text = "Reported with a hook in the beak. Caught: it was a feather."
    assert ("gear", "hook", "absent") in said(text)
    assert ("gear", "hook", "present") in said("hook in the beak. Its feathers are fine.")


def test_the_net_after_a_garden_net_is_that_net():
    assert ("gear", "net", "present") not in said("caught in garden netting. Netting off.")
    assert ("gear", "net", "present") in said("caught in a gill net. Netting off.")


def test_others_removals_are_history():
    assert ("procedure", "manual_removal", "history") in said("hook in leg taken out by angler before call")
    assert ("procedure", "manual_removal", "present") in said("hook in leg taken out by the vet")


def test_a_low_level_says_no_lead_unless_lead_is_told_of_otherwise():
    assert ("lead", "no", "present") in said("Pb 4.1 ug/dL, wounds packed")
    assert ("lead", "yes", "present") in said("lead sinker in gizzard, Pb 6 ug/dl")


@pytest.mark.parametrize(
    ("value", "is_low"),
    [
        ("8 ug/dl", True),
        ("88 µg/dL", False),
        ("0.08 mg/l", True),
        ("19 mcg/dL", True),
        ("190 ug/l", True),
        ("0.9 umol/L", True),  # 200 µg/l over 207.2 g/mol is 0.965 µmol/l
        ("1.0 μmol/l", False),
        ("1.2 ppm", False),
        ("6", False),
        (None, False),
    ],
)
def test_low_levels_of_lead_from_memory(value, is_low):
    assert is_low_lead(value) is is_low


def test_a_day_belongs_to_the_event_that_it_ends():
    text = "eating very well and the release was on 20/5"
    assert days(text, "released") == {"2024-05-20"}
    assert days(text, "eating") == {""}


def test_a_day_of_a_plan_heads_nothing():
    assert days("Surgery planned 8/5 if no better. Antibiotics.", "antibiotics") == {""}


def test_a_list_of_days_that_and_ends_is_told_of_each():
    assert days("Films on 12 May, 26 May and 9 June.", "radiograph") == {
        "2024-05-12",
        "2024-05-26",
        "2024-06-09",
    }


def test_a_date_after_the_word_day_is_no_count_of_days():
    assert days("Día 6/5: operada", "surgery_other") == {"2024-05-06"}


def test_an_abbreviation_ends_a_sentence_only_before_a_capital():
    assert ("body_site", "oesophagus", "present") in said("Anz. esóf. craneal")
    assert days("Rx 3/5 anz. en estóm. Alta.", "radiograph") == {"2024-05-03"}


def test_couldnt_is_read_as_could_not():
    failed = {each.result for each in understand("scope 4/5, couldnt reach the hook", ADMITTED)}
    assert "failed" in failed
