"""Invented networks of clinics with a known truth, to prove the emulated trial on.

Every number here is invented. The natural course (``network``) and the truth (``truth``) share one daily process; in
the truth each animal follows a strategy instead of its clinic's habit, with the true chance wherever the strategy
says "usual practice". The truth is conditional on the clinics: they keep their habits and their quality.
"""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from scipy.special import expit

from .emulation.curves import horizon_measures
from .emulation.strategies import compile_strategy, line_target, retrieval_target

ENDING_NAMES = np.array(["released", "died", "euthanased", "other", "in_care", "lost"])
IN_CARE, LOST = 4, 5


@dataclass(frozen=True)
class Scenario:
    """How an invented network behaves; effects are differences in log odds of a daily chance.

    confounding      : how strongly severity, depth and findings drive retrieval (1 strong, 0.25 weak)
    removal_release  : effect of having the gear retrieved on release, from seven days after
    removal_death    : effect of having the gear retrieved on death and euthanasia, from the day after
    deep_release, deep_death : what is added to these two if the gear sat deep
    operative_death  : chance of dying on the day of a retrieval by surgery (half by endoscopy), mild case
    loss             : chance per day of being lost from sight, mild case
    """

    clinics: int = 6
    confounding: float = 1.0
    removal_release: float = 0.0
    removal_death: float = 0.0
    deep_release: float = 0.0
    deep_death: float = 0.0
    operative_death: float = 0.0
    loss: float = 0.0
    horizon: int = 60


SCENARIOS = {
    "no_effect": Scenario(),
    "benefit": Scenario(removal_release=1.0, removal_death=-0.8, operative_death=0.03),
    "harm": Scenario(removal_release=-0.6, removal_death=0.5, operative_death=0.12),
    "site_dependent": Scenario(
        removal_release=-0.4, removal_death=0.4, deep_release=1.4, deep_death=-1.2, operative_death=0.04
    ),
    "weak_confounding": Scenario(
        confounding=0.25, removal_release=1.0, removal_death=-0.8, operative_death=0.03
    ),
    "operative_deaths": Scenario(removal_release=1.2, removal_death=-1.2, operative_death=0.2),
    "few_clinics": Scenario(clinics=3, removal_release=1.0, removal_death=-0.8, operative_death=0.03),
    "barely_overlapping": Scenario(
        confounding=2.5, removal_release=1.0, removal_death=-0.8, operative_death=0.03
    ),
    "losses": Scenario(removal_release=1.0, removal_death=-0.8, operative_death=0.03, loss=0.006),
}


SHARE_OF_LARGEST_CLINIC = 3  # clinics' sizes rise evenly from 1 to this


def network(scenario, count, seed):
    """An invented network as its records would stand.

    scenario : Scenario
    count    : int, eligible animals
    Returns    cases, events: frames as the emulation package defines them
    """
    generator = np.random.default_rng(seed)
    cases = _cases(scenario, count, generator)
    animals, films = _run(scenario, cases, generator, strategy=None)
    return cases.drop(columns=["habit", "quality"]), _events(cases, animals, films)


def truth(scenario, strategies, seed, count=100_000, by=None):
    """What strategies really do by the horizon: everyone is simulated under each of them and nobody is lost.

    strategies : dict of name to plain data
    by         : column of the cases, or None
    Returns      float array (groups, strategies, 4), as estimate() orders them: everybody, then the levels of ``by``
    """
    scenario = replace(scenario, loss=0.0)
    result = []
    for name, plain in strategies.items():
        generator = np.random.default_rng(seed)
        cases = _cases(scenario, count, generator)
        animals, _ = _run(scenario, cases, generator, compile_strategy(name, plain))
        groups = [np.ones(count, bool)]
        if by is not None:
            groups += [(cases[by] == level).to_numpy() for level in sorted(set(cases[by]))]
        ends = animals["end_day"], animals["ending"]
        curves = [_curve(*(each[group] for each in ends), scenario.horizon) for group in groups]
        result.append([horizon_measures(curve) for curve in curves])
    return np.swapaxes(result, 0, 1)


