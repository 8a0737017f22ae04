"""CITATION.cff and README.txt: how an extract is cited, and what may be done with it.

Source  Citation File Format 1.2.0 (https://github.com/citation-file-format)
"""

import json
from textwrap import fill

from unsnag.share.descriptor import Described, reached

VERSION = "the day as of which the cases stood, and after + the first 12 signs of the SHA-256 of cases.csv"
DAY = "as of which the cases stood; when they were written is not kept, so that the same cases give the same bytes"


def citation(what: Described) -> str:
    """The text of CITATION.cff. Its values are JSON, which YAML reads as it is."""
    network = {"name": what.network}
    keys = {
        "cff-version": "1.2.0",
        "message": f"If you use these data, please cite them as below. {what.use}",
        "type": "dataset",
        "title": f"{what.title} ({what.network})",
        "version": what.version,
        "date-released": what.as_of,
        "abstract": what.sentence,
        **_licence_of_citation(what),
        "authors": [network],
        "contact": [network | reached(what, "website")] if what.about["contact"] else None,
        "references": [PROGRAM | {"version": what.unsnag}],
    }
    comments = {"version": VERSION, "date-released": f"the day {DAY}"}
    lines = []
    for key, value in keys.items():
        if key in comments:
            lines.append(f"# {key}: {comments[key]}")
        if value:
            lines.append(f"{key}: {json.dumps(value, ensure_ascii=False)}")
    return "\n".join([*lines, ""])


PROGRAM = {
    "type": "software",
    "title": "unsnag",
    "authors": [{"name": "the unsnag authors"}],
    "license": "MIT",
}


def _licence_of_citation(what: Described) -> dict[str, str | None]:
    """The identifier, which the format takes from SPDX's list alone; else where the licence stands."""
    identifier = what.about["licence_id"]
    return {"license": identifier} if identifier else {"license-url": what.about["licence_url"]}


FILES = """\
cases.csv, cases.parquet   the rows, twice the same
codes.csv, codebook.*      what columns and codes mean
datapackage.json           the same for programs, with types and hashes
query.sql                  the query that gives the rows again
flow.csv                   how the cohort was cut, step by step (where it has steps)
small_groups.csv           how many cases are alike with only a few others
CITATION.cff               how to cite, for programs
"""


def read_me(what: Described) -> str:
    """The text of README.txt: what it is, the files, the licence, how to cite it, what must not be tried."""
    parts = [
        what.title,
        _filled(what.sentence),
        FILES.rstrip(),
        _filled(f"What may be done with them. {what.use}"),
        _filled(f"Version {what.version}: {VERSION}."),
    ]
    return "\n\n".join(parts) + "\n"


def _filled(text: str) -> str:
    """Lines of 79 signs; an address is never broken."""
    return fill(text, 79, break_long_words=False, break_on_hyphens=False)
