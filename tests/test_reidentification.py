"""Attempts to find out from published rows what is private: a clinic, a day, a place, a person.

The attacker has the public database, last year's release, extracts, and knows the rules by which they are made. The
tests know the truth from the private store, and first see that the attack would work on it.
"""

from datetime import date

import duckdb
import networks
import pytest
from unsnag import models, publish, run, store
from unsnag.share import cohorts
from unsnag.workspace import load

FOUR_WEEKS = 28
TRUTH = """
create temp table known as
select shown.*, cases.clinic as true_clinic, cases.admission_date, cases.latitude as true_latitude,
    cases.longitude as true_longitude, cases.stay_days as true_stay
from public.cases as shown inner join mart.cases as cases on pseudonym(cases.case_id, $key) = shown.case_id
"""


@pytest.fixture(scope="module")
def known(demo):
    """Published cases beside the truth, as no attacker has them."""
    with duckdb.connect() as connection:
        connection.execute(
            f"attach '{demo.folder / 'store' / 'cases.duckdb'}' as pooled (read_only); use pooled"
        )
        connection.execute(TRUTH, {"key": load(demo.folder).pseudonym_key})
        yield connection


def rows(connection, sql):
    return connection.execute(sql).fetchall()


def of_one_clinic(connection, columns):
    """Values that five cases or more share, all of one clinic: whoever knows one of them knows the others' clinic."""
    listed = ", ".join(columns)
    return rows(
        connection,
        f"select {listed}, count(*) from known where {' and '.join(f'{c} is not null' for c in columns)} "
        "group by all having count(distinct true_clinic) = 1 and count(*) >= 5",
    )


def published_columns(connection):
    names = [name for name, *_ in rows(connection, "describe public.cases")]
    return [name for name in names if name not in ("case_id", "animal_id")]


def test_the_attack_on_clinics_works_on_the_private_places(known):
    assert of_one_clinic(known, ["true_latitude", "true_longitude"]) != []


def test_no_published_value_belongs_to_one_clinic(known):
    told = {column: of_one_clinic(known, [column]) for column in published_columns(known)}
    assert {column: found for column, found in told.items() if found} == {}


def test_no_published_place_belongs_to_one_clinic(known):
    assert of_one_clinic(known, ["latitude", "longitude", "coordinate_uncertainty_m"]) == []


WINDOWS = """
select
    make_date(admission_year, 3 * admission_quarter - 2, 1) as earliest,
    least(make_date(admission_year, 3 * admission_quarter - 2, 1) + interval 3 months - interval 1 day,
        $as_of::date - coalesce(stay_days, 0)::integer) as latest,
    admission_date
from known
where admission_quarter is not null and outcome_class <> 'pending'
"""


def test_the_quarter_and_the_stay_leave_four_weeks_for_every_day_of_admission(demo, known):
    as_of = demo.one("select as_of from run.about")
    windows = known.execute(WINDOWS, {"as_of": as_of}).fetchall()
    assert len(windows) > 1000
    for earliest, latest, truth in windows:
        assert earliest <= truth <= latest.date()  # the attack is sound
        assert (latest.date() - earliest).days >= FOUR_WEEKS - 1


def test_the_stays_of_animals_in_care_would_tell_the_day_and_the_published_ones_do_not(demo, known):
    as_of = demo.one("select as_of from run.about")
    attack = (
        "select count(*) from known where outcome_class = 'pending' "
        "and $as_of::date - {}::integer = admission_date"
    )
    assert known.execute(attack.format("true_stay"), {"as_of": as_of}).fetchone()[0] > 0
    assert known.execute(attack.format("stay_days"), {"as_of": as_of}).fetchone()[0] == 0
    alike = (
        "select admission_year, admission_quarter from known where outcome_class = 'pending' group by all "
    )
    assert rows(known, alike + "having count(distinct stay_days) > 1") == []


def test_a_published_place_says_nothing_of_where_in_its_cell_it_is(known):
    """The middle, its radius and the words are one for all places of a cell, and the radius holds every one."""
    cells = rows(
        known,
        "select count(distinct (coordinate_uncertainty_m, data_generalizations)), "
        "count(distinct (true_latitude, true_longitude)), "
        "max(111320 * sqrt(pow(true_latitude - latitude, 2) + "
        "pow((true_longitude - longitude) * cos(radians(latitude)), 2))"
        " / coordinate_uncertainty_m) from known where latitude is not null group by latitude, longitude",
    )
    assert sum(places > 1 for _, places, _ in cells) > 10
    assert all(ways == 1 and reach <= 1 for ways, _, reach in cells)


def test_a_rare_animal_shows_no_place(known):
    """Few such animals in the cell and year: whoever saw one there would know it again."""
    rare = "select count(*) from known where true_latitude is not null group by latitude, longitude, taxon_group_code, "
    few = rows(
        known,
        rare
        + "admission_year having latitude is not null and taxon_group_code <> 'withheld' and count(*) < 3",
    )
    assert few == []
    assert (
        rows(known, "select count(*) from known where true_latitude is not null and latitude is null")[0][0]
        > 50
    )


def test_ids_follow_from_no_number_that_a_clinic_knows(demo):
    """Without the network's secret: plain hashes of the clinics' own ids give none of the published ones."""
    shown = {case for (case,) in demo.public("select case_id from public.cases")}
    guesses = demo.rows(
        "select unnest([md5(case_id), sha256(case_id), sha1(case_id), hash(case_id)::varchar]) from mart.cases"
    )
    assert len(guesses) > 4 * 1000
    assert {guess[:16] for (guess,) in guesses} & shown == set()


