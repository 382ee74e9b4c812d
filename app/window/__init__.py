"""The window: one lesson, four workspaces; `run` opens it and stays until it is closed."""

from __future__ import annotations

import gc
import sys
from pathlib import Path
from typing import Final

USUAL_SPELLING: Final = 0
"""Qt for Python's own sign for a module that uses its names as they are."""


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
    _leave_sources_unread()
    from app.window.starting import start

    return start(path)


def _leave_sources_unread() -> None:
    """Tell Qt for Python that no module of the program asks for its other ways of spelling names.

    It would read the source of every module that is imported to find that out: a tenth of the time that loading the
    window takes. Its list of what it has found is no promise of Qt's; where there is none, sources are read as ever.
    """
    import PySide6.QtCore  # noqa: F401 - brings the list

    found = getattr(sys.modules.get("shibokensupport.feature"), "pyside_feature_dict", None)
    if isinstance(found, dict):
        root = Path(__file__).resolve().parents[2]
        for folder in ("app", "core"):
            for file in (root / folder).glob("*/*.py"):
                found.setdefault(f"{folder}.{file.parent.name}.{file.stem}", USUAL_SPELLING)
