"""Functions for the helper process to run in tests."""

from __future__ import annotations

import os
import sys

from core.song.errors import EditError


def double(number: int) -> int:
    print("libraries print things")  # noqa: T201 - to see that it does no harm
    return 2 * number


def refuse() -> None:
    raise EditError("This cannot be done.")


def stumble() -> None:
    raise ZeroDivisionError


def missing_file() -> None:
    raise FileNotFoundError(2, "No such file or directory", "/nowhere/song.abc")


def die() -> None:
    sys.stderr.flush()
    os._exit(9)


def process_number() -> int:
    return os.getpid()


def wait_for_ever() -> None:
    while True:
        os.getppid()
