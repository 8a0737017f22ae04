"""network.toml: what holds for the whole group of clinics."""

from datetime import date
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator


class Frozen(BaseModel):
    """A settings object: unknown keys are errors, because a misspelt key would otherwise be ignored in silence."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Region(Frozen):
    """The box, in decimal degrees, outside which a place is questioned."""

    south: Annotated[float, Field(ge=-90, le=90)] = -90
    north: Annotated[float, Field(ge=-90, le=90)] = 90
    west: Annotated[float, Field(ge=-180, le=180)] = -180
    east: Annotated[float, Field(ge=-180, le=180)] = 180

    @model_validator(mode="after")
    def south_lies_below_north(self):
        if self.south >= self.north:
            raise ValueError("south must be smaller than north")
        return self


class Publication(Frozen):
    """What may be published: counts always, the rest from these numbers on."""

    minimum_for_percentage: Annotated[int, Field(ge=1)] = 10
    minimum_clinics: Annotated[int, Field(ge=1)] = 3
    minimum_cell: Annotated[int, Field(ge=1)] = 3
    grid_degrees: Annotated[float, Field(gt=0, le=5)] = 0.1
    clinics_for_letters: Annotated[int, Field(ge=1)] = 10


class Network(Frozen):
    """The group: its name, its region, its publication rules."""

    name: str
    invented: bool = False
    year_starts: str = "01-01"
    horizon_days: Annotated[int, Field(ge=1)] = 180
    region: Region = Region()
    publication: Publication = Publication()

    @field_validator("year_starts")
    @classmethod
    def year_starts_on_a_day_of_every_year(cls, value):
        try:
            is_day = date.fromisoformat(f"2001-{value}").strftime("%m-%d") == value
        except ValueError:
            is_day = False
        if not is_day:
            raise ValueError(f"'{value}' is no day of every year; write month and day, such as 07-01")
        return value
