"""Every page as a screen reader and a keyboard meet it: each control has a name, a kind, and a way to it with Tab."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QMainWindow, QScrollArea, QWidget

from app.widgets.spoken_roles import install_spoken_roles
from tests.helpers.open_window import open_window
from tests.helpers.songs import night_ferry
from tests.journeys.screens import MOMENTS

NAMELESS_KINDS = (QAccessible.Role.NoRole, QAccessible.Role.Client)
"""What Qt says of a widget that it knows nothing about."""
PAGES = sorted(name for name in MOMENTS if not name.endswith("_large_text"))


def controls(window: QMainWindow) -> list[QWidget]:
    """Everything in sight that can have the keyboard's attention."""
    return [
        widget
        for widget in window.findChildren(QWidget)
        if widget.isVisible()
        and widget.focusPolicy() is not Qt.FocusPolicy.NoFocus
        and not isinstance(widget.parentWidget(), QAbstractSpinBox)  # the line inside is the field's own
    ]


def spoken(widget: QWidget) -> str:
    """What it is called: Qt itself calls a closed list by what is chosen in it, and says the name beside it."""
    return widget.accessibleName() or QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)


def nameless(page: QMainWindow) -> list[str]:
    return [type(widget).__name__ for widget in controls(page) if not spoken(widget).strip()]


def kindless(page: QMainWindow) -> list[str]:
    kinds = {widget: QAccessible.queryAccessibleInterface(widget).role() for widget in controls(page)}
    return [spoken(widget) for widget, kind in kinds.items() if kind in NAMELESS_KINDS]


def called_alike(page: QMainWindow) -> list[tuple[str, str]]:
    called = Counter(
        (spoken(widget), QAccessible.queryAccessibleInterface(widget).role().name) for widget in controls(page)
    )
    return [name for name, count in called.items() if count > 1]


def out_of_reach(page: QMainWindow) -> list[str]:
    """What Tab does not come to."""
    reached: set[QWidget] = set()
    widget = page.nextInFocusChain()
    while widget is not None and widget is not page and widget not in reached:
        reached.add(widget)
        widget = widget.nextInFocusChain()
    return [
        spoken(widget)
        for widget in controls(page)
        if widget.isEnabled()
        and not isinstance(widget, QScrollArea)
        and (widget not in reached or not widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
    ]


@pytest.mark.parametrize("name", PAGES)
def test_every_control_has_a_name_of_its_own_a_kind_and_a_way_to_it(
    name: str, tmp_path: Path, qapp: QApplication
) -> None:
    install_spoken_roles()
    QAccessible.setActive(True)
    try:
        with open_window(night_ferry(), tmp_path) as opened:
            MOMENTS[name](opened)
            qapp.processEvents()
            page = opened.window
            assert controls(page)
            found = {
                "nameless": nameless(page),
                "kindless": kindless(page),
                "called alike": called_alike(page),
                "out of reach": out_of_reach(page),
            }
    finally:
        QAccessible.setActive(False)
    assert {what: which for what, which in found.items() if which} == {}
