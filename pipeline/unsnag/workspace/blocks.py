"""Blocks of clinic.toml: which fields of one record of the model are filled from which columns."""

import re
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError, field_validator, model_validator

from unsnag.workspace.fields import field_names, kinds, suggestion
from unsnag.workspace.network import Frozen

PLACEHOLDER = re.compile(r"\{([^{}]*)\}")
NUMBER = "{n}"
OWN_KEYS = ("each", "where", "year_of", "facts")
NEEDED = {"stay": ("case_number", "admission_date"), "procedure": ("procedure",), "finding": ("finding",)}
ONE_OF = {"gear_item": ("gear", "injury", "body_site", "hook_kind")}


class Cell(Frozen):
    """Where a field's value comes from: a column, several joined, the first filled of several, or a constant.

    unit    : of a mass
    year_of : the column whose year stands before a case number that restarts each year, or completes a day
              without a year; a day of the stay by its field's name, such as "admission_date", that day itself
              completed first; or "_file_name", the year in the file's name
    """

    column: str | None = None
    join: tuple[str, ...] = ()
    first_of: tuple[str, ...] = ()
    constant: str | None = None
    separator: str = " "
    unit: Literal["g", "kg", "lb", "oz"] | None = None
    year_of: str | None = None

    @model_validator(mode="after")
    def names_exactly_one_origin(self):
        origins = [self.column is not None, bool(self.join), bool(self.first_of), self.constant is not None]
        if sum(origins) != 1:
            raise ValueError("give exactly one of column, join, first_of, constant")
        return self

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column that the value itself comes from."""
        single = (self.column,) if self.column is not None else ()
        return single + self.join + self.first_of


class Facts(Frozen):
    """Several facts in one cell, such as "12/3/21: hook in place; 19/3/21: not moved".

    between : what parts two facts; nothing given means that each fact begins with its day
    form    : how one fact reads, with the model's fields in braces; of several the first that fits
    """

    column: str
    between: tuple[Annotated[str, Field(min_length=1)], ...] = ()
    form: Annotated[tuple[str, ...], Field(min_length=1)]

    @field_validator("between", "form", mode="before")
    @classmethod
    def one_word_is_a_list(cls, value):
        return (value,) if isinstance(value, str) else value

    @field_validator("form")
    @classmethod
    def names_each_field_once(cls, forms):
        for form in forms:
            names = PLACEHOLDER.findall(form)
            if not names or len(set(names)) < len(names):
                raise ValueError(f"'{form}' must name at least one field in braces, and none twice")
        return forms

    @property
    def fields(self) -> tuple[str, ...]:
        """The fields that the forms fill, in the order of their first mention."""
        return tuple(dict.fromkeys(name for form in self.form for name in PLACEHOLDER.findall(form)))


class Block(Frozen):
    """One record of the model filled from one row, from one object of a nested list, or from one fact of a cell."""

    cells: dict[str, Cell]
    each: str | None = None
    where: dict[str, tuple[str, ...]] = {}
    year_of: str | None = None
    facts: Facts | None = None

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column that must be there."""
        of_cells = [name for cell in self.cells.values() for name in cell.columns]
        return tuple(dict.fromkeys([*of_cells, *self.where, *([self.facts.column] if self.facts else [])]))

    @property
    def year_origins(self) -> tuple[str, ...]:
        """Every ``year_of``: a column, a field of the stay or the file's name."""
        named = [self.year_of, *(cell.year_of for cell in self.cells.values())]
        return tuple(dict.fromkeys(name for name in named if name is not None))


def blocks_of(record: str, value: Any) -> list[Block]:
    """The block of a TOML table; several if it is written once for repeated columns ("Treatment {n}").

    Raises  ValueError: a field that the record lacks, or keys that do not go together
    """
    if not isinstance(value, dict):
        raise ValueError(f"write it as a table, [source.{record}] or [[source.{record}]]")
    table = dict(value)
    numbers = _numbers(table.pop("repeat", None), table)
    return [_block(record, _numbered(table, number)) for number in numbers]


def _numbers(repeat: Any, table: dict) -> list[str]:
    if repeat is None:
        return [""]
    if isinstance(repeat, int):
        repeat = range(1, repeat + 1)
    elif not isinstance(repeat, list | tuple):
        raise ValueError("repeat is a number, such as 5, or a list, such as ['A', 'B']")
    numbers = [str(number) for number in repeat]
    if not numbers or NUMBER not in str(table):
        raise ValueError(f"repeat needs numbers or words, and {NUMBER} in the names of the columns")
    return numbers


def _numbered(value: Any, number: str) -> Any:
    """The table with the number in place of {n}."""
    if isinstance(value, dict):
        return {_numbered(key, number): _numbered(item, number) for key, item in value.items()}
    if isinstance(value, list):
        return [_numbered(item, number) for item in value]
    return value.replace(NUMBER, number) if isinstance(value, str) and number else value


def _block(record: str, table: dict[str, Any]) -> Block:
    named = {
        key: {"column": cell} if isinstance(cell, str) else cell
        for key, cell in table.items()
        if key not in OWN_KEYS
    }
    own = {key: table[key] for key in OWN_KEYS if key in table}
    try:
        block = Block(cells=named, **own)
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"] if part != "cells")
        raise ValueError(f"{record}, {key}: {_in_words(first)}") from None
    _refuse_strange_fields(record, block)
    _refuse_strange_keys(record, block)
    return block


def _in_words(error: dict) -> str:
    """What pydantic found; of a key that is not there, which ones may stand in its place."""
    if error["type"] != "extra_forbidden":
        return error["msg"].removeprefix("Value error, ")
    *place, key = error["loc"]
    known = (Facts if place[0] == "facts" else Cell).model_fields
    return f"there is no such key. {suggestion(str(key), known)}"


def _refuse_strange_fields(record: str, block: Block) -> None:
    told = block.facts.fields if block.facts else ()
    unknown = sorted({*block.cells, *told} - set(field_names(record)))
    if unknown:
        raise ValueError(
            f"{record} has no field '{unknown[0]}'. {suggestion(unknown[0], field_names(record))}"
        )
    lacking = [name for name in NEEDED.get(record, ()) if name not in {*block.cells, *told}]
    if lacking:
        lines = " and ".join(f'{name} = "heading of its column"' for name in lacking)
        raise ValueError(
            f"{record} needs the field {' and '.join(lacking)}: without it no row can be used. Write {lines}"
        )
    options = ONE_OF.get(record, ())
    if options and not set(options) & {*block.cells, *told}:
        raise ValueError(f"{record} needs the field {' or '.join(options)}: without it its rows say nothing")
    twice = sorted(set(block.cells) & set(told))
    if twice:
        raise ValueError(f"{record}: {', '.join(twice)} stands in facts and outside it; keep one")


def _refuse_strange_keys(record: str, block: Block) -> None:
    """A key that would have no effect is a slip, and is said."""
    kind = kinds(record)
    for name, cell in block.cells.items():
        if cell.unit and name != "mass":
            raise ValueError(f"{record}, {name}: only a mass has a unit")
        if cell.year_of and kind[name] not in ("key", "date"):
            raise ValueError(f"{record}, {name}: year_of completes a case number or a date, nothing else")
    if record == "stay" and (block.each or block.where):
        raise ValueError("a stay is a row; leave rows out with only = {...} of the source, which counts them")
    if block.facts and (record == "stay" or block.each):
        raise ValueError("facts belong into gear_item, procedure or finding, and not together with each")
