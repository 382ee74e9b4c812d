"""Rows of which only what has changed is painted anew look as if they had been painted afresh."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.listen.piece import Piece
from app.widgets.painting import paint
from app.widgets.part_row import PartRow
from app.widgets.row_pixels import RowPixels, changed_places
from app.widgets.selection import Kind, Place
from core.drawing.shapes import Circle, Picture, Rectangle, Role, Subject
from tests.helpers.open_window import OpenWindow, themes_of
from tests.helpers.sheet_hands import SheetHands

WALK = (
    Place(2, Kind.NOTE, 0),
    Place(2, Kind.NOTE, 1),
    Place(2, Kind.CHORD, 1),
    Place(2, Kind.NOTE, 4),
    Place(1, Kind.NOTE, 6),
    Place(1),
    Place(2),
    Place(2, Kind.CHORD, 0),
    Place(3, Kind.NOTE, 2),
)
CARD = Rectangle(0.5, 0.5, 99, 49, Role.CARD, Role.CARD_EDGE, 1.0, 8.0, Subject("part", 1))
NOTHING_FAR = 12
"""Of 255: soft edges may differ by so much where a shape was cut in two."""


def afresh(row: PartRow, zoom: float) -> QImage:
    image = QImage(row.size(), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0)
    painter = QPainter(image)
    painter.scale(zoom, zoom)
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    paint(painter, row.picture, themes_of(application).theme)
    painter.end()
    return image


def painted(row: PartRow) -> QImage:
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    pixmap = row._pixels.painted(row.size(), row.devicePixelRatioF(), themes_of(application).theme)
    return pixmap.toImage().convertToFormat(QImage.Format.Format_ARGB32_Premultiplied)


def differing(one: QImage, other: QImage) -> int:
    assert one.size() == other.size()
    first, second = bytes(one.constBits()), bytes(other.constBits())
    return sum(abs(a - b) > NOTHING_FAR for a, b in zip(first, second, strict=True))


@pytest.mark.parametrize("zoom", [100, 130])
def test_rows_look_as_if_painted_afresh_wherever_the_selection_goes(opened: OpenWindow, zoom: int) -> None:
    hands = SheetHands(opened)
    hands.sheet.set_zoom(zoom)
    for place in WALK:
        opened.window.selection.select(place)
        QApplication.processEvents()
        for number in (1, 2, 3):
            row = hands.row(number)
            assert differing(painted(row), afresh(row, row._zoom)) == 0, f"{place}, {number}"


def test_a_row_looks_as_if_painted_afresh_after_every_change(opened: OpenWindow) -> None:
    hands = SheetHands(opened)
    hands.click("note", 2, 1)
    for key in "dfga":
        hands.type(key)
        QApplication.processEvents()
        row = hands.row(2)
        assert differing(painted(row), afresh(row, row._zoom)) == 0
    opened.window.player.play(Piece("part", 2))
    QApplication.processEvents()
    row = hands.row(2)
    assert differing(painted(row), afresh(row, row._zoom)) == 0


def test_a_step_of_the_selection_changes_little_of_a_row(opened: OpenWindow) -> None:
    opened.window.selection.select(Place(2, Kind.NOTE, 0))
    before = opened.window.page.sheet.rows[1].picture
    opened.window.selection.select(Place(2, Kind.NOTE, 1))
    after = opened.window.page.sheet.rows[1].picture
    places = changed_places(before, after)
    assert places
    assert sum(place.width() * place.height() for place in places) < 0.1 * after.width * after.height


def test_of_a_card_that_is_selected_only_the_edge_is_painted_anew() -> None:
    chosen = Rectangle(1.0, 1.0, 98, 48, Role.CARD, Role.SELECTED, 2.0, 8.0, Subject("part", 1))
    places = changed_places(Picture(100, 50, (CARD,)), Picture(100, 50, (chosen,)))
    assert all(min(place.width(), place.height()) <= 6 for place in places)
    assert any(place.contains(QRectF(20, 0.5, 40, 1)) for place in places)


def test_pictures_of_another_size_or_with_much_that_differs_are_painted_whole() -> None:
    pixels = RowPixels()
    assert pixels.show(Picture(100, 50, (CARD,)), 1.0) is None, "nothing was shown before"
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    pixels.painted(QSize(100, 50), 1.0, themes_of(application).theme)
    dot = Circle(20, 20, 5, Role.INK)
    found = pixels.show(Picture(100, 50, (CARD, dot)), 1.0)
    assert found is not None
    assert len(found) == 1
    big = Circle(50, 25, 24, Role.INK)
    assert pixels.show(Picture(100, 50, (CARD, big)), 1.0) is None
    assert pixels.show(Picture(100, 60, (CARD,)), 1.0) is None
    assert not pixels.is_painted
