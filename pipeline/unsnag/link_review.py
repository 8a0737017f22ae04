"""What a steward decides from: doubtful pairs of stays side by side, each field with its weight; and the page of it."""

from dataclasses import dataclass
from datetime import date
from math import log2
from pathlib import Path

import duckdb
import jinja2
from markupsafe import Markup

from unsnag import resources
from unsnag.link import weights
from unsnag.report.html import typefaces

# What the two sides of each field are: of a hand-over the days, and the names, are those of its two ends.
SIDES = {
    (weights.HAND_OVER, "day"): ("Left, arrived", "outcome_date", "admission_date"),
    (weights.HAND_OVER, "receiver"): ("Sent to, clinic", "transferred_to", "clinic"),
    (weights.HAND_OVER, "sender"): ("Clinic, came from", "clinic", "other_clinic"),
    (weights.SECOND_ENTRY, "day"): ("Admitted", "admission_date", "admission_date"),
    (weights.SECOND_ENTRY, "ending"): ("Ending", "ending", "ending"),
    (weights.SECOND_ENTRY, "young"): ("Age, cause", "life_stage_code", "life_stage_code"),
}
COLUMNS = {
    "species": "species_code", "sex": "sex_code", "life_stage": "life_stage_code", "mass": "mass_g",
    "place": "found_place", "found": "found_date", "cause": "cause_code", "tackle": "tackle",
    "body_site": "body_site_code", "notes": "notes",
}  # fmt: skip
LABELS = {"found": "Found on", "mass": "Mass (g)", "tackle": "Gear, injury", "body_site": "Site in the body"}
TOGETHER = {"tackle": ("gear_code", "injury_code"), "ending": ("outcome_code", "outcome_date")}
LEAST_SURE = 40


@dataclass(frozen=True)
class Row:
    """One field of a pair: what each side says, how they agree, and what it weighs (log2 of the odds)."""

    label: str
    earlier: str
    later: str
    meaning: str
    weight: float


@dataclass(frozen=True)
class Side:
    """One stay as the steward knows it."""

    clinic: str
    case_number: str
    admission_date: date
    outcome_date: date | None
    outcome: str
    band: str


@dataclass(frozen=True)
class Doubt:
    """A pair to be decided."""

    kind: str
    earlier: Side
    later: Side
    weight: float
    choices: int
    why: str
    rivals: int
    rows: tuple[Row, ...]
    silent: tuple[str, ...]

    @property
    def chance(self) -> float:
        """The chance that it is one animal, in per cent, if no other stay were as like."""
        return 100 / (1 + 2**-self.weight)

    @property
    def said(self) -> str:
        """Why it is in doubt, in a sentence or two."""
        rivals = f"; {self.rivals} other open pairs share a stay with it" if self.rivals else ""
        chance = "more than 99" if self.chance > 99 else f"{self.chance:.0f}"
        return (
            f"{KIND_WORDS[self.kind]}? {self.why.capitalize()}{rivals}. "
            f"Taken by itself the likeness gives a chance of {chance} per cent."
        )

    def paste(self, decision: str, day: date) -> str:
        """The row for decisions/links.csv; the reason is to be filled in."""
        sides = [self.earlier.clinic, self.earlier.case_number, self.later.clinic, self.later.case_number]
        return ",".join([*sides, decision, day.isoformat(), "WHY"])


@dataclass(frozen=True)
class Review:
    """All that the page shows."""

    network: str
    is_invented: bool
    as_of: date
    doubts: tuple[Doubt, ...]
    joined: tuple[tuple, ...]
    alike: tuple[tuple, ...]


def gather(connection: duckdb.DuckDBPyConnection) -> Review:
    """Read a store: its doubtful pairs, most likely first; how many stays were joined; the least sure likenesses.

    Of doubtful pairs that exclude each other, such as those of a clutch, the likeliest are shown, and how many more
    there are of each stay.
    """
    ((network, is_invented, as_of),) = connection.execute(
        "select name, invented, as_of from clinic.network, run.about"
    ).fetchall()
    pairs = connection.execute(
        """select grey.kind, grey.earlier_stay_id, grey.later_stay_id, grey.weight, pairs.choices, grey.why,
            (
                select count(*) from link.grey_pairs as others
                where others.kind = grey.kind
                    and (others.earlier_stay_id = grey.earlier_stay_id) <> (others.later_stay_id = grey.later_stay_id)
            ) as rivals
        from link.grey_pairs as grey inner join link.candidate_pairs as pairs
            using (kind, earlier_stay_id, later_stay_id)
        where grey.would_join
        order by grey.weight desc, 2, 3"""
    ).fetchall()
    joined = connection.execute(
        "select kind, basis, count(*) from link.links group by all order by kind, basis"
    ).fetchall()
    alike = connection.execute(
        "select kind, earlier_stay_id, later_stay_id, reason, weight, margin from link.links "
        "where basis = 'weighed' order by margin, later_stay_id limit $most",
        {"most": LEAST_SURE},
    ).fetchall()
    doubts = tuple(_doubt(connection, *pair) for pair in pairs)
    return Review(network, is_invented, as_of, doubts, tuple(joined), tuple(alike))


