"""The order in which a page is read, from its layouts; Tab follows it.

Qt lets Tab follow the order in which controls were made. That is another one wherever controls come later, such as
the rows of a song that has grown, or a panel that is made when it is first wanted.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol, runtime_checkable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QButtonGroup,
    QComboBox,
    QDockWidget,
    QGridLayout,
    QLayout,
    QLineEdit,
    QMainWindow,
    QPlainTextEdit,
    QScrollArea,
    QWidget,
)

WHOLE = (QAbstractItemView, QAbstractSpinBox, QComboBox, QLineEdit, QPlainTextEdit)
"""Controls whose inner widgets are no stops of their own."""


@runtime_checkable
class WalkedByArrows(Protocol):
    """Many controls through which the arrow keys go; Tab stops at one of them."""

    @property
    def tab_stop(self) -> QWidget | None:
        """The one at which Tab stops."""


def move_focus(window: QMainWindow, *, forwards: bool) -> bool:
    """Give the keyboard's attention to the next control in reading order, or to the one before; whether there is one.

    From the last one it goes on to the first.
    """
    now = QApplication.focusWidget()
    stops = [stop for stop in tab_stops(window, now) if stop.isEnabled()]
    if now is None or now not in stops or len(stops) == 1:
        return False
    target = stops[(stops.index(now) + (1 if forwards else -1)) % len(stops)]
    reason = Qt.FocusReason.TabFocusReason if forwards else Qt.FocusReason.BacktabFocusReason
    target.setFocus(reason)
    _bring_into_sight(target)
    return True


def tab_stops(window: QMainWindow, now: QWidget | None = None) -> list[QWidget]:
    """The controls at which Tab stops, in reading order; `now` is one of them wherever it is."""
    return list(_stops_in(window, now))


def _stops_in(widget: QWidget, now: QWidget | None) -> Iterator[QWidget]:
    if not widget.isVisible():
        return
    if _is_stop(widget) or widget is now:
        yield now if now is not None and isinstance(widget, WHOLE) and widget.isAncestorOf(now) else widget
    if isinstance(widget, WHOLE):
        return
    if isinstance(widget, WalkedByArrows):
        stop = now if now is not None and widget.isAncestorOf(now) else widget.tab_stop
        if stop is not None:
            yield stop
        return
    for child in _children(widget):
        yield from _stops_in(child, now)


def _is_stop(widget: QWidget) -> bool:
    """Whether Tab stops here: of buttons of which one is always chosen, at the chosen one."""
    if isinstance(widget, QAbstractButton) and (group := widget.group()) is not None and _chooses(group):
        return widget.isChecked()
    return bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus) and widget.focusProxy() is None


def _chooses(group: QButtonGroup) -> bool:
    return group.exclusive() and group.checkedButton() is not None


def _children(widget: QWidget) -> list[QWidget]:
    """The widgets that lie directly in another: those that are laid out, then those that are placed by hand."""
    if isinstance(widget, QScrollArea):
        return [inner] if (inner := widget.widget()) is not None else []
    if isinstance(widget, QMainWindow):
        docks = widget.findChildren(QDockWidget, options=Qt.FindChildOption.FindDirectChildrenOnly)
        return [*docks, *filter(None, (widget.centralWidget(),))]
    if isinstance(widget, QDockWidget):
        return [*filter(None, (widget.titleBarWidget(), widget.widget()))]
    layout = widget.layout()
    placed = list(_laid_out(layout)) if layout is not None else []
    known = set(placed)
    loose = [child for child in widget.children() if isinstance(child, QWidget) and child not in known]
    loose.sort(key=lambda child: (child.y(), child.x()))
    return [*placed, *(child for child in loose if not child.isWindow())]


def _laid_out(layout: QLayout) -> Iterator[QWidget]:
    places = list(range(layout.count()))
    if isinstance(layout, QGridLayout):
        places.sort(key=lambda place: tuple(layout.getItemPosition(place))[:2])  # type: ignore[arg-type]  # the stub says object
    for place in places:
        item = layout.itemAt(place)
        if item is None:
            continue
        if (widget := item.widget()) is not None:
            yield widget
        elif (inner := item.layout()) is not None:
            yield from _laid_out(inner)


def _bring_into_sight(widget: QWidget) -> None:
    """Scroll every area in which a widget lies so that it is seen."""
    around = widget.parentWidget()
    while around is not None:
        if isinstance(around, QScrollArea):
            around.ensureWidgetVisible(widget)
        around = around.parentWidget()
