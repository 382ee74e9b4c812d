"""Shows a picture of `core.drawing`, as large as its room allows."""

from __future__ import annotations

from typing import Final

from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.widgets.painting import paint
from app.widgets.themes import Themes
from core.drawing.shapes import Picture

LARGEST_SCALE: Final = 2.4


class PictureView(QWidget):
    """A picture, or nothing."""

    def __init__(self, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._themes = themes
        self._picture: Picture | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        themes.changed.connect(self.update)

    def show_picture(self, picture: Picture | None) -> None:
        """Show another picture, or nothing."""
        self._picture = picture
        self.setAccessibleName(picture.description if picture else "")
        self.update()

    @property
    def scale(self) -> float:
        """How much larger than 100 % the picture is shown."""
        if self._picture is None:
            return 1.0
        return min(self.width() / self._picture.width, self.height() / self._picture.height, LARGEST_SCALE)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the picture at the left, in the middle of the height."""
        if self._picture is None:
            return
        painter = QPainter(self)
        scale = self.scale
        painter.translate(0, max(0.0, (self.height() - self._picture.height * scale) / 2))
        painter.scale(scale, scale)
        paint(painter, self._picture, self._themes.theme)
        painter.end()
