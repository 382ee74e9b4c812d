"""Tab and Shift+Tab go through every page in the order in which it is read, and never get stuck."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.widgets.selection import Place
from app.window.header import Workspace
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.songs import lamplighters_waltz, night_ferry
from tests.journeys.screens import MOMENTS, settle

PAGES = sorted(name for name in MOMENTS if not name.endswith("_large_text"))
MOST = 400
SLACK = 6
"""Pixels by which neighbours on a line may overlap."""


def walked(opened: OpenWindow, key: Qt.Key) -> list[QWidget]:
    """What Tab comes to, from where the keyboard's attention is until it comes there again."""
    start = QApplication.focusWidget()
    assert start is not None, "nothing has the keyboard's attention"
    found = [start]
    for _ in range(MOST):
        QTest.keyClick(found[-1], key, Qt.KeyboardModifier.NoModifier)
        QApplication.processEvents()
        now = QApplication.focusWidget()
        assert now is not None
        assert now.window() is opened.window
        assert now is not found[-1], f"{called(now)} keeps {key.name}"
        if now is start:
            return found
        assert now not in found, f"{key.name} goes round and round from {called(now)}, and never to {called(start)}"
        found.append(now)
    raise AssertionError("Tab comes to no end")


def called(widget: QWidget) -> str:
    return widget.accessibleName() or getattr(widget, "text", str)() or type(widget).__name__


def parents(widget: QWidget) -> list[QWidget]:
    found = [widget]
    while (parent := found[-1].parentWidget()) is not None and not found[-1].isWindow():
        found.append(parent)
    return found[::-1]


def comes_before(later: QWidget, earlier: QWidget) -> bool:
    """Whether `later` is to be read before `earlier`: it stands above it or left of it, in what holds both."""
    one, other = parents(earlier), parents(later)
    depth = 0
    while depth < min(len(one), len(other)) and one[depth] is other[depth]:
        depth += 1
    if depth in (len(one), len(other)):
        return depth == len(other)  # what holds something is read before it
    a, b = (QRect(chain[depth].mapTo(one[depth - 1], QPoint()), chain[depth].size()) for chain in (one, other))
    above = b.bottom() <= a.top() + SLACK and b.left() < a.right() - SLACK
    left = b.right() <= a.left() + SLACK and b.top() < a.bottom() - SLACK
    return above or left


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("name", PAGES)
def test_tab_follows_the_reading_order_both_ways(name: str, tmp_path: Path) -> None:
    with open_window(night_ferry(), tmp_path) as opened:
        MOMENTS[name](opened)
        opened.window.activateWindow()
        settle()
        opened.slow_work.close()  # what it finds out would come and go on the way
        QTest.keyClick(QApplication.focusWidget() or opened.window, Qt.Key.Key_Tab)  # a field over the sheet goes away
        settle()
        forth = walked(opened, Qt.Key.Key_Tab)
        back = walked(opened, Qt.Key.Key_Backtab)
        around = [*forth, forth[0]]
        backwards = [(called(one), called(two)) for one, two in pairwise(around) if comes_before(two, one)]
        names = [called(widget) for widget in forth]
    assert back[1:] == forth[:0:-1], "the way back is another one"
    assert len(backwards) == 1, f"once round there is one way back to the beginning: {backwards} in {names}"


def test_rows_that_came_later_are_met_where_they_stand(opened: OpenWindow) -> None:
    opened.document.take(lamplighters_waltz())
    opened.window.activateWindow()
    opened.window.selection.select(Place(5))
    opened.window.page.sheet.setFocus()
    settle()
    names = [called(widget) for widget in walked(opened, Qt.Key.Key_Tab)]
    wanted = ("Cut after bar 16", "Play part 5", "Propose cuts for the whole song")
    cut, play, propose = (names.index(name) for name in wanted)
    assert cut < play < propose


def test_tab_stops_at_the_chosen_of_several_and_the_arrow_keys_go_on(opened: OpenWindow) -> None:
    opened.window.activateWindow()
    opened.window.show_workspace(Workspace.LISTEN)
    settle()
    met = walked(opened, Qt.Key.Key_Tab)
    workspaces, hands = opened.window.header.buttons, opened.window.page.listen_strip.hands
    assert [one for one in met if one in workspaces.values()] == [workspaces[Workspace.LISTEN]]
    assert [one for one in met if one in hands.values()] == [hands["both"]]
    hands["both"].setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(hands["both"], Qt.Key.Key_Left)
    assert QApplication.focusWidget() is hands["left"]
    assert opened.settings.settings.hands == "left"
    workspaces[Workspace.LISTEN].setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(workspaces[Workspace.LISTEN], Qt.Key.Key_Left)
    assert opened.window.workspace is Workspace.DRAFT
    opened.slow_work.close()


def test_what_tab_comes_to_is_scrolled_into_sight(opened: OpenWindow) -> None:
    opened.window.resize(900, 600)
    opened.window.activateWindow()
    opened.window.show_settings()
    settle()
    for widget in walked(opened, Qt.Key.Key_Tab):
        widget.setFocus(Qt.FocusReason.OtherFocusReason)
        QTest.keyClick(widget, Qt.Key.Key_Tab)
        now = QApplication.focusWidget()
        assert now is not None
        assert not now.visibleRegion().isEmpty(), f"{called(now)} is out of sight"
    opened.slow_work.close()
