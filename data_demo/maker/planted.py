"""What is planted in the demo, beside its cases: effects of strategies, hot spots and bins, slips. Written as TOML."""

import numpy as np

from maker import care, coast
from maker import rates as r
from maker.draws import generator
from maker.strategies import QUESTIONS

CLONES = 6000
EVERYONE = 20000
HOT_ODDS, BUSY_CROWD = 3, 5


def _table(name, **values):
    """One TOML table of an array of tables; text that is already a list or a date is given as ``bare_<key>``."""
    lines = ["", f"[[{name}]]"]
    for key, value in values.items():
        is_text = isinstance(value, str) and not key.startswith("bare_")
        lines.append(f"{key.removeprefix('bare_')} = " + (f'"{value}"' if is_text else str(value)))
    return lines


def _write(path, *lines):
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


def outcomes_under(question, strategy, herd):
    """Everyone eligible lives under the strategy, many times over.

    Returns dict of group to (animals, share released, share dead at the question's horizon)
    """
    eligible = question.is_eligible(herd) & ~herd["dead_on_arrival"]
    times = max(1, CLONES // max(1, int(eligible.sum())))
    clones = {name: np.tile(values[eligible], times) for name, values in herd.items()}
    rng = generator("truth", question.name)
    ward = care.live(clones, rng, strategy, can_be_lost=False, keep_log=False, until=question.horizon_days)
    released = np.isin(ward.end, (r.RELEASED, r.RELEASED_ELSEWHERE))
    dead = np.isin(ward.end, (r.DIED, r.EUTHANASED))
    groups = {"all": np.isin(clones[question.by], list(question.groups.values()))}
    groups |= {name: clones[question.by] == value for name, value in question.groups.items()}
    groups = {name: of for name, of in groups.items() if of.any()}
    return {
        name: (int(of.sum()) // times, released[of].mean(), dead[of].mean()) for name, of in groups.items()
    }


def write_effects(path, herd):
    """effects.toml: true release and death at the horizon, for each question, strategy and group."""
    herd = {name: values[:EVERYONE] for name, values in herd.items()}
    lines = [
        "# What would truly have become of the invented animals, had all of them been cared for under a strategy:",
        "# every eligible animal (admitted alive) simulated under it many times. Good to about one in a hundred.",
    ]
    for question in QUESTIONS:
        for name, strategy in {"usual_care": None, **question.strategies}.items():
            for group, (animals, released, dead) in outcomes_under(question, strategy, herd).items():
                about = {"question": question.name, "strategy": name, "group": group, "animals": animals}
                shares = {"bare_released": f"{released:.3f}", "bare_died_or_euthanased": f"{dead:.3f}"}
                lines += _table("effect", **about, horizon_days=question.horizon_days, **shares)
    _write(path, *lines)


def write_sites(path):
    """sites.toml: planted hot spots, the busy place, and what the bins truly do."""
    lines = [
        "# What is planted on the coast. Odds: tackle cases against all other rescues, 1 is the coast's usual."
    ]
    for place in coast.PLACES:
        crowd, odds = float(place["crowd"]), float(place["tackle_odds"])
        kind = "hot_spot" if odds >= HOT_ODDS else "busy" if crowd >= BUSY_CROWD else ""
        if kind:
            lines += _table(
                kind, place=place["place"], site_id=place["site_id"], crowd=crowd, tackle_odds=odds
            )
    for bin_ in coast.BINS:
        lines += _table(
            "bin", bin_id=bin_["bin_id"], place=bin_["place"], true_rate_ratio=float(bin_["true_rate_ratio"])
        )
        if bin_["peak_from"]:
            lines += [f"chance_peak_{name} = {bin_[f'peak_{name}']}" for name in ("from", "until", "factor")]
    _write(path, *lines)


def write_dirt(path, writers):
    """dirt.toml: each kind of slip, how often and in which records; and the words left uncoded on purpose."""
    lines = ["# Slips put into the exports on purpose, by clinic: the case numbers struck."]
    for writer in writers.values():
        for kind, numbers in sorted(writer.dirt.numbers.items()):
            listed = ", ".join(f'"{number}"' for number in numbers)
            struck = {"count": len(numbers), "bare_case_numbers": f"[{listed}]"}
            lines += _table("slip", clinic=writer.clinic, kind=kind, **struck)
        for (field, _), word in writer.lexicon.uncoded.items():
            lines += _table("uncoded", clinic=writer.clinic, field=field, word=word)
    _write(path, *lines)
