"""questions.toml: the comparisons that were planned before any result was seen."""

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import Field, field_validator, model_validator

from unsnag.stats.emulation.strategies import compile_strategy
from unsnag.workspace.network import Frozen

# What a question may select and adjust for: columns of mart.trial_cases, known at the first admission.
BASELINE = (
    "taxon_group", "injury", "body_site", "severity", "line_trailing", "hook_kind", "gear", "lead", "life_stage",
    "body_condition", "triage_score", "injury_age", "first_lead_level",
)  # fmt: skip
DAILY = ("worse", "position")
Name = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]


class Floors(Frozen):
    """Below these the answer is "too few to tell"."""

    events_per_arm: Annotated[int, Field(ge=1)] = 10
    effective_size: Annotated[int, Field(ge=1)] = 30
    clinics_using_both: Annotated[int, Field(ge=1)] = 2


class Resampling(Frozen):
    """How often cases are drawn anew for the intervals, and from which seed."""

    replicates: Annotated[int, Field(ge=50)] = 500
    seed: int = 1


class PlannedStrategy(Frozen):
    """One strategy by its name; the rest is plain data for stats.emulation."""

    name: Name
    settings: dict[str, Any]

    @model_validator(mode="before")
    @classmethod
    def the_rest_is_its_settings(cls, value):
        if not isinstance(value, dict) or "settings" in value:
            return value
        return {"name": value.get("name"), "settings": {key: value[key] for key in value if key != "name"}}

    @model_validator(mode="after")
    def can_be_compiled(self):
        compile_strategy(self.name, self.settings)
        return self


class Question(Frozen):
    """One planned comparison. Every later strategy is compared with the first."""

    name: Name
    asks: str
    planned: date
    reason: str
    population: dict[str, tuple[str, ...]]
    cohort: str | None = None
    intervention: Annotated[tuple[str, ...], Field(min_length=1)]
    outcomes: tuple[Literal["released", "died_or_euthanased", "restricted_mean_time"], ...]
    horizon_days: Annotated[int, Field(ge=1, le=730)]
    confounders: tuple[str, ...]
    effect_by: Annotated[tuple[str, ...], Field(min_length=1)]  # no pooled verdict without its groups
    floors: Floors | None = None
    strategy: Annotated[tuple[PlannedStrategy, ...], Field(min_length=2)]

    @field_validator("population")
    @classmethod
    def population_is_known_at_admission(cls, value):
        unknown = sorted(set(value) - {*BASELINE, "arrival"})
        if unknown:
            raise ValueError(
                f"a population cannot ask for {', '.join(unknown)}; it can ask for {', '.join(BASELINE)}"
            )
        return value

    @field_validator("confounders", "effect_by")
    @classmethod
    def covariates_are_known(cls, value):
        unknown = [name for name in value if name not in (*BASELINE, *DAILY)]
        if unknown:
            raise ValueError(f"{', '.join(unknown)} is not recorded; use {', '.join((*BASELINE, *DAILY))}")
        return value

    @model_validator(mode="after")
    def strategy_names_differ(self):
        names = [strategy.name for strategy in self.strategy]
        if len(set(names)) < len(names):
            raise ValueError("two strategies have the same name")
        return self


class Questions(Frozen):
    """All planned comparisons, with the floors and resampling that hold for those without their own."""

    floors: Floors = Floors()
    resampling: Resampling = Resampling()
    question: tuple[Question, ...] = ()

    @model_validator(mode="after")
    def names_differ(self):
        names = [question.name for question in self.question]
        if len(set(names)) < len(names):
            raise ValueError("two questions have the same name")
        return self
