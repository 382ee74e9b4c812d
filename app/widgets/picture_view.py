"""Shows a picture of `core.drawing`, as large as its room allows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.widgets.painting import paint
from app.widgets.themes import Themes
from core.drawing.shapes import Picture

LARGEST_SCALE: Final = 2.4


class PictureView(QWidget):
    """A picture, or nothing; of several that show the same, the one that can be shown largest."""

    def __init__(self, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._themes = themes
        self._pictures: tuple[Picture, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        themes.changed.connect(self.update)

    def show_picture(self, picture: Picture | None) -> None:
        """Show another picture, or nothing."""
        self.show_best((picture,) if picture else ())

    def show_best(self, pictures: Sequence[Picture]) -> None:
        """Show the one of several pictures that fits the room best."""
        self._pictures = tuple(pictures)
        self.setAccessibleName(pictures[0].description if pictures else "")
        self.update()

    def scale_of(self, picture: Picture) -> float:
        """How much larger than 100 % a picture would be shown."""
        return min(self.width() / picture.width, self.height() / picture.height, LARGEST_SCALE)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the picture at the left, in the middle of the height."""
        if not self._pictures:
            return
        picture = max(self._pictures, key=self.scale_of)
        scale = self.scale_of(picture)
        painter = QPainter(self)
        painter.translate(0, max(0.0, (self.height() - picture.height * scale) / 2))
        painter.scale(scale, scale)
        paint(painter, picture, self._themes.theme)
        painter.end()
