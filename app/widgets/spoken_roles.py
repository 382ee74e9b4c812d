"""What a screen reader calls the widgets that are drawn here: Qt can only name the kinds of its own.

A widget of ours says its kind in the attribute ``spoken_role``.
"""

from __future__ import annotations

from PySide6.QtCore import QObject
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QAccessibleWidget, QWidget

_spoken: dict[int, QAccessibleInterface] = {}
"""What stands for each widget, by the widget's identity, as long as it lives: Qt holds on to it without saying so."""
_installed: list[bool] = []


def install_spoken_roles() -> None:
    """Let screen readers ask for the kinds of the program's own widgets; once is enough."""
    if not _installed:
        QAccessible.installFactory(_interface_of)
        _installed.append(True)


def _interface_of(_kind: str, thing: QObject) -> QAccessibleInterface | None:
    role = getattr(thing, "spoken_role", None)
    if not isinstance(role, QAccessible.Role) or not isinstance(thing, QWidget):
        return None
    key = id(thing)
    _spoken[key] = QAccessibleWidget(thing, role)
    thing.destroyed.connect(lambda: _spoken.pop(key, None))
    return _spoken[key]
