"""What a council's brief says: sentences and tables out of the published tables, whatever they are set in."""

from dataclasses import dataclass

import pandas
from unsnag_charts.numbers import THIN, count, is_missing, listing, number, span

from unsnag.briefs import tables
from unsnag.report import site_frames

FEW = 4


@dataclass(frozen=True)
class Brief:
    """One council's brief.

    answer   : the brief in a sentence or two
    points   : what the records show, each a head and its text
    map_rows : rows of unsnag_charts.site_map
    sheets   : the tables of the second page
    cautions : what to know before using it
    """

    council: str
    network: str
    as_of: str
    is_invented: bool
    answer: str
    points: tuple[tuple[str, str], ...]
    map_rows: pandas.DataFrame
    sheets: tuple[tables.Sheet, ...]
    cautions: tuple[str, ...]


def compose(frames: dict[str, pandas.DataFrame], about: dict[str, str], council: str) -> Brief:
    """The brief of one council.

    frames : the tables of schema public, by name; about: key → value of public.about
    """
    own = _of_council(frames, council)
    return Brief(
        council=council,
        network=about.get("network_name", ""),
        as_of=about.get("as_of", ""),
        is_invented=about.get("invented") == "true",
        answer=answer(own, rules_of(frames)),
        points=tuple(filter(None, (_counts(own), _hot(own), _kinds(own), _standing(own), _beyond(own)))),
        map_rows=site_frames.map_rows(frames, council),
        sheets=tables.sheets(own, rules_of(frames)),
        cautions=cautions(rules_of(frames), about),
    )


def _of_council(frames: dict[str, pandas.DataFrame], council: str) -> dict[str, pandas.DataFrame]:
    """The rows of each table that speak of one council."""
    own = {name: frames[name][frames[name]["council"] == council] for name in ("councils", "site_expected")}
    own |= {
        name: frames[name][frames[name]["area"] == council]
        for name in ("bin_siting", "bin_sets", "bin_choices")
    }
    effects, kinds = frames["bin_effects"], frames["site_kinds"]
    own["bin_effects"] = effects[(effects["council"] == council) | effects["site"].isna()]
    own["site_kinds"] = kinds[(kinds["place_kind"] == "council") & (kinds["place"] == council)]
    return own


def rules_of(frames: dict[str, pandas.DataFrame]) -> dict[str, str]:
    """Rule of siting → its value."""
    return dict(frames["siting_rules"].itertuples(index=False, name=None))


def share(rules: dict[str, str], name: str) -> str:
    """An assumed share as a percentage."""
    return f"{100 * float(rules[f'reduction.{name}']):g}{THIN}%"


def answer(own: dict[str, pandas.DataFrame], rules: dict[str, str]) -> str:
    """Where one more bin would reach most, and what it would then prevent."""
    siting = own["bin_siting"]
    best = siting[siting["rank"].notna() & siting["within_reach"].notna()].sort_values("rank")
    if best.empty:
        return "No site of this council can be ranked: none is free for a bin, or their counts are withheld."
    first = best.iloc[0]
    again = own["bin_choices"]
    times = again[(again["bins"] == 1) & (again["site_id"] == first["site_id"])]["chosen_in_100"]
    firm = f" It is the best first site in {count(times.iloc[0])} of 100 records such as might have been."
    within, prevented = f"{number(first['within_reach'])}", f"{number(first['prevented'])}"
    return (
        f"One more bin would reach most tackle cases at {first['site']}: about {within} incidents a year "
        f"({span(first['within_low'], first['within_high'])}). If a bin prevents {share(rules, 'assumed')} of them, "
        f"which is assumed, that is {prevented} fewer a year; from {number(first['prevented_low'])} to "
        f"{number(first['prevented_high'])}, if it prevents {share(rules, 'low')} to {share(rules, 'high')}."
        f"{firm if len(times) else ''}"
    )


def _counts(own) -> tuple[str, str]:
    council, sites = own["councils"].iloc[0], own["site_expected"]
    if is_missing(council["tackle"]):
        return "Counts are withheld.", "They rest on too few clinics."
    away = council["away_from_sites"]
    rest = (
        ""
        if is_missing(away)
        else f", {count(away)} of them at no listed site"
        if away
        else ", all at listed sites"
    )
    other = "" if is_missing(council["other"]) else f"; {count(council['other'])} had other causes"
    return (
        f"{count(council['tackle'])} incidents with tackle in {number(sites['years'].max())} years{rest}.",
        f"Counted are the groups of animals that tackle injures{other}. A clutch or a net counts once.",
    )


