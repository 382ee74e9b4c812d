"""A row in pixels, painted once and kept; where a few of its shapes change, only their places are painted anew."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPixmap

from app.widgets.painting import bounds_of, paint, repaint
from core.drawing.colours import Theme
from core.drawing.shapes import Picture, Rectangle, Shape

AROUND_CARD: Final = 5.0
"""Pixels of the strips along a card's sides in which its edge and its round corners lie."""
AROUND: Final = 1.0
"""Pixels painted anew around a changed shape, which soft edges may reach."""
MOST_CHANGED: Final = 0.3
"""Where more than this share of a picture has changed, all of it is painted anew."""


class RowPixels:
    """The pixels of one row."""

    def __init__(self) -> None:
        self._picture: Picture | None = None
        self._pixmap: QPixmap | None = None
        self._zoom = 1.0
        self._changed: list[QRectF] = []

    @property
    def is_painted(self) -> bool:
        """Whether there are pixels, if perhaps with places to be painted anew."""
        return self._pixmap is not None

    def forget(self) -> None:
        """Let go of the pixels; all of them are painted anew when they are wanted."""
        self._pixmap, self._changed = None, []

    def show(self, picture: Picture, zoom: float) -> list[QRectF] | None:
        """Show another picture.

        Args:
            picture: what is shown from now on.
            zoom: 1.0 for 100 %.

        Returns:
            The places that look otherwise than before, in the picture's pixels; None where that is all of it.
        """
        before, self._picture = self._picture, picture
        same_size = before is not None and (before.width, before.height) == (picture.width, picture.height)
        if before is not None and same_size and self._pixmap is not None and zoom == self._zoom:
            places = changed_places(before, picture)
            whole = picture.width * picture.height
            if sum(place.width() * place.height() for place in places) < MOST_CHANGED * whole:
                self._changed += places
                return places
        self._zoom = zoom
        self.forget()
        return None

    def painted(self, size: QSize, ratio: float, theme: Theme) -> QPixmap:
        """The picture in pixels of the screen.

        Args:
            size: of the widget.
            ratio: pixels of the screen to one of the widget.
            theme: the colours; after a change of them everything is to be forgotten first.
        """
        assert self._picture is not None, "something is shown before it is painted"
        if self._pixmap is None or self._pixmap.devicePixelRatio() != ratio:
            self._pixmap, self._changed = QPixmap(round(size.width() * ratio), round(size.height() * ratio)), []
            self._pixmap.setDevicePixelRatio(ratio)
            self._pixmap.fill(Qt.GlobalColor.transparent)
            inside = QPainter(self._pixmap)
            inside.scale(self._zoom, self._zoom)
            paint(inside, self._picture, theme)
            inside.end()
        elif self._changed:
            places = [place.adjusted(-AROUND, -AROUND, AROUND, AROUND) for place in self._changed]
            repaint(self._pixmap, self._picture, self._zoom, theme, places)
            self._changed = []
        return self._pixmap


def changed_places(before: Picture, after: Picture) -> list[QRectF]:
    """The places in which two pictures of one size differ."""
    places: list[QRectF] = []
    for shape in set(before.shapes).symmetric_difference(after.shapes):
        places.extend(_strips(shape) if _is_card(shape) else (bounds_of(shape),))
    return places


def _is_card(shape: Shape) -> bool:
    return (
        isinstance(shape, Rectangle)
        and shape.edge is not None
        and shape.subject is not None
        and shape.subject.kind == "part"
    )


def _strips(card: Shape) -> Sequence[QRectF]:
    """Where a card's edge lies; its ground is the same whether it is selected or not."""
    box = bounds_of(card)
    return (
        QRectF(box.left(), box.top(), box.width(), AROUND_CARD),
        QRectF(box.left(), box.bottom() - AROUND_CARD, box.width(), AROUND_CARD),
        QRectF(box.left(), box.top(), AROUND_CARD, box.height()),
        QRectF(box.right() - AROUND_CARD, box.top(), AROUND_CARD, box.height()),
    )