COLUMNS = "number,in,kind,why,how,end,out,south,east\n"
# Case number, admitted, what is known in January and in July: in each of three clinics alike.
ANIMALS = [
    ("1", "2023-04-03", "released,2023-04-28", "released,2023-04-28"),
    ("2", "2023-05-02", "released,2023-05-28", "released,2023-05-28"),
    ("3", "2023-06-14", "released,2023-06-28", "released,2023-06-28"),
    ("4", "2023-06-15", "released,2023-06-28", "released,2023-06-28"),
    ("5", "2023-10-05", "released,2024-01-29", "released,2024-01-29"),
    ("6", "2023-12-20", "pending,", "released,2024-03-01"),
]
SETTINGS = """
    [[source]]
    name = "stays"
    files = "exports/*.csv"
    export_date_in_name = "%Y-%m-%d"
    date_order = "ymd"
    [source.stay]
    case_number = "number"
    admission_date = "in"
    species = "kind"
    cause = "why"
    injury = "how"
    outcome = "end"
    outcome_date = "out"
    latitude = "south"
    longitude = "east"
    """
COHORT = '[[cohort]]\nname = "{}"\ntitle = "x"\nwhy = "x"\nwho = {{ tackle = "yes" }}\nuntil = {}\n'
JANUARY = date(2024, 1, 31)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """Three clinics with two exports each, and two cohorts whose last days are one day apart."""
    folder = networks.write_network(tmp_path_factory.mktemp("small") / "network")
    for clinic in ("north", "south", "west"):
        place = folder / "clinics" / clinic
        for position, day in ((2, "2024-01-31"), (3, "2024-07-31")):
            lines = [
                f"{row[0]},{row[1]},silver gull,fish hook,ingested,{row[position]},-36.21,160.43\n"
                for row in ANIMALS
            ]
            networks.write_text(place / "exports" / f"{clinic}_{day}.csv", COLUMNS + "".join(lines))
        networks.write_text(place / "clinic.toml", SETTINGS)
    days = {"to_the_14th": "2023-06-14", "to_the_15th": "2023-06-15", "to_the_quarters_end": "2023-06-30"}
    (folder / "cohorts.toml").write_text("\n".join(COHORT.format(*item) for item in days.items()))
    return folder


def release(folder, as_of=None):
    """A release without the tables that rest on analyses: the published cases and the members of cohorts."""
    place = load(folder).known_on(as_of)
    parameters = store.parameters(place, store.build(place).as_of)
    with run.changed_copy(place.store) as connection:
        models.build(connection, models.find(["5_withhold"]), parameters)
        publish.decide(connection, parameters["minimum_clinics"])
        wanted = ("public.cases", "public.cohort_cases")
        models.build(
            connection, [model for model in models.find(["5_public"]) if model.name in wanted], parameters
        )
        cases = connection.execute("from public.cases").df().set_index("case_id")
        members = connection.execute("select cohort, case_id from public.cohort_cases").fetchall()
        private = dict(
            connection.execute("select cohort, count(*) from mart.cohort_cases group by all").fetchall()
        )
    return cases, members, private


@pytest.fixture(scope="module")
def now(small):
    return release(small)


@pytest.fixture(scope="module")
def before(small):
    return release(small, JANUARY)


def test_two_releases_together_narrow_no_place_and_no_quarter(now, before):
    """The ids are the same every year, so that releases can be laid over each other: they say the same or nothing."""
    earlier, later = before[0], now[0].loc[before[0].index]
    assert len(earlier) == 18
    for column in (
        "latitude",
        "longitude",
        "coordinate_uncertainty_m",
        "admission_year",
        "admission_quarter",
    ):
        both = earlier[column].notna() & later[column].notna()
        assert both.sum() >= 15 and (earlier.loc[both, column] == later.loc[both, column]).all(), column


def test_an_animal_in_care_last_year_tells_no_day_now(now, before):
    """In January counted from the end of its quarter to the export; in July a stay of any day of the quarter."""
    pending = before[0][before[0]["outcome_class"] == "pending"]
    assert pending["stay_days"].tolist() == [31, 31, 31] and pending["admission_quarter"].tolist() == [
        4,
        4,
        4,
    ]
    assert now[0].loc[pending.index, "stay_days"].tolist() == [72, 72, 72]


def test_a_stay_that_would_tell_the_day_is_withheld_with_the_quarter(now, before):
    """31 January less 116 days is 7 October: in January the case would be known to have come in that week."""
    told = before[0][before[0]["information_withheld"].str.contains("quarter and stay")]
    assert len(told) == 3 and told["stay_days"].isna().all() and told["admission_quarter"].isna().all()
    assert now[0].loc[told.index, "stay_days"].tolist() == [116, 116, 116]


def test_the_difference_of_two_cohorts_dates_no_case(now):
    """Were both listed in full, the difference would be the animals admitted on 15 June."""
    _, members, private = now
    assert private == {"to_the_14th": 9, "to_the_15th": 12, "to_the_quarters_end": 12}
    assert {cohort for cohort, _ in members} == {"to_the_quarters_end"}


def test_what_two_cohorts_differ_in_follows_from_their_own_columns(now):
    """Being in says no more than year and quarter do, which stand beside every case."""
    cases, members, _ = now
    inside = cases[(cases["admission_year"] == 2023) & cases["admission_quarter"].isin([1, 2])]
    assert {case for _, case in members} == set(inside.index) and len(members) == 12


def test_an_extract_holds_rows_of_public_cases_and_nothing_beside(demo):
    """So that what two extracts differ in is rows that anybody has."""
    public = demo.folder / "out" / "public.duckdb"
    everything = {repr(row) for row in demo.public("from public.cases")}
    for cohort in cohorts.titles(public):
        there = demo.public(cohorts.query_of(public, cohort))
        assert {repr(row) for row in there} <= everything, cohort
