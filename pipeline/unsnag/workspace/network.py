"""network.toml: what holds for the whole group of clinics."""

import re
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


WEB = r"https?://\S+"
FORMS = {
    "licence_id": (r"[A-Za-z0-9][A-Za-z0-9.+-]*", "an identifier of SPDX's list, such as CC-BY-4.0"),
    "licence_url": (WEB, "an address on the web, such as https://creativecommons.org/licenses/by/4.0/"),
    "contact": (
        WEB + r"|[^@\s:/]+@[^@\s:/]+\.[^@\s:/]+",
        "an e-mail address, or an address on the web (https://…)",
    ),
}


class Use(Frozen):
    """What others may do with the published data; whatever is not said is to be asked of the network.

    licence     : its name in words, "CC BY 4.0"
    licence_id  : the same as programs know it, an identifier of SPDX (https://spdx.org/licenses), "CC-BY-4.0"
    licence_url : where its text stands
    contact     : an e-mail address of the network, or an address on the web; it is published
    cite_as     : who and what is to be cited, without day and version, which are added
    conditions  : what else is asked of those who use the data, a sentence
    """

    licence: str = ""
    licence_id: str = ""
    licence_url: str = ""
    contact: str = ""
    cite_as: str = ""
    conditions: str = ""

    @field_validator("licence_id", "licence_url", "contact")
    @classmethod
    def what_programs_read_is_well_formed(cls, value, about):
        pattern, form = FORMS[about.field_name]
        if value and not re.fullmatch(pattern, value):
            raise ValueError(f"'{value}' is not {form}")
        return value

    @model_validator(mode="after")
    def a_licence_has_a_name_and_a_text(self):
        if bool(self.licence) != bool(self.licence_url) or (self.licence_id and not self.licence):
            raise ValueError(
                "a licence needs both its name (licence) and where its text stands (licence_url)"
            )
        return self


class Network(Frozen):
    """The group: its name, its region, its publication rules, what others may do with what it publishes."""

    name: str
    invented: bool = False
    year_starts: str = "01-01"
    horizon_days: Annotated[int, Field(ge=1)] = 180
    region: Region = Region()
    publication: Publication = Publication()
    use: Use = Use()

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
