"""A network made to deceive: siblings of a clutch, clinics that swap animals, one net's catch, transfers to nowhere.

Written down before any weight was looked at: what a second clinic copies, weighs anew or leaves out is as the people of
such clinics describe it (judgement, no source), and harder than the demo, where masses are mostly copied.
"""

import random

from link_networks import day, stay

SPECIES = [
    ("larus_pacificus", "gull_or_tern", 1100), ("chroicocephalus_novaehollandiae", "gull_or_tern", 300),
    ("cygnus_atratus", "swan", 5500), ("anas_superciliosa", "duck_or_goose", 1000),
    ("anas_platyrhynchos", "duck_or_goose", 1050), ("chelodina_longicollis", "freshwater_turtle", 800),
]  # fmt: skip
PLACES = [(f"place {number}", -36.0 - number / 20, 160.0 + number / 25) for number in range(8)]
CLINICS = ("north", "south", "east", "west")


class Adversary:
    """Stays of a network and the true case of each."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.stays: list[dict] = []
        self.case_of: dict[str, int] = {}
        self.cases = 0

    def add(self, case: int | None, clinic: str, admitted: int, left: int, **facts) -> int:
        """One stay of a case, or of a new one; returns the case."""
        if case is None:
            self.cases += 1
            case = self.cases
        made = stay(clinic, f"{len(self.stays):05d}", admitted, left, **facts)
        self.stays.append(made)
        self.case_of[made["stay_id"]] = case
        return case

    def animal(self, when: int, species=None, place=None, **facts) -> dict:
        """What is true of an animal found on a day."""
        draw = self.random
        code, group, mass = species or draw.choice(SPECIES)
        name, latitude, longitude = place or draw.choice(PLACES)
        return {
            "species_code": code,
            "taxon_group_code": group,
            "mass_g": float(round(mass * draw.lognormvariate(0, 0.25))),
            "sex_code": draw.choice(["female", "male", None]),
            "life_stage_code": draw.choice(["juvenile", "adult", "adult"]),
            "found_place": name,
            "latitude": latitude,
            "longitude": longitude,
            "found_date": day(when),
            "cause_code": draw.choice(["fishing_tackle", "fishing_tackle", "collision", "illness"]),
            "outcome_code": draw.choice(["released", "released", "died", "euthanased"]),
        } | facts

    def told_again(self, facts: dict) -> dict:
        """What the second clinic writes of the same animal."""
        draw = self.random
        copied = draw.random() < 0.33
        again = facts | {
            "mass_g": facts["mass_g"] if copied else float(round(facts["mass_g"] * draw.gauss(1, 0.05)))
        }
        for name, chance in (
            ("sex_code", 0.2),
            ("found_date", 0.3),
            ("life_stage_code", 0.1),
            ("cause_code", 0.05),
        ):
            if draw.random() < chance:
                again[name] = None
        if draw.random() < 0.15:
            again |= {"found_place": "at the other clinic", "latitude": None, "longitude": None}
        return again

    def hand_over(self, facts: dict, when: int, sender: str, receiver: str, **names) -> None:
        """A true transfer; clinics name each other as often as they do."""
        draw = self.random
        leaves = when + draw.randint(0, 8)
        arrives = leaves + draw.choice([0, 0, 0, 0, 1])
        named = {"transferred_to": receiver if draw.random() < 0.7 else None} | names
        case = self.add(None, sender, when, leaves, **facts | {"outcome_code": "transferred_out"}, **named)
        again = self.told_again(facts) | {"other_clinic": sender if draw.random() < 0.7 else None}
        self.add(case, receiver, arrives, arrives + draw.randint(0, 40), **again)


def background(network: Adversary, days: int, each_day: float) -> None:
    """Animals that stay where they are."""
    for when in range(days):
        for _ in range(int(each_day + network.random.random())):
            facts = network.animal(when)
            network.add(
                None, network.random.choice(CLINICS), when, when + network.random.randint(0, 40), **facts
            )


def clutch(network: Adversary, when: int) -> None:
    """Siblings typed one by one, of nearly one mass, with one ending; half the clutches go on to another clinic."""
    draw = network.random
    species, place = draw.choice(SPECIES[:5]), draw.choice(PLACES)
    young = {"life_stage_code": "hatchling", "cause_code": "orphaned", "sex_code": None, "notes": "nest fell"}
    goes_on, leaves = draw.random() < 0.5, when + draw.randint(0, 5)
    sender, receiver = draw.sample(CLINICS, 2)
    for _ in range(draw.randint(2, 7)):
        mass = float(round(species[2] * 0.15 * draw.gauss(1, 0.08)))
        facts = network.animal(when, species, place, **young, mass_g=mass, outcome_code="released")
        if not goes_on:
            network.add(None, sender, when, leaves + 20, **facts)
            continue
        sent = facts | {"outcome_code": "transferred_out", "transferred_to": receiver}
        case = network.add(None, sender, when, leaves, **sent)
        network.add(
            case, receiver, leaves, leaves + 30, **network.told_again(facts) | {"other_clinic": sender}
        )


def swap(network: Adversary, when: int) -> None:
    """Two clinics exchange an animal of one species on one day."""
    species = network.random.choice(SPECIES)
    one, other = network.random.sample(CLINICS, 2)
    for sender, receiver in ((one, other), (other, one)):
        facts = network.animal(when, species)
        case = network.add(None, sender, when, when + 3, **facts | {"outcome_code": "transferred_out"})
        network.add(case, receiver, when + 3, when + 20, **network.told_again(facts))


def catch(network: Adversary, when: int) -> None:
    """Grown animals out of one net at one clinic."""
    species, place = network.random.choice(SPECIES), network.random.choice(PLACES)
    clinic = network.random.choice(CLINICS)
    tackle = {"cause_code": "fishing_tackle", "injury_code": "entangled", "gear_code": "net"}
    for _ in range(network.random.randint(2, 5)):
        network.add(None, clinic, when, when + 2, **network.animal(when, species, place, **tackle))


def to_nowhere(network: Adversary, when: int) -> None:
    """A transfer to a carer outside, while an animal of that species comes to another clinic on the same days."""
    species, place = network.random.choice(SPECIES), network.random.choice(PLACES)
    sender, other = network.random.sample(CLINICS, 2)
    sent = network.animal(when, species, place, outcome_code="transferred_out")
    network.add(None, sender, when, when + 2, **sent)
    network.add(None, other, when + 2, when + 9, **network.animal(when + 2, species, place))


def typed_twice(network: Adversary, when: int) -> None:
    """One animal under two numbers of a clinic, the second without what was forgotten."""
    facts = network.animal(when)
    clinic = network.random.choice(CLINICS)
    case = network.add(None, clinic, when, when + 7, **facts)
    network.add(case, clinic, when, when + 7, **facts | {"sex_code": None})


def network(seed: int, days: int = 200) -> Adversary:
    """Some 700 stays, of which about two in five belong to a story that deceives."""
    made = Adversary(seed)
    background(made, days, 1.5)
    stories = (clutch, swap, catch, to_nowhere, typed_twice)
    for when in range(0, days, 10):
        for story in stories:
            story(made, when + made.random.randint(0, 9))
        for _ in range(3):
            start = when + made.random.randint(0, 9)
            made.hand_over(made.animal(start), start, *made.random.sample(CLINICS, 2))
    return made
