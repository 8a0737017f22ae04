"""clinic.toml: how one clinic's exports are laid out."""

from datetime import date
from functools import cache
from typing import Annotated, Literal
from zoneinfo import available_timezones

from pydantic import Field, field_validator, model_validator

from unsnag.workspace.blocks import Block, blocks_of
from unsnag.workspace.fields import CHILD_RECORDS, all_fields, suggestion
from unsnag.workspace.network import Frozen

# Part of a table's name in raw.*, where two underscores part clinic, source and nested list.
PLAIN_NAME = r"^[a-z](_?[a-z0-9])*$"
PlainName = Annotated[str, Field(pattern=PLAIN_NAME)]


@cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


def known_zone(value: str | None) -> str | None:
    """The zone's name as it is.

    Raises  ValueError: nobody knows it
    """
    if value is not None and value not in _zones():
        raise ValueError(f"'{value}' is no IANA time zone such as Australia/Brisbane")
    return value


class Source(Frozen):
    """One kind of export file of a clinic.

    date_order  : how its days are written; left out if every day begins with its year
    stamps_in   : the time zone of stamps that name none, if it is not the clinic's own
    serial_days : whether a day may be Excel's number of it; by default in workbooks only
    """

    name: PlainName
    files: str
    format: Literal["delimited", "workbook", "json_lines", "parquet"] = "delimited"
    delimiter: Annotated[str, Field(min_length=1, max_length=1)] = ","
    quote: Annotated[str, Field(min_length=1, max_length=1)] = '"'
    encoding: str | None = None
    sheet: str | None = None
    title_rows: Annotated[int, Field(ge=0)] = 0
    totals: tuple[str, ...] = ()
    export_date: date | None = None
    export_date_in_name: str | None = None
    date_order: Literal["dmy", "mdy", "ymd"] | None = None
    stamps_in: str | None = None
    serial_days: bool | None = None
    decimal: Literal[".", ","] = "."
    missing: tuple[str, ...] = ()
    private: tuple[str, ...] = ()
    only: dict[str, tuple[str, ...]] = {}
    stay: Block | None = None
    gear_item: tuple[Block, ...] = ()
    procedure: tuple[Block, ...] = ()
    finding: tuple[Block, ...] = ()

    @field_validator("stamps_in")
    @classmethod
    def zone_is_known(cls, value):
        return known_zone(value)

    @field_validator("totals", mode="before")
    @classmethod
    def one_word_is_a_list(cls, value):
        return (value,) if isinstance(value, str) else value

    @field_validator("stay", mode="before")
    @classmethod
    def stay_is_a_block(cls, value):
        return blocks_of("stay", value)[0] if value is not None else None

    @field_validator(*CHILD_RECORDS, mode="before")
    @classmethod
    def children_are_blocks(cls, value, info):
        items = value if isinstance(value, list | tuple) else [value]
        return tuple(block for item in items for block in blocks_of(info.field_name, item))

    @model_validator(mode="after")
    def says_when_it_was_exported(self):
        if self.export_date is None and self.export_date_in_name is None:
            raise ValueError(
                "say when it was exported: export_date = 2024-07-05, or export_date_in_name = '%Y-%m-%d'"
            )
        return self

    @model_validator(mode="after")
    def its_records_belong_to_a_stay(self):
        children = [] if self.stay else [item for item in self.blocks if "case_number" not in item[1].cells]
        if children:
            raise ValueError(f"its rows are no stays, so {children[0][0]} needs the field case_number")
        return self

    @property
    def blocks(self) -> tuple[tuple[str, Block], ...]:
        """Every (record, block) of the source, the stay first."""
        children = [(record, block) for record in CHILD_RECORDS for block in getattr(self, record)]
        return ((("stay", self.stay),) if self.stay else ()) + tuple(children)


class Clinic(Frozen):
    """A clinic: its private label, its time zone, its sources, its own legend."""

    name: PlainName
    label: str = ""
    timezone: str = "UTC"
    source: Annotated[tuple[Source, ...], Field(min_length=1)]
    legend: dict[str, dict[str, str]] = {}

    @field_validator("timezone")
    @classmethod
    def zone_is_known(cls, value):
        return known_zone(value)

    @field_validator("legend")
    @classmethod
    def legend_is_of_known_fields(cls, value):
        known = {item.field for item in all_fields()}
        for name in value:
            if name not in known:
                raise ValueError(f"there is no field '{name}'. {suggestion(name, known)}")
        return value

    @model_validator(mode="after")
    def source_names_differ(self):
        names = [source.name for source in self.source]
        if len(set(names)) < len(names):
            raise ValueError("two sources have the same name")
        return self
