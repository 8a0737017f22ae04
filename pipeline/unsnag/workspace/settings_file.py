"""A TOML file → a settings object, or what is wrong with it in words, with the key as it stands in the file."""

import tomllib
from pathlib import Path
from typing import get_args

from pydantic import BaseModel, ValidationError

from unsnag.errors import Problem
from unsnag.workspace.fields import suggestion


def read_settings(path: Path, model: type[BaseModel], extra: dict, problems: list[Problem]):
    """The settings object of a file; None, and every problem added to the list, if there is any.

    extra : keys that do not stand in the file, such as the clinic's name, which its folder has
    """
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8-sig"))
        return model.model_validate(content | extra)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        problems.append(
            Problem(str(path), f"the file cannot be read: {error}", "Correct that line and run again")
        )
    except ValidationError as error:
        problems.extend(_in_words(path, model, item) for item in _told_once(error.errors()))
    return None


def _told_once(errors: list[dict]) -> list[dict]:
    """Without "too few": a list is short because its items are wrong, which has been said of each."""
    places = [error["loc"] for error in errors]
    return [
        error
        for error in errors
        if error["type"] != "too_short"
        or not any(
            len(place) > len(error["loc"]) and place[: len(error["loc"])] == error["loc"] for place in places
        )
    ]


def _in_words(path: Path, model: type[BaseModel], item: dict) -> Problem:
    """pydantic's finding as a sentence with the key as it stands in the file."""
    key = ".".join(str(part + 1) if isinstance(part, int) else part for part in item["loc"]) or "the file"
    where = f"{path}, key {key}"
    if item["type"] == "extra_forbidden":
        fields = _model_at(model, item["loc"][:-1]).model_fields
        known = [field.alias or name for name, field in fields.items()]
        return Problem(where, "there is no such key", suggestion(str(item["loc"][-1]), known))
    if item["type"] == "missing":
        return Problem(where, "the key is missing", "Add the key")
    return Problem(where, item["msg"].removeprefix("Value error, "), "Correct the value")


def _model_at(model: type[BaseModel], place: tuple) -> type[BaseModel]:
    """The settings object in which a key stands."""
    for part in place:
        if isinstance(part, str):
            inside = _classes(model.model_fields[part].annotation)
            model = next(kind for kind in inside if issubclass(kind, BaseModel))
    return model


def _classes(annotation) -> list[type]:
    """The classes that an annotation such as tuple[Source, ...] speaks of."""
    if isinstance(annotation, type) and not get_args(annotation):
        return [annotation]
    return [kind for part in get_args(annotation) for kind in _classes(part)]
