"""The window: one lesson, four workspaces; `run` opens it and stays until it is closed."""

from __future__ import annotations

from pathlib import Path


def run(path: Path | None) -> int:
    """Open the window and stay until it is closed.

    Args:
        path: a lesson or any readable song; None for the last lesson, the first time a demo lesson.

    Returns:
        The exit status.
    """
    from app.window.starting import start

    return start(path)
