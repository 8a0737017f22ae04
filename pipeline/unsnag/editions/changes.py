"""What has changed since a year's report was published, and why: rows, decisions, code."""

import json
from dataclasses import dataclass

import duckdb

from unsnag.databases import reading
from unsnag.editions.freeze import Edition, newest, recorded
from unsnag.editions.inputs import CASES, inputs
from unsnag.models import literal
from unsnag.workspace import Workspace

HEADLINES = (
    "select grouping, group_code, group_label, numerator, denominator from {rows} "
    "where is_headline and (grouping in ('all', 'injury') or (grouping = 'admission_year' and group_code = $year))"
)


@dataclass(frozen=True)
class Changes:
    """What differs from the newest edition.

    figures : headline rates that differ: group in words, then and now
    reasons : sentences; none of them names a clinic
    """

    edition: Edition
    figures: tuple[tuple[str, str, str], ...]
    reasons: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it in words, beginning with the edition."""
        first = f"Edition {self.edition.number} of {self.edition.year} (version {self.edition.version}) was published."
        if not self.figures and not self.reasons:
            return (f"{first} Nothing has changed since.",)
        figures = [f"{label}: {then} were released then, {now} now." for label, then, now in self.figures]
        return (first, *figures, *self.reasons)


def since(workspace: Workspace, year: int) -> Changes | None:
    """What has changed since the newest edition of the year; nothing if there is none."""
    edition = newest(workspace, year)
    if edition is None:
        return None
    reasons = (*_rows(workspace, edition), *_inputs(workspace, edition))
    return Changes(edition, _figures(workspace, edition), reasons)


def _rows(workspace: Workspace, edition: Edition) -> tuple[str, ...]:
    then = recorded(workspace, edition) / "cases.parquet"
    with reading(workspace.store) as connection:
        new, gone, changed = connection.execute(
            f"""with now as ({CASES}), before as (from read_parquet($path))
            select count(*) filter (where before.case_id is null), count(*) filter (where now.case_id is null),
                count(*) filter (where now.content <> before.content)
            from now full join before using (case_id)""",
            {"path": str(then)},
        ).fetchone()
    said = [(new, "new"), (changed, "changed"), (gone, "no longer there")]
    return tuple(f"{_cases(number)} {what}." for number, what in said if number)


def _cases(number: int) -> str:
    return f"{number:,} case is" if number == 1 else f"{number:,} cases are"


def _inputs(workspace: Workspace, edition: Edition) -> list[str]:
    then = json.loads((recorded(workspace, edition) / "record.json").read_text(encoding="utf-8"))
    now = inputs(workspace)
    added, removed = (
        len(set(now.exports) - set(then["exports"])),
        len(set(then["exports"]) - set(now.exports)),
    )
    said = [f"{added} export file{'s' * (added != 1)} came in."] if added else []
    said += [f"{removed} export file{'s' * (removed != 1)} of then is not used now."] if removed else []
    for kind, files in now.decisions.items():
        before = then["decisions"].get(kind, {})
        differ = sum(files.get(name) != before.get(name) for name in files | before)
        said += [f"Decisions changed: {kind}, {differ} file{'s' * (differ != 1)}."] if differ else []
    if then["code"]["version"] != now.code["version"]:
        said.append(f"Made with unsnag {then['code']['version']} then, with {now.code['version']} now.")
    elif then["code"]["files"] != now.code["files"]:
        said.append("The program was changed within its version.")
    return said


def _figures(workspace: Workspace, edition: Edition) -> tuple[tuple[str, str, str], ...]:
    """The headline rates of the year, of all years and of each injury that read otherwise now."""
    year = str(edition.year)
    frozen = f"read_csv({literal(str(edition.folder / 'tables' / 'release_rates.csv'))}, all_varchar = true)"
    with duckdb.connect() as connection:
        then = {
            row[:2]: row
            for row in connection.execute(HEADLINES.format(rows=frozen), {"year": year}).fetchall()
        }
    with reading(workspace.public) as connection:
        rows = connection.execute(HEADLINES.format(rows="public.release_rates"), {"year": year}).fetchall()
    now = {row[:2]: row for row in rows}
    keys = sorted(now | then)
    lines = [(now.get(key) or then[key], _said(then.get(key)), _said(now.get(key))) for key in keys]
    return tuple((row[2], before, after) for row, before, after in lines if before != after)


def _said(row) -> str:
    if row is None:
        return "not there"
    return "withheld" if row[3] is None else f"{row[3]} of {row[4]}"
