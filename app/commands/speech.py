"""What the commands say: results on standard output, complaints and progress on standard error."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress

from core.song.errors import PhrasebenchError
from core.song.wording import say


class WrongUse(PhrasebenchError):
    """A command line that means nothing; its text is one sentence that says what would."""


def one_line(text: str) -> str:
    """A text as one line, without what could move a terminal's cursor."""
    return " ".join("".join(mark if mark.isprintable() else " " for mark in text).split())


def complain(text: str) -> None:
    """Says that something failed: one line on standard error; where that cannot be written, the status must do."""
    with suppress(OSError):
        sys.stderr.write(f"{one_line(text)}\n")
        sys.stderr.flush()


def note(text: str) -> None:
    """Says what should be known about a result although nothing failed: one line on standard error."""
    complain(say("note: {text}", text=text))


def print_json(report: Mapping[str, object]) -> None:
    """Prints one object on a line of its own."""
    sys.stdout.write(json.dumps(report, ensure_ascii=False, allow_nan=False) + "\n")
    sys.stdout.flush()


def print_report(report: Mapping[str, object], lines: Sequence[str], *, as_json: bool) -> None:
    """Prints what a command has done: as one object, or as lines for a reader."""
    if as_json:
        print_json(report)
    else:
        sys.stdout.write("".join(f"{line}\n" for line in lines))
        sys.stdout.flush()


@contextmanager
def working(text: str) -> Iterator[None]:
    """Shows at a terminal that something is being worked on, and takes it away when it is done."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    with Console(file=sys.stderr).status(text):
        yield
