"""Makes the lock: exact versions of everything that pyproject.toml asks for, as pip resolves them here and now.

Run by hand, never by CI, when the ranges change or the pinned versions have grown old:

    python3 .ci/make_lock.py [--constraint FILE] python3.11 python3.12 python3.13

Each interpreter gets an empty environment of its own, pip installs the ranges into it, and what it installed is
written down. An interpreter keeps to the versions of those before it wherever it can; where it cannot, or where a
package is only needed by some of them, the line carries a marker. The result is two files beside this script:
``lock.txt``, what the program needs, and ``lock-tests.txt``, what the tests need on top of that. Their first line
names the newest Python they were made with; the start of the program reads it.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

HERE = Path(__file__).resolve().parent
PYPROJECT = HERE.parent / "pyproject.toml"

Pins = dict[str, str]


def _plain(name: str) -> str:
    """A package's name as the index compares it."""
    return re.sub(r"[-_.]+", "-", name).lower()


@dataclass
class Table:
    """Which interpreter got which version of each package."""

    versions: dict[str, dict[str, str]] = field(default_factory=dict)
    spelling: dict[str, str] = field(default_factory=dict)

    def add(self, python: str, pins: Pins) -> None:
        """Writes down what one interpreter got."""
        for name, version in pins.items():
            self.spelling.setdefault(_plain(name), name)
            self.versions.setdefault(_plain(name), {})[python] = version

    def lines(self, pythons: list[str]) -> list[str]:
        """The lines of a lock, sorted by name."""
        lines = []
        for name in sorted(self.versions):
            by_version: dict[str, list[str]] = {}
            for python, version in self.versions[name].items():
                by_version.setdefault(version, []).append(python)
            for version, holders in by_version.items():
                marker = " or ".join(f"python_version == '{python}'" for python in holders)
                lines.append(f"{self.spelling[name]}=={version}" + (f" ; {marker}" if holders != pythons else ""))
        return lines


def _run(*command: str | Path) -> str:
    return subprocess.run([str(part) for part in command], check=True, stdout=subprocess.PIPE, text=True).stdout


def _installed(python: Path) -> Pins:
    """Everything in an environment but the tools that came with it."""
    lines = _run(python, "-m", "pip", "freeze", "--exclude", "pip", "--exclude", "setuptools").splitlines()
    return dict(line.split("==", 1) for line in lines if "==" in line)


def _resolve(
    interpreter: str, app: list[str], tests: list[str], keep: list[str], place: Path
) -> tuple[str, Pins, Pins]:
    """The interpreter's version and what it installs: for the program, and in all."""
    _run(interpreter, "-m", "venv", place)
    python = place / "bin" / "python"
    version = _run(python, "-c", "import sys; print('%d.%d' % sys.version_info[:2])").strip()
    constraints = place / "constraints.txt"
    constraints.write_text("\n".join(keep), encoding="utf-8")
    _run(python, "-m", "pip", "install", "--quiet", "--constraint", constraints, *app)
    needed = _installed(python)
    _run(python, "-m", "pip", "install", "--quiet", "--constraint", constraints, *tests)
    return version, needed, _installed(python)


def main() -> None:
    """Resolves with every interpreter and writes both files."""
    parser = argparse.ArgumentParser(description="Makes the lock from the ranges in pyproject.toml.")
    parser.add_argument("--constraint", type=Path, help="versions to keep to, in pip's own format")
    parser.add_argument("interpreters", nargs="+", help="interpreters, the oldest first")
    options = parser.parse_args()
    project = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["project"]
    app, tests = project["dependencies"], project["optional-dependencies"]["tests"]
    keep = options.constraint.read_text(encoding="utf-8").splitlines() if options.constraint else []

    pythons: list[str] = []
    for_app, for_tests = Table(), Table()
    for interpreter in options.interpreters:
        with tempfile.TemporaryDirectory() as place:
            python, needed, everything = _resolve(interpreter, app, tests, keep, Path(place))
        sys.stderr.write(f"Python {python}: {len(needed)} packages for the program, {len(everything)} in all\n")
        pythons.append(python)
        for_app.add(python, needed)
        for_tests.add(python, {name: version for name, version in everything.items() if name not in needed})
        keep = sorted({*keep, *(f"{name}=={version}" for name, version in everything.items())})

    for name, table in (("lock.txt", for_app), ("lock-tests.txt", for_tests)):
        head = f"# Made by .ci/make_lock.py with Python {', '.join(pythons)}; do not edit by hand."
        (HERE / name).write_text("\n".join([head, *table.lines(pythons), ""]), encoding="utf-8")


if __name__ == "__main__":
    main()
