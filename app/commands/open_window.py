"""``open``, and no command at all: the window."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from app.commands.speech import WrongUse, print_report
from core.song.errors import ForeignFileError
from core.song.wording import say

LESSON_ENDING = ".lesson"


def open_window(name: str | None, *, as_json: bool) -> int:
    """Opens the window and stays until it is closed; returns the exit status.

    Args:
        name: the song's file as typed, or None for the last lesson.
        as_json: whether what is left to say afterwards is an object.
    """
    if name is not None:
        _check(name)
    if not has_screen():
        raise WrongUse(say("There is no screen here to open a window on; start it on a desktop, or use plan and play."))
    from app.window import run

    status = run(None if name is None else Path(name))
    print_report({"file": name, "status": status}, [], as_json=as_json)
    return status


def has_screen() -> bool:
    """Whether the machine has somewhere to show a window, or has been told to draw where nobody sees it."""
    if not sys.platform.startswith("linux"):
        return True
    return any(os.environ.get(variable) for variable in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def _check(name: str) -> None:
    """Says at once, not in a window, that a file is not there or of no kind that can be read.

    A lesson that is there needs no more: the readers of the other formats, which take long to load, are left alone.
    """
    if name.lower().endswith(LESSON_ENDING) and _can_be_read(Path(name)):
        return
    from app.commands.song_files import song_bytes
    from core.formats.registry import named_tune, readable_endings

    song_bytes(name)
    file_name, _ = named_tune(name)
    if not file_name.lower().endswith(readable_endings):
        trouble = say("songs are not read from files with this ending")
        remedy = say("open a file that ends in {endings}", endings=", ".join(readable_endings))
        raise ForeignFileError(file_name, "", trouble, remedy)


def _can_be_read(path: Path) -> bool:
    try:
        with path.open("rb"):
            return path.is_file()
    except (OSError, ValueError):
        return False
