"""Who was brought in: species, injury, all that is known on the first day. A "herd" is a dictionary of arrays (n,)."""

import numpy as np

from maker import coast
from maker import rates as r
from maker.draws import bell, generator, pick

SPECIES = coast.read("species.csv")
NAMES = [row["species"] for row in SPECIES]
GROUPS = [row["taxon_group"] for row in SPECIES]
WATERS = ["salt", "fresh", "inland"]
# What tackle does to each group: swallowed, mouth or throat, hooked elsewhere, entangled, lead eaten.
TACKLE_PROBLEMS = {
    "freshwater_turtle": [76, 16, 4, 4, 0],
    "sea_turtle": [68, 12, 5, 15, 0],
    "pelican": [46, 18, 12, 24, 0],
    "gull_or_tern": [50, 16, 8, 26, 0],
    "swan": [16, 8, 4, 14, 58],
    "duck_or_goose": [16, 8, 8, 16, 52],
    "cormorant_or_darter": [58, 14, 4, 24, 0],
    "heron_or_ibis": [44, 14, 8, 34, 0],
    "seabird_other": [32, 10, 14, 44, 0],
    "raptor": [14, 6, 22, 58, 0],
    "seal_or_sealion": [10, 10, 16, 64, 0],
    "otter_or_platypus": [6, 6, 10, 78, 0],
}
OTHER_CAUSES = {
    "water": {
        "boat_strike": 14,
        "illness": 24,
        "starvation_weakness": 18,
        "entanglement_other": 5,
        "collision": 6,
        "predator_attack": 8,
        "domestic_animal": 7,
        "oiling": 4,
        "weather": 5,
        "vehicle": 4,
        "undetermined": 5,
    },
    "inland": {
        "vehicle": 30,
        "domestic_animal": 20,
        "collision": 14,
        "orphaned": 14,
        "illness": 10,
        "predator_attack": 5,
        "human_harm": 2,
        "undetermined": 5,
    },
}
OUTSIDE_SITES = ["wing", "foot_or_leg", "neck", "head", "body_wall", "flipper", "tail", "several_sites"]
# Where gear outside the mouth sits, in the order of OUTSIDE_SITES; birds unless said otherwise.
ON_BIRD = [38, 34, 10, 6, 4, 0, 2, 6]
ON_BODY = {
    "freshwater_turtle": [0, 60, 16, 8, 8, 0, 3, 5],
    "sea_turtle": [0, 0, 16, 8, 8, 60, 3, 5],
    "seal_or_sealion": [0, 0, 16, 8, 8, 60, 3, 5],
    "otter_or_platypus": [0, 40, 22, 14, 14, 0, 5, 5],
}
HOOK_KINDS = ["single_j", "circle", "treble", "double", "jig", "kahle", "unknown_kind"]
DEAD_ON_ARRIVAL = 0.05
FROM_OUTSIDE = 0.02  # first looked after by a clinic outside the network: its first days are not on record
SEX, STAGES = ["undetermined", "female", "male"], ["adult", "subadult", "juvenile", "hatchling"]
CONDITIONS, AGES = ["good", "fair", "thin", "emaciated"], ["fresh", "days", "weeks", "old"]
SEVERITIES = ["mild", "moderate", "severe", "critical"]


def _column(name):
    return np.array([float(row[name]) for row in SPECIES])


def _draw_species(rng, place, is_tackle):
    water = np.array([WATERS.index(p["water"]) for p in coast.PLACES])[place]
    lives = np.stack([_column(name) for name in WATERS])[water]
    abundance = np.where(is_tackle[:, None], _column("tackle"), _column("other"))
    return pick(rng.random(len(place)), lives * abundance)


def _draw_problem(rng, species, is_tackle):
    shares = np.array([TACKLE_PROBLEMS.get(group, [0, 0, 0, 1, 0]) for group in GROUPS])
    kind = pick(rng.random(len(species)), shares[species])
    cold = _column("pace")[species] == 1
    problem = np.array([r.SWALLOWED_WARM, r.MOUTH, r.EXTERNAL, r.ENTANGLED, r.LEAD])[kind]
    problem = np.where((problem == r.SWALLOWED_WARM) & cold, r.SWALLOWED_REPTILE, problem)
    return np.where(is_tackle, problem, r.OTHER)


def _draw_cause(rng, place, problem):
    uniforms = rng.random(len(place))
    inland = np.array([p["water"] == "inland" for p in coast.PLACES])[place]
    codes = [
        np.array(list(OTHER_CAUSES[where]))[pick(uniforms, list(OTHER_CAUSES[where].values()))]
        for where in ("water", "inland")
    ]
    return np.where(problem != r.OTHER, "fishing_tackle", np.where(inland, codes[1], codes[0]))


def _draw_outside(rng, species):
    shares = np.array([ON_BODY.get(group, ON_BIRD) for group in GROUPS])
    return np.array(OUTSIDE_SITES)[pick(rng.random(len(species)), shares[species])]


