"""clinic.toml: how one clinic's exports are laid out."""

from datetime import date
from functools import cache
from typing import Annotated, Any, Literal
from zoneinfo import ZoneInfo, available_timezones

from pydantic import Field, field_validator, model_validator

from unsnag.workspace.fields import CHILD_RECORDS, field_names
from unsnag.workspace.network import Frozen


class Cell(Frozen):
    """Where a field's value comes from: a column, several joined, the first filled of several, or a constant."""

    column: str | None = None
    join: tuple[str, ...] = ()
    first_of: tuple[str, ...] = ()
    constant: str | None = None
    separator: str = " "
    unit: str | None = None

    @model_validator(mode="after")
    def names_exactly_one_origin(self):
        origins = [self.column is not None, bool(self.join), bool(self.first_of), self.constant is not None]
        if sum(origins) != 1:
            raise ValueError("give exactly one of column, join, first_of, constant")
        return self

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column that the cell reads."""
        single = (self.column,) if self.column is not None else ()
        return single + self.join + self.first_of


class Block(Frozen):
    """One record of the model filled from one row (or from one object of a nested list)."""

    cells: dict[str, Cell]
    each: str | None = None
    where: dict[str, tuple[str, ...]] = {}


def _block(record: str, value: Any) -> dict[str, Any]:
    """Sort a TOML table into its fields and its two own keys, and refuse a field that the record lacks."""
    cells = {key: cell for key, cell in value.items() if key not in ("each", "where")}
    unknown = sorted(set(cells) - set(field_names(record)))
    if unknown:
        raise ValueError(
            f"{record} has no field {', '.join(unknown)}; it has {', '.join(field_names(record))}"
        )
    named = {key: {"column": cell} if isinstance(cell, str) else cell for key, cell in cells.items()}
    return {"cells": named, **{key: value[key] for key in ("each", "where") if key in value}}


class Source(Frozen):
    """One kind of export file of a clinic."""

    name: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
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
    date_order: Literal["dmy", "mdy", "ymd"] = "ymd"
    decimal: Literal[".", ","] = "."
    missing: tuple[str, ...] = ()
    private: tuple[str, ...] = ()
    only: dict[str, tuple[str, ...]] = {}
    stay: Block | None = None
    gear_item: tuple[Block, ...] = ()
    procedure: tuple[Block, ...] = ()
    finding: tuple[Block, ...] = ()

    @field_validator("totals", mode="before")
    @classmethod
    def one_word_is_a_list(cls, value):
        return (value,) if isinstance(value, str) else value

    @field_validator("stay", mode="before")
    @classmethod
    def stay_is_a_block(cls, value):
        return _block("stay", value) if isinstance(value, dict) else value

    @field_validator(*CHILD_RECORDS, mode="before")
    @classmethod
    def children_are_blocks(cls, value, info):
        return tuple(_block(info.field_name, item) for item in value)

    @model_validator(mode="after")
    def says_when_it_was_exported(self):
        if self.export_date is None and self.export_date_in_name is None:
            raise ValueError(
                "say when it was exported: export_date = 2024-07-05, or export_date_in_name = '%Y-%m-%d'"
            )
        return self

    @property
    def blocks(self) -> tuple[tuple[str, Block], ...]:
        """Every (record, block) of the source, the stay first."""
        children = [(record, block) for record in CHILD_RECORDS for block in getattr(self, record)]
        return ((("stay", self.stay),) if self.stay else ()) + tuple(children)


@cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


class Clinic(Frozen):
    """A clinic: its private label, its time zone, its sources, its own legend."""

    name: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
    label: str = ""
    timezone: str = "UTC"
    source: Annotated[tuple[Source, ...], Field(min_length=1)]
    legend: dict[str, dict[str, str]] = {}

    @field_validator("timezone")
    @classmethod
    def zone_is_known(cls, value):
        if value not in _zones():
            raise ValueError(f"'{value}' is no IANA time zone such as Australia/Brisbane")
        ZoneInfo(value)
        return value

    @model_validator(mode="after")
    def source_names_differ(self):
        names = [source.name for source in self.source]
        if len(set(names)) < len(names):
            raise ValueError("two sources have the same name")
        return self
