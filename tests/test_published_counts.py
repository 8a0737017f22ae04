"""Published audits of wildlife hospitals, written as exports and run through the whole pipeline.

Each group of each paper stands in a year of its own, because the published tables are grouped by year. What is
compared is the exact percentage of the counts; beside it, how the paper prints it: rounded, cut off, or wrong.
"""

import tomllib
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from pathlib import Path

import networks
import pytest
from stats_references import published

FOLDER = Path(__file__).parent / "reference"
HEADING = "case_number,admission_date,species,cause,arrival,outcome,outcome_date\n"
DEAD = "dead,died"
ONE_CLINIC = "[publication]\nminimum_clinics = 1\nminimum_cell = 1\n"


def papers():
    """(name, paper) of every file of published endings."""
    for path in sorted(FOLDER.glob("published_*.toml")):
        paper = tomllib.loads(path.read_text(encoding="utf-8"))
        if "group" in paper:
            yield path.stem.removeprefix("published_"), paper


def groups():
    """(name of the paper, its digits, year, group): each group has a year of its own."""
    every = [(name, paper["digits"], group) for name, paper in papers() for group in paper["group"]]
    return [(name, digits, 2000 + place, group) for place, (name, digits, group) in enumerate(every)]


RATES = [
    (name, digits, year, group, rate) for name, digits, year, group in groups() for rate in group["rate"]
]


def export(name, year, counts):
    """One row an animal; all endings ten days after admission, so that none is an early one."""
    endings = [
        DEAD if word == "dead_on_arrival" else f",{word}"
        for word, times in counts.items()
        for _ in range(times)
    ]
    day = f"{year}-03-01,caretta caretta,fishing tackle"
    return "".join(
        f"{name}/{year}/{number},{day},{ending},{year}-03-11\n" for number, ending in enumerate(endings)
    )


@pytest.fixture(scope="module")
def audits(tmp_path_factory):
    """Every paper a clinic, every group a year; and Dau 2009 with its cases of other causes."""
    folder = networks.write_network(tmp_path_factory.mktemp("audits"), ONE_CLINIC)
    rows = {}
    for name, _, year, group in groups():
        rows[name] = rows.get(name, "") + export(name, year, group["counts"])
    dau = published("published_dau_2009")
    causes = ["fishing tackle"] * dau["tackle"] + ["illness"] * (dau["cases"] - dau["tackle"])
    day = "1990-03-01"
    rows["dau_2009"] = "".join(
        f"{number},{day},gull,{cause},,released,{day}\n" for number, cause in enumerate(causes)
    )
    for name, text in rows.items():
        networks.write_clinic(folder, name, HEADING + text)
    return networks.build(folder, publish=True)


def shown(built, year, convention, ending):
    """Count, total and percentage as published."""
    if convention in ("resolved", "resolved_with_captive"):
        sql = (
            "select count, total, percent from public.ending_rates where ending = '{}' and convention = '{}'"
        )
    else:
        assert ending == "released"
        sql = "select numerator, denominator, percent from public.release_rates where '{}' <> '' and convention = '{}'"
    return built.public(
        f"{sql.format(ending, convention)} and grouping = 'admission_year' and group_code = '{year}'"
    )


@pytest.mark.parametrize(
    ("name", "digits", "year", "group", "rate"), RATES, ids=[f"{r[0]} {r[4]['ending']}" for r in RATES]
)
def test_published_rates_come_out_of_their_counts(audits, name, digits, year, group, rate):
    found = shown(audits, year, group.get("convention", "resolved"), rate["ending"])
    exact = 100 * rate["count"] / rate["total"]
    assert found == [(rate["count"], rate["total"], pytest.approx(exact, abs=5e-5))]
    if "printed" in rate:
        assert how_printed(rate["count"], rate["total"], rate["printed"], digits) == rate.get(
            "print", "rounded"
        )


def how_printed(count, total, printed, digits):
    """How a paper got from its counts to its percentage."""
    exact, step = Decimal(100 * count) / Decimal(total), Decimal(1).scaleb(-digits)
    said = Decimal(str(printed)).quantize(step)
    if exact.quantize(step, ROUND_HALF_UP) == said:
        return "rounded"
    return "cut off" if exact.quantize(step, ROUND_DOWN) == said else "wrong"


def test_release_rates_and_ending_rates_agree(audits):
    apart = audits.public(
        "select count(*) from public.release_rates as released inner join public.ending_rates as endings "
        "using (grouping, group_code, convention) where ending = 'released' and (released.numerator <> endings.count "
        "or released.denominator <> endings.total or released.percent is distinct from endings.percent "
        "or released.bound_low is distinct from endings.bound_low)"
    )
    assert apart == [(0,)]


def test_tackle_among_all_cases_matches_dau_2009(audits):
    dau = published("published_dau_2009")
    tackle = audits.public(
        "select count(*) filter (where is_tackle), count(*) from public.cases where admission_year = 1990"
    )
    assert tackle == [(dau["tackle"], dau["cases"])]
    assert how_printed(dau["tackle"], dau["cases"], dau["printed"], dau["digits"]) == "rounded"