def _curve(end_day, ending, horizon):
    table = np.zeros((horizon + 1, 4))
    seen = ending < IN_CARE
    np.add.at(table, (end_day[seen], ending[seen]), 1)
    return np.cumsum(table, axis=0) / len(ending)


def _cases(scenario, count, generator):
    size = np.linspace(1, SHARE_OF_LARGEST_CLINIC, scenario.clinics)
    clinic = generator.choice(scenario.clinics, count, p=size / size.sum())
    spread = np.linspace(-1, 1, scenario.clinics)
    return pd.DataFrame(
        {
            "case": [f"invented_{number}" for number in range(count)],
            "clinic": np.array([f"clinic_{number}" for number in range(scenario.clinics)])[clinic],
            "taxon_group": generator.choice(["freshwater_turtle", "pelican"], count, p=[0.6, 0.4]),
            "body_site": generator.choice(["mouth", "stomach"], count),
            "severity": generator.choice(["1_mild", "2_moderate", "3_severe"], count, p=[0.4, 0.35, 0.25]),
            "has_line": generator.random(count) < 0.5,
            "habit": 0.3 * spread[clinic],
            "quality": 0.3 * np.roll(spread, 1)[clinic],
        }
    )


def _run(scenario, cases, generator, strategy):
    """Let every animal live day by day; returns its state and the films as (day, animals, moved)."""
    count = len(cases)
    animals = {
        "deep": (cases["body_site"] == "stomach").to_numpy(float),
        "severity": cases["severity"].str[0].astype(float).to_numpy() - 1,
        **{name: cases[name].to_numpy() for name in ("taxon_group", "has_line", "habit", "quality")},
        **{
            name: np.full(count, -1)
            for name in ("worse_day", "unmoved_day", "passed_day", "line_day", "retrieval_day")
        },
        "position": np.zeros(count, int),
        "surgery": np.zeros(count, bool),
        "end_day": np.full(count, -1),
        "ending": np.full(count, IN_CARE),
    }
    films = []
    for day in range(scenario.horizon + 1):
        chance = generator.random((7, count))
        films += _find(day, animals, chance[0:3])
        _decide(scenario, day, animals, chance[3:5], strategy, generator)
        _end(scenario, day, animals, chance[5:7])
    animals["end_day"][animals["end_day"] < 0] = scenario.horizon
    return animals, films


def _carrying(animals):
    return (animals["end_day"] < 0) & (animals["retrieval_day"] < 0) & (animals["passed_day"] < 0)


def _find(day, animals, chance):
    """Worsening, a weekly film of the gear, and its passing."""
    in_care, carrying = animals["end_day"] < 0, _carrying(animals)
    worsens = expit(-5 + 0.7 * animals["severity"] + 0.5 * animals["deep"])
    animals["worse_day"][in_care & (animals["worse_day"] < 0) & (chance[0] < worsens)] = day
    films = []
    if day % 7 == 0 and day > 0:
        moved = chance[1] < 0.35 - 0.1 * animals["deep"]
        animals["unmoved_day"][carrying & ~moved & (animals["position"] != 1)] = day
        animals["unmoved_day"][carrying & moved] = -1
        animals["position"][carrying] = np.where(moved, 2, 1)[carrying]
        films = [(day, np.flatnonzero(carrying), moved[carrying])]
    passes = np.array([0.01, 0.004, 0.08])[animals["position"]]
    animals["passed_day"][carrying & (chance[2] < passes)] = day
    return films


def _spell(day, began):
    return np.where(began >= 0, day - began, -1)


