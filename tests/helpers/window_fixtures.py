"""Fixtures for tests of the window."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.helpers.songs import night_ferry

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from tests.helpers.open_window import OpenWindow


@pytest.fixture(autouse=True)
def quiet_afterwards() -> Iterator[None]:
    """A test fails on a timer, thread, window or process that it leaves behind; one without Qt leaves none."""
    yield
    if "PySide6.QtWidgets" in sys.modules:
        from tests.helpers.left_behind import left_behind

        found = left_behind()
        assert not found, f"left behind: {found}"


@pytest.fixture
def opened(qapp: QApplication, tmp_path: Path) -> Iterator[OpenWindow]:
    """The window on Night Ferry."""
    from tests.helpers.open_window import open_window

    assert qapp is not None
    with open_window(night_ferry(), tmp_path) as found:
        yield found
