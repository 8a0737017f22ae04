"""Small published tables, typed by hand, for the tests of the report and its charts. All of it is invented."""

import duckdb
import pandas
from effect_frames import effect_tables
from report_frames_care import care_tables
from report_frames_links import link_tables
from report_frames_notes import notes_tables
from report_frames_places import place_tables
from report_frames_rates import rate_tables


def animals_like_this():
    """Two groups alike in injury and kind, of one injury."""
    rows = [("pelican", "Pelican", 60, 40, 8), ("sea_turtle", "Sea turtle", 70, 50, 12)]
    names = ["taxon_group_code", "taxon_group_label", "animals", "released", "died"]
    figures = {
        "euthanased": 2,
        "percent_released": 80.0,
        "wilson_low": 67.0,
        "wilson_high": 88.5,
        "median_days": 21.0,
    }
    figures |= {
        "clustered_low": 51.0,
        "clustered_high": 93.0,
        "quartile_low": 14.0,
        "quartile_high": 33.5,
        "rank": 5,
        "clinics": 4,
        "other_known": 1,
        "unresolved": 3,
    }
    return pandas.DataFrame(rows, columns=names).assign(
        injury_code="ingested", injury_label="Swallowed", body_site_code="all", severity_code="all", **figures
    )


def animals_like_this_days():
    """Two days of a group alike in injury and kind."""
    rows = [(28, 40.0, 30.0, 50.5, 15.0, 8.5, 23.0), (90, 75.0, 63.0, 84.0, 20.0, 12.0, 29.5)]
    names = ["day", "released", "released_low", "released_high", "dead", "dead_low", "dead_high"]
    group = {"rank": 5, "injury_code": "ingested", "injury_label": "Swallowed", "taxon_group_code": "pelican"}
    wider = {"body_site_code": "all", "severity_code": "all", "taxon_group_label": "Pelican"}
    return pandas.DataFrame(rows, columns=names).assign(**group, **wider)


def cohort_flow():
    """One cohort of two steps."""
    rows = [(0, "all cases", 0, 0, 560), (1, "tackle: yes", 308, 4, 252)]
    frame = pandas.DataFrame(
        rows, columns=["step", "reason", "animals_out", "animals_withheld", "animals_left"]
    )
    return frame.assign(cohort="hooked", cohort_label="Animals hurt by tackle", note=None)


def stays():
    """Days in care of the released."""
    columns = [
        "grouping",
        "group_code",
        "group_label",
        "animals",
        "median_days",
        "quartile_low",
        "quartile_high",
    ]
    rows = [
        ("all", "all", "all", 180, 13, 9, 21),
        ("injury", "embedded", "Embedded", 110, 9.5, 6, 14),
        ("injury", "constricting", "Constricting", 5, None, None, None),
        ("taxon_group", "swan", "Swan", 45, 20, 12, 26),
    ]
    return pandas.DataFrame(rows, columns=columns).assign(ending="released", note=None)


def pathways():
    """Watched animals, some of whom were operated on."""
    rows = [
        (0, "admitted", "watched", 90),
        (0, "admitted", "surgery", 30),
        (1, "watched", "released", 50),
        (1, "watched", "surgery", 40),
        (1, "surgery", "died", 30),
        (2, "surgery", "released", 40),
    ]
    frame = pandas.DataFrame(rows, columns=["step_number", "step_from", "step_to", "animals"])
    return frame.assign(
        from_label=frame["step_from"].str.capitalize(), to_label=frame["step_to"].str.capitalize()
    )


def counted_cases():
    """Tackle cases that add up to the counts of 2023 above, one case of another cause, one of another year."""
    kinds = [
        (2023, True, True, "pelican", "embedded", "released", 100),
        (2023, True, True, "swan", "ingested", "died", 30),
        (2023, True, True, "swan", "ingested", "pending", 10),
        (2023, True, False, "swan", "embedded", "died", 9),
        (2023, False, True, "swan", None, "released", 2),
        (2022, True, True, "swan", None, "released", 1),
    ]
    names = ["admission_year", "is_tackle", "is_alive_on_arrival", "taxon_group_code", "injury_code"]
    return pandas.DataFrame(kinds, columns=[*names, "outcome_class", "animals"])


def cases():
    """The same, one row a case, as in the database."""
    counted = counted_cases()
    return counted.loc[counted.index.repeat(counted["animals"])].drop(columns="animals")


def other_tables():
    """The small tables: about, conservation, data_quality, completeness."""
    about = {
        "network_name": "Test Coast Network",
        "invented": "true",
        "as_of": "2024-03-31",
        "version": "0.0",
    }
    about |= {"minimum_for_percentage": "10", "minimum_clinics": "3"}
    laws = [(1, "read = staged", 300, 300, True), (2, "stays = stays in cases", 290, 290, True)]
    rules = [
        ("day", "A day is unreadable.", "question", 4),
        ("mass", "A mass is implausible.", "question", 0),
    ]
    filled = [
        (f, c, y, 60 + 5 * y % 40) for f in ("body_site", "severity") for c in "AB" for y in (2022, 2023)
    ]
    return {
        "about": pandas.DataFrame(about.items(), columns=["key", "value"]),
        "conservation": pandas.DataFrame(
            laws, columns=["law_number", "law", "left_side", "right_side", "holds"]
        ),
        "data_quality": pandas.DataFrame(rules, columns=["rule", "label", "level", "count"]),
        "completeness": pandas.DataFrame(filled, columns=["field", "clinic_letter", "year", "percent"]),
    }


def all_tables():
    """Every published table that the report knows."""
    return (
        other_tables()
        | link_tables()
        | care_tables()
        | place_tables()
        | effect_tables()
        | notes_tables()
        | rate_tables()
        | {
            "stays": stays(),
            "animals_like_this": animals_like_this(),
            "cohort_flow": cohort_flow(),
            "animals_like_this_days": animals_like_this_days(),
            "pathways": pathways(),
            "cases": cases(),
        }
    )


def readable_tables():
    """Every published table as the report reads it."""
    return all_tables() | {"cases": counted_cases()}


def write_database(path, tables):
    """A public database with these tables."""
    connection = duckdb.connect()
    connection.execute(f"attach '{path}' as made")
    connection.execute("create schema made.public")
    for name, frame in tables.items():
        connection.register("frame", frame)
        connection.execute(f"create table made.public.{name} as select * from frame")
        connection.unregister("frame")
    connection.close()
    return path