def _body_site(rng, herd):
    """The recorded place in the body; the model's three columns are coarser."""
    mouth_part = np.array(["mouth", "tongue", "beak_or_jaw"])[
        pick(rng.random(len(herd["species"])), [6, 1, 3])
    ]
    inner = np.array(
        [r.SITES[p][s] for p, s in zip(herd["problem"], herd["site"], strict=True)], dtype="<U20"
    )
    outside = _draw_outside(rng, herd["species"])
    code = np.where(inner == "outside", outside, inner)
    code = np.where(inner == "mouth", mouth_part, code)
    code = np.where(herd["problem"] == r.LEAD, "gizzard", code)
    return np.where(herd["problem"] == r.OTHER, "", code)


def _gear(rng, problem):
    shares = np.array(
        [
            [88, 7, 0, 0, 0, 0, 5],
            [80, 14, 0, 0, 0, 0, 6],
            [74, 22, 0, 0, 0, 0, 4],
            [66, 30, 0, 0, 0, 0, 4],
            [0, 0, 68, 12, 0, 10, 10],
            [0, 0, 0, 0, 100, 0, 0],
            [1, 0, 0, 0, 0, 0, 0],
        ]
    )
    names = ["hook", "lure", "line", "net", "sinker", "rope_or_twine", "several"]
    return np.array(names)[pick(rng.random(len(problem)), shares[problem])]


def _mass(rng, herd):
    low, high = _column("mass_g_low")[herd["species"]], _column("mass_g_high")[herd["species"]]
    stage = np.array([1.0, 0.7, 0.4, 0.25])[herd["life_stage"]]
    middle = low + (high - low) * (0.45 + 0.12 * bell(rng, len(low)))
    thin = np.array([1.0, 0.95, 0.85, 0.7])[herd["body_condition"]]
    return np.maximum(np.round(middle * stage * thin), 5).astype(int)


def _features(rng, herd):
    """Everything else that may be written down on the first day."""
    count, severity = len(herd["species"]), herd["severity"]
    u = rng.random((8, count))
    ill = np.array([[60, 28, 10, 2], [38, 36, 20, 6], [18, 34, 32, 16], [6, 22, 36, 36]])
    herd["body_condition"] = pick(u[0], ill[severity])
    herd["triage_score"] = np.clip(severity + 1 + pick(u[1], [0.1, 0.65, 0.25]) - 1 + (u[2] < 0.15), 1, 5)
    herd["injury_age"] = pick(
        u[3], np.array([[60, 28, 10, 2], [45, 35, 15, 5], [25, 40, 25, 10], [15, 35, 35, 15]])[severity]
    )
    herd["sex"] = pick(u[4], [5, 3, 3])
    herd["life_stage"] = pick(u[5], [62, 16, 19, 3])
    herd["hook_kind"] = pick(u[6], [46, 20, 14, 3, 5, 3, 9])
    herd["banded"] = u[7] < 0.30
    herd["mass_g"] = _mass(rng, herd)


def draw(count, block):
    """A herd of ``count`` animals; ``block`` numbers the batch, so that a million can be made piece by piece."""
    rng = generator("animals", block)
    is_tackle = rng.random(count) < 0.5
    place, day = coast.draw_places(rng, is_tackle)
    herd = {"place": place, "day": day, "species": _draw_species(rng, place, is_tackle)}
    herd["problem"] = _draw_problem(rng, herd["species"], is_tackle)
    herd["cause"] = _draw_cause(rng, place, herd["problem"])
    herd["site"] = pick(rng.random(count), r.SITE_SHARES[herd["problem"]])
    herd["severity"] = pick(rng.random(count), r.SEVERITY_SHARES[herd["problem"]])
    herd["line"] = (herd["problem"] <= r.EXTERNAL) & (
        rng.random(count) < np.where(herd["problem"] == r.MOUTH, 0.8, 0.45)
    )
    herd["pace"] = _column("pace")[herd["species"]].astype(int)
    herd["body_site"] = _body_site(rng, herd)
    herd["gear"] = np.where(herd["problem"] == r.OTHER, "", _gear(rng, herd["problem"]))
    herd["clinic"] = coast.draw_clinics(rng, place)
    herd["latitude"], herd["longitude"], herd["radius_m"] = coast.draw_points(rng, place)
    herd["dead_on_arrival"] = rng.random(count) < DEAD_ON_ARRIVAL
    herd["from_outside"] = (
        (herd["problem"] == r.OTHER) & ~herd["dead_on_arrival"] & (rng.random(count) < FROM_OUTSIDE)
    )
    herd["found_before"] = pick(rng.random(count), [80, 14, 4, 2]) + np.where(herd["from_outside"], 6, 0)
    _features(rng, herd)
    order = np.argsort(herd["day"], kind="stable")
    return {name: values[order] for name, values in herd.items()}
