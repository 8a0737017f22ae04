"""The tables of a council's brief, every cell in words."""

from dataclasses import dataclass

import pandas
from unsnag_charts import bin_effects
from unsnag_charts.numbers import NONE, count, is_missing, number, span

MOST_SITES = 14


@dataclass(frozen=True)
class Sheet:
    """A table ready to be set; ``sides`` says on which side each column's cells stand."""

    title: str
    note: str
    headers: tuple[str, ...]
    sides: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def sheets(own: dict[str, pandas.DataFrame], rules: dict[str, str]) -> tuple[Sheet, ...]:
    """The tables of one council; those without rows are left out."""
    made = (_ranked(own), _sets(own), _bins(own))
    return tuple(sheet for sheet in made if sheet.rows)


def _sides(headers: tuple[str, ...], words: int) -> tuple[str, ...]:
    """The first ``words`` columns stand at the left, figures at the right."""
    return ("left",) * words + ("right",) * (len(headers) - words)


def _ranked(own) -> Sheet:
    about = own["site_expected"][["site_id", "expected", "low", "high", "finding"]]
    rows = own["bin_siting"].merge(about, on="site_id").head(MOST_SITES)
    chosen = own["bin_choices"].pivot_table(index="site_id", columns="bins", values="chosen_in_100")
    shown = [bins for bins in (1, 2, 3) if bins in chosen.columns]
    headers = (
        "Rank", "Site", "Hot or busy", "Cases\na year", "95 %\nlimits", "Newly\nreached", "Prevented,\nif so", "Range",
        *(f"Chosen\nfor {bins}" for bins in shown),
    )  # fmt: skip
    cells = tuple(
        (
            count(row.rank), _site(row), row.finding, number(row.expected), span(row.low, row.high), *_newly(row),
            *(_chosen(chosen, row.site_id, bins) for bins in shown),
        )
        for row in rows.itertuples()
    )  # fmt: skip
    note = (
        "Cases a year: tackle incidents to be expected, drawn towards the mean of all sites. Chosen for 1, 2, 3: in "
        "how many of 100 records, such as might have been, the site is in the best set of so many new bins."
    )
    return Sheet(
        "Sites, ranked by the cases that a bin would newly reach", note, headers, _sides(headers, 3), cells
    )


def _newly(row) -> tuple[str, str, str]:
    """What one more bin would reach and prevent; nothing where none may stand."""
    if not is_missing(row.bar):
        return NONE, NONE, NONE
    return number(row.within_reach), number(row.prevented), span(row.prevented_low, row.prevented_high)


def _site(row) -> str:
    return row.site if is_missing(row.bar) else f"{row.site} ({row.bar})"


def _chosen(chosen: pandas.DataFrame, site_id: str, bins: int) -> str:
    return count(chosen[bins].get(site_id)) if site_id in chosen.index else NONE


def _sets(own) -> Sheet:
    headers = ("New bins", "Best set", "Reached, %", "95 % limits")
    rows = tuple(
        (count(row.bins), row.sites or "no set keeps the rules", number(row.covered_percent, 0),
         span(row.covered_low, row.covered_high, 0))
        for row in own["bin_sets"].itertuples()
    )  # fmt: skip
    standing = own["bin_sets"]["standing_percent"].dropna()
    note = (
        f"Standing bins reach {standing.iloc[0]:.0f} % already."
        if len(standing)
        else "Shares are withheld: a site of too few clinics."
    )
    return Sheet("Best sets, found exactly", note, headers, ("right", "left", "right", "right"), rows)


def _bins(own) -> Sheet:
    headers = ("Bin", "Before:\ntackle, other", "With it:\ntackle, other", "Ratio\n(95 % limits)", "Verdict")
    rows = tuple(
        (
            bin_effects.label(row), _pair(row.before_tackle, row.before_other),
            _pair(row.after_tackle, row.after_other), bin_effects.ratio(row), _verdict(row),
        )
        for row in own["bin_effects"].itertuples()
    )  # fmt: skip
    note = (
        "Ratio: tackle among rescues with the bin over before, against the same at sites that never had one; 1 is no "
        "effect, 0.5 half the tackle cases. The year that decided the siting is left out. A dash: withheld or none."
    )
    return Sheet("Did the bins help?", note, headers, ("left", "right", "right", "right", "left"), rows)


def _pair(tackle, other) -> str:
    return f"{count(tackle)}, {count(other)}" if not (is_missing(tackle) and is_missing(other)) else NONE


def _verdict(row) -> str:
    """The verdict, and where it is open how long it would take."""
    if row.verdict.startswith(("fewer", "more")):
        return row.verdict
    if not is_missing(row.years_until_seen):
        return f"{row.verdict}; a halving would likely be seen after {number(row.years_until_seen)} years"
    if not is_missing(row.seen_in_ten_years):
        return f"{row.verdict}; ten years would likely show only a fall to {number(row.seen_in_ten_years, 2)} or less"
    return f"{row.verdict}; ten years would not show even a fall to a tenth"
