"""Small published tables of places, typed by hand for the tests of the report. All of it is invented."""

import json
from io import StringIO

import pandas

SQUARE = [[150.0, -30.2], [150.2, -30.2], [150.2, -30.0], [150.0, -30.0], [150.0, -30.2]]
NETWORK, SHIRE = "all councils", "Test Shire"
TABLES = {
    "site_expected": """
        site_id;site;latitude;longitude;has_bin;excluded_because;tackle;other;expected;low;high;finding;note
        S1;Test Jetty;-30.05;150.15;False;;30;10;6.0;4.0;8.4;hot spot;
        S2;Test Wharf;-30.11;150.18;True;;40;55;8.0;6.0;11.0;busy, not hot;
        S3;Test Bar;-30.15;150.05;False;a bar;;;;;;as elsewhere;withheld
    """,
    "bin_siting": """
        site_id;site;bar;within_reach;within_low;within_high;prevented;prevented_low;prevented_high;rank;taken_from;note
        S1;Test Jetty;;6.1;4.1;8.5;1.8;0.4;4.2;1;1;
        S2;Test Wharf;has a bin;0.0;0.0;0.0;0.0;0.0;0.0;;;
        S3;Test Bar;a bar;;;;;;;;;figures withheld: too few clinics
    """,
    "bin_effects": """
        bin_id;site_id;site;installed;removed;years_before;years_after;ratio;low;high;verdict
        all bins;;;;;4.0;3.0;0.62;0.4;0.95;fewer tackle cases than without a bin
        B1;S2;Test Wharf;2020-07-01;;2.0;3.1;0.5;0.3;0.9;fewer tackle cases than without a bin
        B2;S3;Test Bar;2023-06-01;2023-11-01;4.0;0.4;inf;0.5;inf;too early to tell
    """,
    "tackle_cells": """
        latitude;longitude;uncertainty_m;step_degrees;cases
        -30.05;150.15;7123;0.1;44
        -30.15;150.15;7123;0.1;12
    """,
    "hot_spots": """
        scan;scan_label;period;cluster;sites;council;other_places;tackle;rescues;relative_risk;p_value;finding
        same_groups;All years, same groups;all;1;Test Jetty;Test Shire;0;30;40;1.5;0.001;beyond chance
        year;In 2023, same groups;2023;1;Test Bar;Test Shire;1;;;1.2;0.41;chance
    """,
    "places_of_cases": """
        place_standing;label;cases;note
        all;All cases;300;
        at_site;At a candidate site;200;
        no_place;No place known;100;
    """,
    "bin_choices": """
        bins;site_id;site;is_chosen;chosen_in_100
        1;S1;Test Jetty;True;87
    """,
    "bin_sets": """
        bins;is_feasible;sites;standing_percent;covered_percent;covered_low;covered_high;note
        1;True;Test Jetty;40;70;62;78;
    """,
    "site_kinds": """
        place_kind;place;axis;code;label;incidents;note
        council;Test Shire;taxon_group;pelican;Pelican;40;
        council;Test Shire;injury;embedded;Embedded;55;
        council;Test Shire;injury;ingested;Swallowed;;withheld: test
    """,
    "bin_placebos": """
        days_earlier;ratio;low;high;bin_sites;comparison_sites;says
        365;0.9;0.6;1.4;2;9;estimated
    """,
    "siting_rules": """
        rule;value
        reduction.assumed;0.3
        reduction.low;0.1
        reduction.high;0.5
        reduction.reason;a test
        at_site_m;500
        apart_m;200
        most_uncertain_m;1000
    """,
}
OF_EACH_AREA = ("bin_siting", "bin_choices", "bin_sets")


def read(text):
    """A frame of text with semicolons between; what is empty is missing."""
    return pandas.read_csv(StringIO(text.replace("        ", "")), sep=";")


def councils():
    """One council, a square."""
    row = {"council": SHIRE, "geometry": json.dumps({"type": "Polygon", "coordinates": [SQUARE]})}
    counts = {"area_km2": 425.0, "sites": 3, "bins": 1, "tackle": 70, "other": 60, "away_from_sites": 9}
    return pandas.DataFrame([row | counts | {"note": None}])


def place_tables():
    """Every published table of places."""
    tables = {name: read(text) for name, text in TABLES.items()} | {"councils": councils()}
    for name in OF_EACH_AREA:
        frame = tables[name]
        both = [frame.assign(area=area) for area in (NETWORK, SHIRE)]
        tables[name] = pandas.concat(both, ignore_index=True)
    about = {"kind": "jetty", "council": SHIRE, "years": 5.0}
    trend = {"trend": 1.02, "trend_low": 0.9, "trend_high": 1.2}
    tables["site_expected"] = tables["site_expected"].assign(**about, **trend)
    tables["bin_siting"] = tables["bin_siting"].assign(council=SHIRE)
    tables["bin_effects"] = judged(tables["bin_effects"])
    return tables


def judged(frame):
    """Effects with the days as days and what else is told of a bin."""
    days = {name: pandas.to_datetime(frame[name]) for name in ("installed", "removed")}
    counts = {"before_tackle": 12.0, "before_other": 9.0, "after_tackle": 8.0, "after_other": 11.0}
    ahead = {"years_until_seen": 4.0, "seen_in_ten_years": 0.6, "comparison_sites": 5}
    past = {"decided": pandas.NaT, "naive_ratio": 0.55, "chance_ratio": 0.7, "note": None}
    council = frame["site"].map(lambda site: SHIRE, na_action="ignore")
    return frame.assign(**days, **counts, **ahead, **past, council=council)
