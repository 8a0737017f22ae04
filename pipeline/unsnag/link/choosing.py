"""Which pairs become links: an animal is at one clinic at a time, and a stay has one next and one last stay.

The strongest pair is taken first: what a steward decided, then what the clinics state, then the weighed ones by
weight; a tie goes to the shorter way and to the smaller id. So the order of files and rows, and the number of threads,
change nothing. A weighed pair is taken only if it is likely enough and its best rival clearly less likely; else it is
listed for a person to decide. An optimum over all pairs would trade a strong pair for the sum of weaker ones.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from unsnag.link.weights import HAND_OVER, SECOND_ENTRY, Limits

DECIDED, STATED, WEIGHED = "decided", "stated", "weighed"
BASES = (DECIDED, STATED, WEIGHED)
TOO_LITTLE, RIVALLED = "too little speaks for it", "another stay is about as like"


class Pair(NamedTuple):
    """Two stays that may be one animal.

    weight : log2 of the odds; None unless weighed
    days   : between the end of the earlier and the admission of the later
    is_twin_number : of two clutches, whether they are the same animal of each
    """

    kind: str
    basis: str
    earlier: str
    later: str
    weight: float | None
    days: int
    is_twin_number: bool

    @property
    def order(self) -> tuple:
        """What is taken first."""
        weight = 0.0 if self.weight is None else -self.weight
        basis = BASES.index(self.basis)
        return basis, weight, abs(self.days), not self.is_twin_number, self.earlier, self.later


class Stay(NamedTuple):
    """What must not differ within a case: the band; and whose siblings a stay's animals are."""

    band: str | None
    incident: str


class Link(NamedTuple):
    """An accepted pair, and by how much its best rival arrangement was less likely (log2).

    earlier, later : the stays that it joins; the first entry where the pair names a second entry of a stay
    """

    pair: Pair
    margin: float | None
    earlier: str
    later: str


class Grey(NamedTuple):
    """A pair for a person to decide; would_join: whether it is joined if all doubtful pairs were."""

    pair: Pair
    margin: float
    why: str
    would_join: bool


@dataclass
class Cases:
    """Stays as they are joined: who follows whom, and which record is a second entry of which."""

    stays: dict[str, Stay]
    apart: set[frozenset[str]]
    next_of: dict[str, str] = field(default_factory=dict)
    last_of: dict[str, str] = field(default_factory=dict)
    main_of: dict[str, str] = field(default_factory=dict)
    mains: set[str] = field(default_factory=set)
    case_of: dict[str, str] = field(default_factory=dict)
    members: dict[str, list[str]] = field(default_factory=dict)

    def ends(self, pair: Pair) -> tuple[str, str]:
        """The two stays of a pair, each by its first entry."""
        return self.main_of.get(pair.earlier, pair.earlier), self.main_of.get(pair.later, pair.later)

    def fits(self, pair: Pair) -> bool:
        """Whether the pair can still be joined without putting an animal in two places at once."""
        earlier, later = self.ends(pair)
        if pair.kind == SECOND_ENTRY:
            free = pair.later not in self.main_of and pair.later not in self.mains
        else:
            free = earlier not in self.next_of and later not in self.last_of
        return free and not self.are_joined(pair) and self._agree(pair, earlier, later)

    def join(self, pair: Pair, margin: float | None = None) -> Link:
        """Make the pair one animal's."""
        earlier, later = self.ends(pair)
        if pair.kind == SECOND_ENTRY:
            self.main_of[later] = earlier
            self.mains.add(earlier)
        else:
            self.next_of[earlier], self.last_of[later] = later, earlier
        case, other = self._case(earlier), self._case(later)
        joined = self.members.pop(case, [earlier]) + self.members.pop(other, [later])
        self.members[case] = joined
        self.case_of.update(dict.fromkeys(joined, case))
        return Link(pair, margin, earlier, later)

    def copy(self) -> "Cases":
        """The same joins, to try others on."""
        return Cases(
            self.stays, self.apart, dict(self.next_of), dict(self.last_of), dict(self.main_of), set(self.mains),
            dict(self.case_of), {case: list(stays) for case, stays in self.members.items()},
        )  # fmt: skip

    def are_joined(self, pair: Pair) -> bool:
        """Whether both stays are one case's already."""
        earlier, later = self.ends(pair)
        return self._case(earlier) == self._case(later)

    def _case(self, stay: str) -> str:
        return self.case_of.get(stay, stay)

    def _agree(self, pair: Pair, earlier: str, later: str) -> bool:
        """No two bands, and no pair that a steward told apart, in one case; a decision overrules a band."""
        first, second = (self.members.get(self._case(stay), [stay]) for stay in (earlier, later))
        if any(frozenset((one, other)) in self.apart for one in first for other in second):
            return False
        bands = {self.stays[stay].band for stay in (*first, *second)} - {None}
        return pair.basis == DECIDED or len(bands) < 2


