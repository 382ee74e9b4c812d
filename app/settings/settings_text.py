"""Settings as JSON text and back, with migrations from older versions.

A field that this version does not know is kept word for word. A field with an impossible value falls back to
its usual value and is named in a warning, so that one bad line never costs the other settings.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, Final

import msgspec
from msgspec import Struct
from msgspec.structs import asdict, replace

from app.settings.settings import VERSION, Settings
from core.performance.output import Output
from core.session.lesson_settings import LessonSettings, Preset
from core.song.errors import PhrasebenchError
from core.song.pattern_grid import Grid, OwnPattern
from core.song.phrase import Phrase
from core.song.wording import say

Fields = dict[str, object]


class SettingsError(PhrasebenchError):
    """A settings file that cannot be read at all."""


class ReadSettings(Struct, frozen=True):
    """Settings out of a text, what had to be left aside, and whether another version wrote it."""

    settings: Settings
    warnings: tuple[str, ...] = ()
    migrated: bool = False


def _zoom_as_percent(found: Fields) -> Fields:
    """Version 0 kept the zoom as a factor."""
    zoom = found.get("zoom")
    if isinstance(zoom, float):
        return {**found, "zoom": round(zoom * 100)}
    return found


MIGRATIONS: Final[tuple[Callable[[Fields], Fields], ...]] = (_zoom_as_percent,)
"""Migration n brings the fields of version n to version n + 1."""

LESSON_FIELDS: Final = LessonSettings.__struct_fields__
KNOWN: Final = tuple(name for name in Settings.__struct_fields__ if name != "extra")


def write_settings(settings: Settings) -> str:
    """The settings as JSON text, unknown fields last as they came."""
    known: Fields = {"version": VERSION}
    for name in KNOWN:
        value = getattr(settings, name)
        known[name] = [_plain(item) for item in value] if isinstance(value, tuple) else value
    known.update({name: json.loads(text) for name, text in settings.extra})
    return json.dumps(known, indent=2, ensure_ascii=False) + "\n"


def _plain(item: str | Preset | OwnPattern | Phrase | Output) -> object:
    if isinstance(item, Output):
        return msgspec.to_builtins(item)
    if isinstance(item, Phrase):
        return asdict(item)
    if isinstance(item, OwnPattern):
        return {"name": item.name, "grids": [_plain_grid(grid) for grid in item.grids]}
    return item if isinstance(item, str) else {"name": item.name, **msgspec.to_builtins(item.settings)}


def _plain_grid(grid: Grid) -> Fields:
    return {"cells": grid.text, "division": grid.division, "compound": grid.compound}


def read_settings(text: str) -> ReadSettings:
    """Settings out of JSON text; raises SettingsError where the text is no JSON object."""
    try:
        found = json.loads(text)
    except json.JSONDecodeError as error:
        raise SettingsError(
            say("The settings file is damaged at line {line}; the usual settings are used.", line=error.lineno)
        ) from None
    if not isinstance(found, dict):
        raise SettingsError(say("The settings file holds no settings; the usual ones are used."))
    version = found.pop("version", 0)
    if not isinstance(version, int) or isinstance(version, bool) or version < 0:
        version = 0
    for migration in MIGRATIONS[version:]:
        found = migration(found)
    settings, warnings = Settings(), []
    for name, value in found.items():
        if name not in KNOWN:
            continue
        try:
            settings = _with(settings, name, value)
        except (PhrasebenchError, TypeError):
            warnings.append(
                say("The setting “{name}” has a value that does not fit; its usual value is used.", name=name)
            )
    extra = tuple((name, json.dumps(value, ensure_ascii=False)) for name, value in found.items() if name not in KNOWN)
    return ReadSettings(replace(settings, extra=extra), tuple(warnings), migrated=version != VERSION)


def _with(settings: Settings, name: str, value: object) -> Settings:
    fitting: Any = _fitting(name, value)
    return replace(settings, **{name: fitting})


def _fitting(name: str, value: object) -> object:
    """A JSON value as the field's own type; raises TypeError where it is of another."""
    usual = getattr(Settings(), name)
    if name == "presets":
        return _presets(value)
    if name == "ways":
        return _ways(value)
    if name == "segment_phrases":
        return _phrases(value)
    if name == "own_patterns":
        return _patterns(value)
    if isinstance(usual, tuple):
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            raise TypeError(name)
        return tuple(value)
    if isinstance(usual, bool) != isinstance(value, bool):
        raise TypeError(name)
    if isinstance(usual, float) and isinstance(value, int):
        return float(value)
    if not isinstance(value, type(usual)):
        raise TypeError(name)
    return value


def _ways(value: object) -> tuple[Output, ...]:
    """Outputs out of JSON; raises TypeError or a DomainError where one is none."""
    try:
        return msgspec.convert(value, tuple[Output, ...])
    except msgspec.ValidationError as error:
        raise TypeError(value) from error


def _presets(value: object) -> tuple[Preset, ...]:
    """Presets out of JSON; raises TypeError or a DomainError where one is none.

    A field that is missing has its usual value, and one that this version does not know is left out.
    """
    if not isinstance(value, list):
        raise TypeError(value)
    return tuple(map(_preset, value))


def _preset(value: object) -> Preset:
    if not isinstance(value, dict) or not isinstance(value.get("name"), str):
        raise TypeError(value)
    wanted: Any = {name: _fitting(name, value[name]) for name in LESSON_FIELDS if name in value}
    return Preset(value["name"], LessonSettings(**wanted))


def _phrases(value: object) -> tuple[Phrase, ...]:
    """Phrases out of JSON; raises TypeError or a DomainError where one is none."""
    if not isinstance(value, list):
        raise TypeError(value)
    return tuple(map(_phrase, value))


def _phrase(value: object) -> Phrase:
    if not isinstance(value, dict):
        raise TypeError(value)
    kind, text = value.get("kind"), value.get("text")
    if not isinstance(kind, str) or not isinstance(text, str):
        raise TypeError(value)
    return Phrase(kind, text)


def _patterns(value: object) -> tuple[OwnPattern, ...]:
    """Patterns out of JSON; raises TypeError or a DomainError where one is none."""
    if not isinstance(value, list):
        raise TypeError(value)
    return tuple(map(_pattern, value))


def _pattern(value: object) -> OwnPattern:
    if not isinstance(value, dict) or not isinstance(value.get("name"), str):
        raise TypeError(value)
    grids = value.get("grids")
    if not isinstance(grids, list):
        raise TypeError(value)
    return OwnPattern(value["name"], tuple(map(_grid, grids)))


def _grid(value: object) -> Grid:
    if not isinstance(value, dict):
        raise TypeError(value)
    cells, division, compound = value.get("cells"), value.get("division", 1), value.get("compound", False)
    if not isinstance(cells, str) or type(division) is not int or not isinstance(compound, bool):
        raise TypeError(value)
    return Grid.parse(cells, division, compound=compound)
