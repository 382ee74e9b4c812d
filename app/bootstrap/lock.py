"""What to install: the exact versions of the lock, or the compatible ranges where the lock does not reach."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from app.bootstrap import CannotStart

Version = tuple[int, int]

PURPOSES = ("app", "tests")
APP_LOCK = "lock.txt"
TESTS_LOCK = "lock-tests.txt"
_PIN = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)==(?P<version>[^\s;]+)\s*(?:;(?P<marker>.*))?$")
_MINOR = re.compile(r"(\d+)\.(\d+)")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What belongs into the environment for one purpose.

    Attributes:
        purpose: ``app`` or ``tests``.
        requirements: lines in pip's own format.
        mark: a hash over them; a stamp that carries it was made for exactly these.
        exact: whether they are the lock's versions, not ranges.
    """

    purpose: str
    requirements: tuple[str, ...]
    mark: str
    exact: bool


def wanted(home: Path, purpose: str, python: Version) -> Wanted:
    """What the program or its tests need under one version of Python.

    Args:
        home: the folder that holds pyproject.toml.
        purpose: ``app`` or ``tests``; the tests need what the program needs, and more.
        python: major and minor version.

    Raises:
        CannotStart: the lock or pyproject.toml is not there or cannot be read.
    """
    files = [home / ".ci" / APP_LOCK] + ([home / ".ci" / TESTS_LOCK] if purpose == "tests" else [])
    try:
        texts = [file.read_text(encoding="utf-8") for file in files]
        exact = all(python <= newest_python(text) for text in texts)
        lines = [line for text in texts for line in pins(text, python)] if exact else _ranges(home, purpose)
    except (OSError, ValueError, KeyError) as error:
        raise CannotStart(
            f"{home}: what to install cannot be read from .ci and pyproject.toml ({error}); "
            "fetch the project's files again."
        ) from error
    mark = hashlib.sha256("\n".join(lines).encode()).hexdigest()
    return Wanted(purpose, tuple(lines), mark, exact)


def newest_python(text: str) -> Version:
    """The newest Python that a lock was made with, from its first line; raises ValueError where it names none."""
    _, _, named = text.partition("\n")[0].partition("Python ")
    versions = [(int(major), int(minor)) for major, minor in _MINOR.findall(named)]
    if not versions:
        raise ValueError("the lock's first line names no Python")
    return max(versions)


def pins(text: str, python: Version) -> list[str]:
    """The lines of a lock that apply to one version of Python, without their markers.

    The lock's markers are only ever ``python_version == '3.11' or python_version == '3.12'``, as .ci/make_lock.py
    writes them; raises ValueError for a line in any other form.
    """
    lines = []
    for line in text.splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        pin = _PIN.match(line)
        if pin is None:
            raise ValueError(f"the lock has a line that is no exact version: {line}")
        marker = pin["marker"]
        if marker is None or f"'{python[0]}.{python[1]}'" in marker:
            lines.append(f"{pin['name']}=={pin['version']}")
    return lines


def package_names(requirements: tuple[str, ...]) -> frozenset[str]:
    """The names of the packages, as an index compares them."""
    return frozenset(
        re.sub(r"[-_.]+", "-", re.split(r"[^A-Za-z0-9._-]", line, maxsplit=1)[0]).lower() for line in requirements
    )


def _ranges(home: Path, purpose: str) -> list[str]:
    import tomllib

    project = tomllib.loads((home / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    ranges = [str(line) for line in project["dependencies"]]
    return ranges + [str(line) for line in project["optional-dependencies"]["tests"]] if purpose == "tests" else ranges
