"""datapackage.json: an extract described for programs.

Sources  Data Package 2.0 and Table Schema 2.0 (https://datapackage.org), Darwin Core (http://rs.tdwg.org/dwc/terms/)
"""

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path

from unsnag.share import small_groups
from unsnag.share.codebook import Code, Codebook, Column, Table
from unsnag.share.release import HEADING

PROFILES = "https://datapackage.org/profiles/2.0/"
TYPES = {
    "VARCHAR": "string",
    "BIGINT": "integer",
    "INTEGER": "integer",
    "DOUBLE": "number",
    "BOOLEAN": "boolean",
}
MEDIA = {
    "csv": "text/csv", "parquet": "application/vnd.apache.parquet", "html": "text/html", "sql": "application/sql",
}  # fmt: skip


@dataclass(frozen=True)
class Described:
    """What an extract is: its cohort in words, its version, how many cases, and what its network says of itself.

    withheld : cases that are not in because a value that decides it is withheld; some may belong to the cohort
    about    : the statements of public.about
    """

    cohort: str
    title: str
    version: str
    cases: int
    unsnag: str
    conditions: str
    withheld: int
    about: dict[str, str | None]

    @property
    def network(self) -> str:
        """The network's name."""
        return self.about["network_name"]

    @property
    def as_of(self) -> str:
        """The day as of which the cases stood."""
        return self.about["as_of"]

    @property
    def use(self) -> str:
        """What may be done with the data, in sentences."""
        return self.about["use"] or ""

    @property
    def sentence(self) -> str:
        """The extract in one paragraph."""
        parts = [
            f"{self.title}: {self.cases} cases of {self.network}, as they stood on {self.as_of}.",
            f"Conditions: {self.conditions}." if self.conditions else "",
            self.shortness,
            "Invented data: the clinics, their people and every case are made up."
            if self.about["invented"] == "true"
            else "",
            "Associations from records can mislead; population evidence does not decide one animal's treatment.",
        ]
        return " ".join(filter(None, parts))

    @property
    def shortness(self) -> str:
        """What may be missing from the cohort, in a sentence; empty if nothing is."""
        if not self.withheld:
            return ""
        are = "case is" if self.withheld == 1 else "cases are"
        return (
            f"{self.withheld} {are} not in because a code that decides it is withheld: some may meet the conditions, "
            "and those that do may differ from the cases listed (see flow.csv)."
        )


def package(what: Described, folder: Path, table: Table, book: Codebook) -> str:
    """The text of datapackage.json for the files that stand in the folder."""
    resources = [
        _rows(folder, "cases", cases_schema(table, book)),
        _rows(folder, "codes", _schema(CODES_FIELDS)),
    ]
    resources += [
        _rows(folder, name, _schema(fields))
        for name, fields in SHEETS.items()
        if (folder / f"{name}.csv").is_file()
    ]
    resources += [_file(folder, path) for path in ("codebook.html", "query.sql")]
    described = {
        "$schema": PROFILES + "datapackage.json",
        "name": what.cohort.replace("_", "-"),
        "title": what.title,
        "description": f"{what.sentence} {what.use}",
        "version": what.version,
        **_licences(what),
        "contributors": [{"title": what.network, **reached(what, "path"), "roles": ["rightsHolder"]}],
        "keywords": ["wildlife rehabilitation", "fishing tackle", "animal injury"],
        "resources": resources,
        # The same rows once more: as a second table of the package they would be counted twice.
        "unsnag:alsoAs": _file(folder, "cases.parquet"),
        "unsnag:query": "query.sql",
        "unsnag:asOf": what.as_of,
        "unsnag:software": f"unsnag {what.unsnag}",
    }
    return json.dumps(described, indent=2, ensure_ascii=False) + "\n"


# Columns of the smaller tables → their type.
CODES_FIELDS = dict.fromkeys(("vocabulary", "code", "label", "definition"), "string")
FLOW_FIELDS = {"step": "integer", "condition": "string"} | dict.fromkeys(
    ("animals_out", "animals_withheld", "animals_left"), "integer"
)
SHEETS = {
    "codebook": dict.fromkeys(HEADING, "string"),
    "small_groups": {"known": "string"} | dict.fromkeys(small_groups.COUNTS, "integer"),
    "flow": FLOW_FIELDS,
}


def cases_schema(table: Table, book: Codebook) -> dict:
    """The Table Schema of the cases: types, codes as enumerations, Darwin Core terms."""
    return {
        "$schema": PROFILES + "tableschema.json",
        "fields": [_field(column, book) for column in table.columns],
        "missingValues": [""],
        "primaryKey": ["case_id"],
    }


def _field(column: Column, book: Codebook) -> dict:
    field = {"name": column.name, "type": TYPES.get(column.type, "any"), "description": column.meaning}
    if column.darwin_core:
        field["rdfType"] = column.darwin_core
    if column.name == "case_id":
        field["constraints"] = {"required": True, "unique": True}
    elif column.vocabulary:
        field["constraints"] = {"enum": [code.code for code in allowed(column, book)]}
    return field


def allowed(column: Column, book: Codebook) -> list[Code]:
    """The codes that may stand in a column of the cases, and the words for none."""
    return [*book.codes[column.vocabulary], *(word for word in book.words_for_no_code if word.code != "all")]


def _schema(fields: dict[str, str]) -> dict:
    return {
        "$schema": PROFILES + "tableschema.json",
        "fields": [{"name": name, "type": kind} for name, kind in fields.items()],
        "missingValues": [""],
    }


def _file(folder: Path, path: str) -> dict:
    data = (folder / path).read_bytes()
    name, _, suffix = path.rpartition(".")
    return {
        "$schema": PROFILES + "dataresource.json",
        "name": path.replace("_", "-") if suffix != "csv" else name.replace("_", "-"),
        "path": path,
        "format": suffix,
        "mediatype": MEDIA[suffix],
        "bytes": len(data),
        "hash": f"sha256:{hashlib.sha256(data).hexdigest()}",
    }


def _rows(folder: Path, name: str, schema: dict) -> dict:
    return _file(folder, f"{name}.csv") | {"type": "table", "encoding": "utf-8", "schema": schema}


def _licences(what: Described) -> dict:
    """The licence as Data Package has it; nothing where the network states none, which the description says."""
    keys = {"name": "licence_id", "title": "licence", "path": "licence_url"}
    named = {key: what.about[of] for key, of in keys.items() if what.about[of]}
    return {"licenses": [named]} if named else {}


def reached(what: Described, web: str) -> dict[str, str]:
    """The network's address: an e-mail's, or one on the web under the name that the format has for it."""
    contact = what.about["contact"]
    return {"email" if "@" in contact else web: contact} if contact else {}