def _doubt(
    connection, kind: str, earlier: str, later: str, weight: float, choices: int, why: str, rivals: int
):
    """Look up both sides of a doubtful pair."""
    sides = [_stay(connection, stay) for stay in (earlier, later)]
    evidence = connection.execute(
        "select field, meaning, weight from link.pair_evidence "
        "where (kind, earlier_stay_id, later_stay_id) = ($1, $2, $3) and level <> 'not_known'",
        [kind, earlier, later],
    ).fetchall()
    found = {field: (meaning, weighs) for field, meaning, weighs in evidence}
    rows = [_row(kind, field, sides, *found[field]) for field in weights.fields(kind) if field in found]
    silent = tuple(_label(kind, field).lower() for field in weights.fields(kind) if field not in found)
    rows.append(_prior_row(kind, choices))
    return Doubt(kind, *map(_side, sides), weight, choices, why, rivals, tuple(rows), silent)


def _stay(connection, stay_id: str) -> dict:
    cursor = connection.execute("select * from standard.stays where stay_id = ?", [stay_id])
    names = [column[0] for column in cursor.description]
    stay = dict(zip(names, cursor.fetchone(), strict=True))
    for name, parts in TOGETHER.items():
        stay[name] = ", ".join(str(stay[part]) for part in parts if stay[part] is not None)
    return stay


def _side(stay: dict) -> Side:
    return Side(
        stay["clinic"],
        stay["stay_id"].partition(":")[2],
        stay["admission_date"],
        stay["outcome_date"],
        plain(stay["outcome_code"]),
        plain(stay["band"]),
    )


def _row(kind: str, field: str, sides: list[dict], meaning: str, weight: float) -> Row:
    column = COLUMNS.get(field)
    _, first, second = SIDES.get((kind, field), ("", column, column))
    return Row(_label(kind, field), plain(sides[0][first]), plain(sides[1][second]), meaning, weight)


def _label(kind: str, field: str) -> str:
    label, *_ = SIDES.get((kind, field), (LABELS.get(field, plain(field).capitalize()),))
    return label


def _prior_row(kind: str, choices: int) -> Row:
    (stated,) = (level for level in weights.levels(kind) if level.field == weights.PRIOR)
    number = f"; {choices} stays could be it" if choices > 1 else ""
    return Row("Beforehand", "", "", f"chance that {stated.meaning}{number}", stated.weight - log2(choices))


def plain(value: object) -> str:
    """A value as a person reads it: no underscores, masses without decimals, nothing for what is missing."""
    if isinstance(value, float):
        return f"{value:,.0f}"
    return "" if value is None else str(value).replace("_", " ")[:160]


def write(review: Review, page: Path) -> None:
    """Write the page of a review."""
    page.parent.mkdir(parents=True, exist_ok=True)
    page.write_text(render(review), encoding="utf-8", newline="\n")


def render(review: Review) -> str:
    """The whole page as text, in the report's look."""
    dashboards = resources.folder("dashboards")
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(dashboards / "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    style = (dashboards / "templates" / "report.css").read_text(encoding="utf-8")
    return environment.get_template("links.html.jinja").render(
        review=review,
        style=Markup(typefaces(dashboards / "fonts") + style),
        kinds=KIND_WORDS,
        bases=BASIS_WORDS,
    )


KIND_WORDS = {
    weights.HAND_OVER: "Handed over from one clinic to another",
    weights.SECOND_ENTRY: "Typed twice in one clinic",
}
BASIS_WORDS = {
    "decided": "decided by the steward",
    "stated": "stated by the clinics' own numbers or by a band",
    "weighed": "alike enough, with no rival",
}
