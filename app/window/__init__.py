"""The window: one lesson, four workspaces; `run` opens it and stays until it is closed."""

from __future__ import annotations

import builtins
import gc
from pathlib import Path


def run(path: Path | None) -> int:
    """Open the window and stay until it is closed.

    Args:
        path: a lesson or any readable song; None for the last lesson, the first time a demo lesson.

    Returns:
        The exit status.
    """
    # The garbage collector finds nothing to collect among what is being loaded, and looks through it again and again.
    gc.disable()
    # Qt for Python looks into the source of every module that is imported after it, so what needs no Qt comes first.
    from core.drawing import keyboard, lesson_sheet  # noqa: F401 - imported so that it is loaded
    from core.formats import lesson_file  # noqa: F401 - imported so that it is loaded
    from core.performance import schedule  # noqa: F401 - imported so that it is loaded
    from core.session import running_order  # noqa: F401 - imported so that it is loaded

    # isort: split
    _import_plainly()
    from app.window.starting import start

    return start(path)


def _import_plainly() -> None:
    """Take back the import that Qt for Python puts in the place of Python's own.

    Its own looks into every module and every import for a wish to spell Qt's names in other ways, which nothing here
    has: a tenth of the time that loading the window takes. Where it keeps no plain one to be taken back, it stays.
    """
    import PySide6.QtCore  # noqa: F401 - brings its import

    plain = getattr(builtins, "__orig_import__", None)
    if plain is not None:
        builtins.__import__ = plain
