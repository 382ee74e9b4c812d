"""The environment ``.venv`` beside pyproject.toml: is it sound?

What was done is written into a stamp inside it: the interpreter, the place, and what was installed. An environment
whose stamp says anything else than what is wanted now is not used.

Every start comes through here, so what makes environments, which takes long to load, stands in ``making``.
"""

from __future__ import annotations

import json
import os
import platform
import sys
from dataclasses import asdict, dataclass, field
from enum import Enum
from pathlib import Path

from app.bootstrap import CannotStart
from app.bootstrap.lock import Version, Wanted

STAMP = "phrasebench-stamp.json"


class State(Enum):
    """What an environment is found to be."""

    SOUND = "sound"
    MISSING = "missing"
    HALF_MADE = "half-made"
    MOVED = "moved"
    OTHER_PYTHON = "made with another Python"
    OUTDATED = "outdated"
    UNSTAMPED = "made by hand"


@dataclass(frozen=True, slots=True)
class Stamp:
    """What was made.

    Attributes:
        python: the interpreter, as ``identity`` names it.
        place: where the environment stood.
        whole: whether it was finished.
        marks: for each purpose, the hash of what was installed for it.
        packages: the names of what was installed, so that what is no longer wanted can go.
    """

    python: str
    place: str
    whole: bool
    marks: dict[str, str] = field(default_factory=dict)
    packages: list[str] = field(default_factory=list)


def identity(version: Version = sys.version_info[:2]) -> str:
    """What must be the same for an environment to work: kind and minor version of Python, and kind of machine."""
    return f"{sys.implementation.name} {version[0]}.{version[1]} {sys.platform} {platform.machine()}"


def interpreter_in(environment: Path) -> Path:
    """Where an environment keeps its interpreter."""
    return environment / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def read_stamp(environment: Path) -> Stamp | None:
    """The stamp of an environment; None where there is none that can be read."""
    try:
        stamp = Stamp(**json.loads((environment / STAMP).read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        return None
    return stamp


def write_stamp(environment: Path, stamp: Stamp) -> None:
    """Writes the stamp beside itself first, so that it is never found half-written."""
    beside = environment / (STAMP + ".new")
    beside.write_text(json.dumps(asdict(stamp), indent=1), encoding="utf-8")
    beside.replace(environment / STAMP)


def examine(environment: Path, need: Wanted, python: str) -> State:
    """What state an environment is in, without running anything.

    Args:
        environment: the folder.
        need: what it must hold.
        python: the identity of the interpreter that asks.

    Raises:
        CannotStart: it is somebody else's, who lets nobody look into it.
    """
    if not os.path.lexists(environment):
        return State.MISSING
    try:
        has_interpreter = interpreter_in(environment).exists()
        has_settings = (environment / "pyvenv.cfg").is_file()
    except OSError as error:
        raise CannotStart(
            f"{environment}: this environment may not be used ({error.strerror or error}); "
            "copy the program, without this folder, to a place of your own and start it there."
        ) from error
    stamp = read_stamp(environment)
    if stamp is None:
        return State.UNSTAMPED if has_settings and has_interpreter else State.HALF_MADE
    if not stamp.whole or not has_interpreter:
        return State.HALF_MADE
    if stamp.place != str(environment.resolve()):
        return State.MOVED
    if stamp.python != python:
        return State.OTHER_PYTHON
    return State.SOUND if stamp.marks.get(need.purpose) == need.mark else State.OUTDATED


def base_interpreter() -> str:
    """The interpreter that this one's environment, if it is in one, was made from."""
    return str(getattr(sys, "_base_executable", None) or sys.executable)
