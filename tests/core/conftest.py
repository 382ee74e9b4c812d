"""The tests of core never start Qt: what they try must work where there is none."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import pytest

QT_FIXTURES = frozenset({"qtbot", "qapp", "qapp_cls", "qtlog", "qtmodeltester"})


def _qt_runs() -> bool:
    widgets = sys.modules.get("PySide6.QtCore")
    return widgets is not None and widgets.QCoreApplication.instance() is not None


@pytest.fixture(autouse=True)
def _no_qt(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fails a test of core that asks for Qt or starts it."""
    asked = sorted(QT_FIXTURES & set(request.fixturenames))
    assert not asked, f"a test of core asks for {', '.join(asked)}"
    ran_before = _qt_runs()
    yield
    assert ran_before or not _qt_runs(), "a test of core started Qt"
