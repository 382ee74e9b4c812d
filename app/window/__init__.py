"""The window: one lesson, four workspaces; `run` opens it and stays until it is closed."""

from __future__ import annotations

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
    from app.window.starting import start

    return start(path)