def _few(names: list[str]) -> str:
    """A list of names that leaves room for the map."""
    more = len(names) - FEW
    return listing(names) if more <= 0 else f"{', '.join(names[:FEW])} and {more} more"


def _hot(own) -> tuple[str, str]:
    sites = own["site_expected"]
    hot = sites[sites["finding"] == "hot spot"]["site"].tolist()
    busy = sites[sites["finding"] == "busy, not hot"]["site"].tolist()
    said = "Tackle is a larger share of the rescues there than chance explains."
    if not hot:
        said = "Tackle is as large a share of the rescues as elsewhere."
    if busy:
        said += f" {_few(busy)} had many rescues of every kind, of which tackle is no larger share than elsewhere."
    return f"Hot, not only busy: {_few(hot)}." if hot else "No site stands out beyond chance.", said


def _kinds(own) -> tuple[str, str] | None:
    shown = own["site_kinds"].dropna(subset=["incidents"])
    said = [
        listing(
            [
                f"{row.label[:1].lower()}{row.label[1:]} ({count(row.incidents)})"
                for row in rows.head(4).itertuples()
            ]
        )
        for axis in ("taxon_group", "injury")
        if len(rows := shown[(shown["axis"] == axis) & (shown["code"] != "not_told")])
    ]
    return ("Which animals, and how hurt.", f"Most often {'; '.join(said)}.") if said else None


def _standing(own) -> tuple[str, str] | None:
    effects = own["bin_effects"].dropna(subset=["site"])
    if effects.empty:
        return "No bin has stood here.", "Nothing can be said here of what bins do; see all bins together."
    said = [f"{row.site}: {row.verdict}{_trap(row)}" for row in effects.itertuples()]
    if len(said) >= FEW:
        verdicts = effects["verdict"].value_counts().sort_index()
        said = [f"{verdict}: {number_of} of {len(effects)}" for verdict, number_of in verdicts.items()]
    return "What the bins here did.", f"{'; '.join(said)}."


def _trap(row) -> str:
    """What the bad year before a bin would make of it, and what of that is chance: regression to the mean."""
    if is_missing(row.naive_ratio) or is_missing(row.chance_ratio):
        return ""
    return (
        f" (set against the year that decided its siting, cases are {number(row.naive_ratio, 2)} times as many; chance "
        f"alone would make it {number(row.chance_ratio, 2)})"
    )


def _beyond(own) -> tuple[str, str] | None:
    trend = own["site_expected"].dropna(subset=["trend"])
    up = trend[trend["trend_low"] > 1]["site"].tolist()
    down = trend[trend["trend_high"] < 1]["site"].tolist()
    said = [f"rising at {_few(up)}"] if up else []
    said += [f"falling at {_few(down)}"] if down else []
    if not said:
        return None
    return (
        "Over the years.",
        f"Tackle incidents have been {' and '.join(said)}; that describes, it does not explain.",
    )


def cautions(rules: dict[str, str], about: dict[str, str]) -> tuple[str, ...]:
    """What every council must know before it uses the brief."""
    return (
        "This is advice: the council checks access, safety and heritage.",
        f"What a bin prevents is assumed ({share(rules, 'assumed')}, range {share(rules, 'low')} to "
        f"{share(rules, 'high')}), not measured. Why so: {rules['reduction.reason'].rstrip('.')}.",
        f"A case counts at the nearest site within {rules['at_site_m']} m. Where nobody looks, nothing is reported.",
        "A hot spot says where, not why. Associations from records can mislead.",
        "After its worst year a site gets better by chance alone: bins are judged without the year that decided them.",
        f"Where single cases were found is told to {about.get('grid_degrees', '')} degree and no finer, of sensitive "
        "species coarser or not at all; finders' homes and nests never. Counts of too few clinics are withheld.",
        "Population evidence informs; it does not decide one animal's treatment: the attending veterinarian does.",
        "Rescuing a hooked animal can injure people and animals: the public calls a licensed rescuer.",
    )
