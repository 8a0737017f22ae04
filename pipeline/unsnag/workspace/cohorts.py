"""cohorts.toml: groups of cases with a name, defined once and cited by analyses, extracts and planned comparisons."""

import csv
from datetime import date
from functools import cache
from typing import Annotated

from pydantic import Field, field_validator, model_validator

from unsnag import resources
from unsnag.workspace.fields import suggestion
from unsnag.workspace.network import Frozen

# What a cohort can ask for → the vocabulary of its codes. All of it is known when the animal comes: a cohort that asks
# how animals ended would answer its own question.
FEATURES = {
    name: name
    for name in (
        "taxon_group", "species", "sex", "life_stage", "body_condition", "triage_score", "cause", "injury", "gear",
        "hook_kind", "body_site", "severity", "injury_age", "arrival",
    )
} | dict.fromkeys(("tackle", "line_trailing", "lead"), "yes_no")  # fmt: skip
NOT_STATED = "not_stated"


class Cohort(Frozen):
    """Cases with these codes, admitted within these days; the conditions are applied in the order written."""

    name: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
    title: Annotated[str, Field(min_length=1)]
    why: Annotated[str, Field(min_length=1)]
    who: dict[str, tuple[str, ...]] = {}
    admitted_from: date | None = Field(None, alias="from")
    admitted_until: date | None = Field(None, alias="until")
    decided: date | None = None

    @field_validator("who", mode="before")
    @classmethod
    def one_code_is_a_list_of_one(cls, value):
        if not isinstance(value, dict):
            return value
        return {key: (codes,) if isinstance(codes, str) else codes for key, codes in value.items()}

    @field_validator("who")
    @classmethod
    def codes_are_shared_codes(cls, value):
        for feature, codes in value.items():
            if feature not in FEATURES:
                raise ValueError(f"a cohort cannot ask for '{feature}'. {suggestion(feature, FEATURES)}")
            if not codes:
                raise ValueError(f"{feature} lists no code: nobody would be in")
            known = codes_of(FEATURES[feature]) | {NOT_STATED}
            for code in codes:
                if code not in known:
                    raise ValueError(f"{feature} has no code '{code}'. {suggestion(code, known)}")
        return value

    @model_validator(mode="after")
    def somebody_can_be_in(self):
        if not self.steps:
            raise ValueError(
                "the cohort has no condition; give codes in 'who', or a day in 'from' or 'until'"
            )
        if self.admitted_from and self.admitted_until and self.admitted_from > self.admitted_until:
            raise ValueError("'from' is later than 'until'")
        return self

    @property
    def steps(self) -> tuple[tuple[str, tuple[str, ...], str], ...]:
        """(feature, codes, condition in words) in the order in which cases are left out: days first."""
        days = (("admitted_from", self.admitted_from), ("admitted_until", self.admitted_until))
        return (
            *((name, (day.isoformat(),), f"{_words(name)} {day.isoformat()}") for name, day in days if day),
            *(
                (name, codes, f"{_words(name)}: {' or '.join(map(_words, codes))}")
                for name, codes in self.who.items()
            ),
        )


class Cohorts(Frozen):
    """All cohorts of a workspace."""

    cohort: tuple[Cohort, ...] = ()

    @model_validator(mode="after")
    def names_differ(self):
        names = [cohort.name for cohort in self.cohort]
        for name in names:
            if names.count(name) > 1:
                raise ValueError(f"two cohorts are named '{name}'")
        return self

    def known_on(self, day: date) -> "Cohorts":
        """The cohorts that were decided by the end of a day; those without a day always were."""
        kept = tuple(cohort for cohort in self.cohort if cohort.decided is None or cohort.decided <= day)
        return self.model_copy(update={"cohort": kept})


@cache
def codes_of(vocabulary: str) -> frozenset[str]:
    """The codes of one shared vocabulary."""
    path = resources.folder("sql") / "codes" / f"{vocabulary}.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return frozenset(row["code"] for row in csv.DictReader(stream))


def _words(name: str) -> str:
    return name.replace("_", " ")
