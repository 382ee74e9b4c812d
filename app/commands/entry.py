"""The door to the commands.

The window is wanted at once and has next to nothing to say on the command line, so it is opened without the library
that reads command lines; every other line goes to that library.
"""

from __future__ import annotations

from collections.abc import Sequence

from app.commands.open_window import open_window

OPEN = "open"


def run(arguments: Sequence[str], name: str) -> int:
    """Carries out a command line; arguments, result and errors as `app.commands.application.run`."""
    match list(arguments):
        case []:
            return open_window(None, as_json=False)
        case [word, file] if word == OPEN and file and not file.startswith("-"):
            return open_window(file, as_json=False)
    from app.commands.application import run as run_read_line

    return run_read_line(arguments, name)