def choose(
    pairs: Iterable[Pair], stays: dict[str, Stay], apart: set[frozenset[str]], limits: dict[str, Limits]
) -> tuple[list[Link], list[Grey], list[Pair]]:
    """The links, the pairs that a person should look at, and the decided ones that other decisions make impossible.

    pairs  : all that were decided, stated or weighed
    apart  : pairs of stay ids that are two animals, as a steward decided
    limits : kind → what a weighed pair needs
    """
    cases = Cases(stays, apart)
    links: list[Link] = []
    grey: list[Grey] = []
    refused: list[Pair] = []
    for kind in (
        SECOND_ENTRY,
        HAND_OVER,
    ):  # a second entry is no stay of its own, so that it hands nothing over
        of_kind = sorted((pair for pair in pairs if pair.kind == kind), key=lambda pair: pair.order)
        for pair in of_kind:
            if pair.basis != WEIGHED and cases.fits(pair):
                links.append(cases.join(pair))
            elif pair.basis == DECIDED and not cases.are_joined(pair):
                refused.append(pair)
        rivals = [pair for pair in of_kind if pair.basis == WEIGHED and cases.fits(pair)]
        taken, doubtful = _weigh(rivals, cases, limits[kind])
        links += taken
        grey += doubtful
    return links, grey, refused


def _weigh(pairs: list[Pair], cases: Cases, limits: Limits) -> tuple[list[Link], list[Grey]]:
    """Join the likely and clear ones among weighed pairs, strongest first; list what is left of the others."""
    margins = _margins(pairs, _arrange(pairs, cases), cases.stays)
    links, open_pairs = [], []
    for pair in pairs:
        margin = margins.get(pair)
        is_clear = margin is not None and margin >= limits.margin
        if is_clear and pair.weight >= limits.accept and cases.fits(pair):
            links.append(cases.join(pair, margin))
        elif pair.weight >= limits.list_from:
            open_pairs.append(pair)
    grey = [_grey(pair, margins.get(pair)) for pair in open_pairs if cases.fits(pair)]
    return links, grey


def _grey(pair: Pair, margin: float | None) -> Grey:
    is_rivalled = margin is None or margin < pair.weight
    return Grey(pair, margin, RIVALLED if is_rivalled else TOO_LITTLE, margin is not None)


def _arrange(pairs: list[Pair], cases: Cases) -> list[Pair]:
    """The pairs that would be joined if likelihood alone counted."""
    trial = cases.copy()
    arranged = []
    for pair in pairs:
        if trial.fits(pair):
            trial.join(pair)
            arranged.append(pair)
    return arranged


def _margins(pairs: list[Pair], arranged: list[Pair], stays: dict[str, Stay]) -> dict[Pair, float]:
    """For each arranged pair the log2 odds by which the next best arrangement of the same stays falls behind.

    That one may be no pair at all, or a rival. If a rival's other end has a partner, that partner takes what is left,
    as two animals that swap clinics would. Animals of one clutch's record are no rivals of each other.
    """
    weight_of = {(pair.earlier, pair.later): pair.weight for pair in pairs}
    partner_of = {role: pair for pair in arranged for role in _roles(pair)}
    rivals_of = defaultdict(list)
    for pair in pairs:
        for role in _roles(pair):
            rivals_of[role].append(pair)
    margins = {}
    for pair in arranged:
        lost = [pair.weight]
        for role in _roles(pair):
            others = (rival for rival in rivals_of[role] if not _same_clutches(rival, pair, stays))
            lost += [_lost(pair, rival, partner_of, weight_of) for rival in others]
        margins[pair] = round(min(lost), 6)
    return margins


def _roles(pair: Pair) -> tuple[tuple[str, str], ...]:
    """What a pair takes up: the next place of one stay and the last of another; of two entries, both stays."""
    if pair.kind == SECOND_ENTRY:
        return ("entry", pair.earlier), ("entry", pair.later)
    return ("earlier", pair.earlier), ("later", pair.later)


def _lost(pair: Pair, rival: Pair, partner_of: dict, weight_of: dict) -> float:
    """What is lost if the rival is joined in place of the pair."""
    lost = pair.weight - rival.weight
    partner = next((partner_of[role] for role in _roles(rival) if partner_of.get(role, pair) != pair), None)
    if partner is None:
        return lost
    shares_earlier = rival.earlier == pair.earlier
    left = (partner.earlier, pair.later) if shares_earlier else (pair.earlier, partner.later)
    return lost + partner.weight - max(weight_of.get(left, 0.0), 0.0)


def _same_clutches(one: Pair, other: Pair, stays: dict[str, Stay]) -> bool:
    """Whether both pairs join the same two records (a pair is not its own rival either)."""
    return all(
        stays[getattr(one, end)].incident == stays[getattr(other, end)].incident
        for end in ("earlier", "later")
    )
