"""A note explained: what was understood, what was passed over, and why. For ``unsnag notes`` and for whoever
tunes rules."""

import datetime

from rich.console import Group
from rich.table import Table
from rich.text import Text

from unsnag.notes.mention import Mention
from unsnag.notes.read import Ignored, reader, with_day
from unsnag.notes.rules import Rules, load_rules
from unsnag.notes.shorthand import Shorthand

STYLES = {"present": "bold green", "uncertain": "bold yellow", "absent": "bold red", "history": "bold blue"}
IGNORED_STYLE = "dim strike"
COLUMNS = ("words", "field", "code", "status", "day", "result", "why")


def explain(
    text: str,
    admission_date: datetime.date | None = None,
    rules: Rules | None = None,
    date_order: str = "dmy",
    shorthand: Shorthand | None = None,
) -> Group:
    """The note with its understood words coloured by status, and a table of the reasons.

    Parameters as of ``understand``. Returns something that rich prints; ``str`` of a rich Console's capture
    is plain text.
    """
    read = reader(rules or load_rules())
    mentions = [with_day(each, admission_date) for each in read.read(text, date_order, shorthand)]
    ignored = read.ignored(text, shorthand)
    parts = [_coloured(text, mentions, ignored)]
    parts.append(_understood(mentions) if mentions else Text("Nothing is understood in this note."))
    if ignored:
        parts.append(_passed_over(text, ignored))
    return Group(*parts)


def _coloured(text: str, mentions: list[Mention], ignored: list[Ignored]) -> Text:
    coloured = Text(text)
    for each in ignored:
        coloured.stylize(IGNORED_STYLE, each.start, each.end)
    for mention in mentions:
        coloured.stylize(STYLES[mention.status], mention.start, mention.end)
    return coloured


def _understood(mentions: list[Mention]) -> Table:
    table = Table(*COLUMNS, title="Understood", title_justify="left")
    for mention in mentions:
        day = mention.date.isoformat() if mention.date else ""
        status = Text(mention.status, style=STYLES[mention.status])
        why = f"{mention.why} ({mention.rule})"
        table.add_row(
            Text(mention.text), mention.axis, mention.code, status, day, mention.result or "", Text(why)
        )
    return table


def _passed_over(text: str, ignored: list[Ignored]) -> Table:
    table = Table("words", "why", title="Passed over", title_justify="left")
    for each in ignored:
        table.add_row(Text(text[each.start : each.end]), Text(f"{each.why} ({each.rule})"))
    return table