def _decide(scenario, day, animals, chance, strategy, generator):
    """Cut the line, retrieve: by the clinics' habit, or as the strategy has it."""
    carrying, worse = _carrying(animals), animals["worse_day"] >= 0
    cut = expit(-1.5 + 0.4 * animals["severity"] - 0.2 * day)
    drive = 0.35 * animals["severity"] + 0.7 * worse + 0.3 * animals["deep"]
    time = 0.8 * (day <= 1) - 0.03 * day + 0.5 * (day % 7 == 0 and day > 0)
    unmoved = 0.5 * (animals["position"] == 1)
    retrieve = expit(-3.8 + animals["habit"] + scenario.confounding * drive + time + unmoved)
    by_surgery = expit(-0.5 + 1.2 * animals["deep"] + 0.3 * animals["severity"] + animals["habit"])
    if strategy is not None:
        spells = _spell(day, animals["worse_day"]), _spell(day, animals["unmoved_day"])
        cut = _or_usual(line_target(strategy, animals["taxon_group"], day), cut)
        retrieve = _or_usual(retrieval_target(strategy, animals["taxon_group"], day, *spells), retrieve)
        by_surgery = {"surgery": 1.0, "endoscopy": 0.0}.get(strategy.means, by_surgery)
    animals["line_day"][carrying & animals["has_line"] & (animals["line_day"] < 0) & (chance[0] < cut)] = day
    now = carrying & (chance[1] < retrieve)
    animals["retrieval_day"][now] = day
    animals["surgery"] |= now & (generator.random(len(now)) < by_surgery)


def _or_usual(target, usual):
    return np.where(np.isnan(target), usual, target)


def _end(scenario, day, animals, chance):
    """Operative death, death, euthanasia, release, another end, or loss from sight."""
    in_care, severity, deep = animals["end_day"] < 0, animals["severity"], animals["deep"]
    worse = animals["worse_day"] >= 0
    after = _spell(day, animals["retrieval_day"])
    harm = (after >= 1) * (scenario.removal_death + deep * scenario.deep_death) + animals["quality"]
    gain = (after >= 7) * (scenario.removal_release + deep * scenario.deep_release) - animals["quality"]
    operative = (
        (after == 0) * scenario.operative_death * (1 + 0.5 * severity) * np.where(animals["surgery"], 1, 0.5)
    )
    hazards = [
        (day >= 3) * expit(-3.6 - 0.5 * severity - 1.5 * worse + gain),
        np.maximum(operative, expit(-6.2 + 0.8 * severity + 1.0 * worse + harm)),
        expit(-6.6 + 0.9 * severity + 1.4 * worse + harm),
        np.full(len(deep), 0.0005),
    ]
    below = np.cumsum(hazards, axis=0)
    ending = (chance[0] >= below).sum(axis=0)
    ending = np.where(
        (ending == IN_CARE) & (chance[1] < scenario.loss * (1 + severity) * (1 + worse)), LOST, ending
    )
    ends = in_care & (ending != IN_CARE)
    animals["ending"][ends] = ending[ends]
    animals["end_day"][ends] = day


def _events(cases, animals, films):
    """What the records would hold: one row per dated event."""
    means = np.where(animals["surgery"], "retrieval_surgery", "retrieval_endoscopy")
    dated = [
        (animals["worse_day"], "worse"),
        (animals["passed_day"], "gear_passed"),
        (animals["line_day"], "line_cut"),
        (animals["retrieval_day"], means),
        (animals["end_day"], ENDING_NAMES[animals["ending"]]),
    ]
    rows = [(np.arange(len(cases)), day, np.broadcast_to(event, len(cases))) for day, event in dated]
    rows += [(who, np.full(len(who), day), np.where(moved, "moved", "unmoved")) for day, who, moved in films]
    who, day, event = (np.concatenate(part) for part in zip(*rows, strict=True))
    kept = day >= 0
    return pd.DataFrame({"case": cases["case"].to_numpy()[who[kept]], "day": day[kept], "event": event[kept]})
