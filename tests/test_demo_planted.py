"""What is planted in the demo shows in it: effects that differ, a naive contrast that misleads, hot spots, bins."""

import datetime as dt
import json
import tomllib
from collections import Counter
from itertools import pairwise

import demo_exports as demo

DEMO = demo.DEMO
TURTLES = ("freshwater_turtle", "sea_turtle")


def effect(question, strategy, group, outcome="released"):
    (found,) = [item[outcome] for item in demo.planted("effects")["effect"]
                if (item["question"], item["strategy"], item["group"]) == (question, strategy, group)]  # fmt: skip
    return found


def test_true_effect_of_early_retrieval_differs_by_body_site():
    gain = {site: effect("swallowed_hook_turtle", "retrieve_within_7_days", site)
            - effect("swallowed_hook_turtle", "watch_21_days", site)
            for site in ("oesophagus", "stomach", "intestine")}  # fmt: skip
    assert gain["oesophagus"] > 0.15 > gain["stomach"] > -0.05 > gain["intestine"]


def test_naive_contrast_is_far_from_the_truth():
    """Ever operated against never: whoever died before an operation counts as "never"."""
    eligible = [case for case in demo.truth("cases") if case["injury"] == "ingested" and case["taxon_group"] in TURTLES
                and case["body_site"] == "oesophagus" and case["arrival"] == "alive" and case["outcome"]]  # fmt: skip
    shares = {}
    for ever in (True, False):
        group = [case for case in eligible if bool(case["first_treatment"]) == ever]
        shares[ever] = sum(case["outcome"].startswith("released") for case in group) / len(group)
    true = effect("swallowed_hook_turtle", "retrieve_within_7_days", "oesophagus") - effect(
        "swallowed_hook_turtle", "watch_21_days", "oesophagus"
    )
    assert shares[True] - shares[False] > true + 0.15


def test_questions_and_truth_speak_of_the_same_strategies():
    questions = tomllib.loads((DEMO / "questions.toml").read_text("utf-8"))["question"]
    planned = {(each["name"], arm["name"]) for each in questions for arm in each["strategy"]}
    known = {(item["question"], item["strategy"]) for item in demo.planted("effects")["effect"]}
    assert planned == {pair for pair in known if pair[1] != "usual_care"}
    assert len(questions) == 6


def tackle_against_other(place):
    here = [case["cause"] == "fishing_tackle" for case in demo.truth("cases") if case["place"] == place]
    return sum(here), len(here) - sum(here)


def test_hot_spots_have_many_tackle_cases_for_their_rescues_and_the_busy_place_only_many_rescues():
    sites = demo.planted("sites")
    for spot in sites["hot_spot"]:
        tackle, other = tackle_against_other(spot["place"])
        assert tackle > 2.5 * other
    (busy,) = sites["busy"]
    tackle, other = tackle_against_other(busy["place"])
    assert tackle < 1.6 * other
    rescues = Counter(case["place"] for case in demo.truth("cases"))
    assert rescues.most_common(1)[0][0] == busy["place"]


def test_one_bin_was_decided_after_a_chance_peak():
    (bin_,) = [each for each in demo.planted("sites")["bin"] if "chance_peak_from" in each]
    decided = {row["bin_id"]: row["decided"] for row in demo.csv_rows(DEMO / "places" / "bins.csv")}
    days = [dt.date.fromisoformat(case["admission_date"]) for case in demo.truth("cases")
            if case["place"] == bin_["place"] and case["cause"] == "fishing_tackle"]  # fmt: skip
    peak = sum(bin_["chance_peak_from"] <= day <= bin_["chance_peak_until"] for day in days)
    assert bin_["true_rate_ratio"] == 1
    assert bin_["chance_peak_until"] < dt.date.fromisoformat(decided[bin_["bin_id"]])
    assert peak > 1.8 * (len(days) - peak) / 5


def council_rings():
    features = json.loads((DEMO / "places" / "councils.geojson").read_text("utf-8"))["features"]
    return {each["properties"]["council"]: each["geometry"]["coordinates"][0] for each in features}


def inside(ring, x, y):
    """Even-odd rule."""
    edges = pairwise(ring)
    crossings = [
        (y0 > y) != (y1 > y) and x < (x1 - x0) * (y - y0) / (y1 - y0) + x0 for (x0, y0), (x1, y1) in edges
    ]
    return sum(crossings) % 2 == 1


def test_council_rings_are_closed_run_counter_clockwise_and_hold_their_sites():
    rings = council_rings()
    for ring in rings.values():
        assert ring[0] == ring[-1]
        assert sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise(ring)) > 0
    for site in demo.csv_rows(DEMO / "places" / "sites.csv"):
        holders = [
            name
            for name, ring in rings.items()
            if inside(ring, float(site["longitude"]), float(site["latitude"]))
        ]
        assert holders == [site["council"]]


def test_one_place_lies_outside_every_council():
    rings = council_rings().values()
    places = demo.csv_rows(DEMO / "places" / "gazetteer.csv")
    outside = [
        p["place"]
        for p in places
        if not any(inside(r, float(p["longitude"]), float(p["latitude"])) for r in rings)
    ]
    assert outside == ["Outer Skerry Light"]
