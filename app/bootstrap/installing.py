"""pip at work, with what it does shown line by line."""

from __future__ import annotations

import os
import queue
import re
import subprocess
import threading
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import IO

from app.bootstrap import CannotStart
from app.bootstrap.telling import Teller

RECORD = "install.log"
"""pip's own words, kept in the environment for whoever has to find out why it failed."""

_COLLECTING = re.compile(r"^Collecting (?P<what>[A-Za-z0-9._-]+)")
_DOWNLOADING = re.compile(r"^\s*Downloading (?:\S*/)?(?P<file>\S+?) \((?P<size>[^)]+)\)")
_INSTALLING = re.compile(r"^Installing collected packages: (?P<names>.+)$")

UNREACHED = "Retrying (Retry("
"""Part of what pip says each time that a connection fails."""

BIG = "MB"
"""The unit from which a download is worth naming with its size."""


def install(python: Path, requirements: Sequence[str], environment: Path, teller: Teller) -> None:
    """Installs packages into an environment.

    Args:
        python: the environment's interpreter.
        requirements: what to install, in pip's own format.
        environment: the environment's folder; pip's words are kept in it.
        teller: hears about every package.

    Raises:
        CannotStart: pip failed; its own reason is passed on.
    """
    asked = environment / "requirements.txt"
    asked.write_text("\n".join([*requirements, ""]), encoding="utf-8")
    command = [str(python), "-m", "pip", "install", "--no-input", "--disable-pip-version-check", "--prefer-binary"]
    command += ["--progress-bar", "off", "--no-color", "--requirement", str(asked)]
    # A user's own settings for pip, an index or a proxy, are needed; settings about where to install are not.
    surroundings = {name: value for name, value in os.environ.items() if name not in ("PIP_USER", "PIP_TARGET")}
    surroundings |= {"PYTHONUNBUFFERED": "1", "PIP_REQUIRE_VIRTUALENV": "0"}
    words: list[str] = []
    with (environment / RECORD).open("w", encoding="utf-8") as record:
        with subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            errors="replace",
            env=surroundings,
        ) as pip:
            assert pip.stdout is not None
            steps = Steps(len(requirements))
            for line in _lines_as_they_come(pip.stdout, teller):
                record.write(line)
                words.append(line)
                if step := steps.of(line):
                    teller.step(step)
        if pip.returncode:
            raise CannotStart(
                f"{environment}: the packages could not be installed ({reason(words)}); see that this machine reaches "
                f"the package index and start again, all of pip's words are in {environment / RECORD}."
            )


def remove(python: Path, names: Sequence[str]) -> None:
    """Takes packages out of an environment that nothing asks for any more."""
    command = [str(python), "-m", "pip", "uninstall", "--yes", "--disable-pip-version-check", *names]
    subprocess.run(command, capture_output=True, check=False)


def reason(words: Sequence[str]) -> str:
    """Why pip failed: no way to the index, or its last line marked as an error, or its last line."""
    if any(UNREACHED in line for line in words):
        return "the package index could not be reached"
    errors = [line.strip().removeprefix("ERROR: ") for line in words if line.startswith("ERROR: ")]
    spoken = errors or [line.strip() for line in words if line.strip()]
    return spoken[-1].rstrip(".") if spoken else "pip said nothing"


class Steps:
    """Turns pip's lines into steps fit for a reader.

    Args:
        expected: how many packages were asked for.
    """

    def __init__(self, expected: int) -> None:
        self._expected = expected
        self._seen: set[str] = set()

    def of(self, line: str) -> str:
        """The step that a line of pip's begins; empty where it begins none."""
        if found := _COLLECTING.match(line):
            self._seen.add(found["what"].lower())
            return f"{min(len(self._seen), self._expected)} of {self._expected}: {found['what']}"
        if (found := _DOWNLOADING.match(line)) and BIG in found["size"]:
            return f"{min(len(self._seen), self._expected)} of {self._expected}: {found['file']}, {found['size']}"
        if found := _INSTALLING.match(line):
            return f"unpacking {len(found['names'].split(','))} packages"
        return ""


def _lines_as_they_come(stream: IO[str], teller: Teller) -> Iterable[str]:
    """The lines of a stream; while none comes, the teller is told that time goes by."""
    lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()

    def read() -> None:
        for line in stream:
            lines.put(line)
        lines.put(None)

    threading.Thread(target=read, daemon=True).start()
    while True:
        try:
            line = lines.get(timeout=1)
        except queue.Empty:
            teller.tick()
            continue
        if line is None:
            return
        yield line
