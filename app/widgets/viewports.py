"""Grounds for what scrolls, made here.

Asked for the ground that an area makes by itself, Qt for Python first makes every kind of widget that it could be, with
all their names: a twentieth of a start. One that was made here is known.
"""

from __future__ import annotations

from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QScrollArea, QWidget


def lay_ground(area: QScrollArea, *, filled: bool) -> QWidget:
    """Give an area the ground that its content moves on, as Qt would, and return it.

    Args:
        area: what scrolls; has no content yet.
        filled: whether the ground is painted, or lets through what the area lies on.
    """
    ground = QWidget()
    ground.setObjectName("qt_scrollarea_viewport")
    ground.setBackgroundRole(QPalette.ColorRole.NoRole)
    ground.setAutoFillBackground(filled)
    area.setViewport(ground)
    return ground
