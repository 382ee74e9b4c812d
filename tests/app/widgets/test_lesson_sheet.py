"""The sheet of a long song: rows are laid out when they are seen."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QDeadlineTimer, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.widgets.part_row import PartRow
from app.widgets.row_content import RowLook, Shown
from app.widgets.selection import Kind, Place
from core.drawing.shapes import Subject
from core.drawing.sheet_style import SheetStyle
from core.edits.join_parts import join_parts
from core.edits.rename_note import rename_note
from core.edits.set_facts import set_tempo
from core.session.timing import LessonSettings
from core.song.pitch import NoteName
from core.song.song import Song
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.sheet_hands import SheetHands
from tests.helpers.songs import night_ferry


def long_song(times: int = 20) -> Song:
    song = night_ferry()
    parts = song.parts * times
    return replace(song, parts=parts, playing_order=tuple(range(1, len(parts) + 1)))


def test_rows_out_of_sight_wait_until_they_are_seen(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(long_song(), tmp_path) as opened:
        rows = opened.window.page.sheet.rows
        assert len(rows) == 60
        assert sum(not row.is_stale for row in rows) < 10
        opened.window.selection.select(Place(50, Kind.NOTE, 2))
        assert not rows[49].is_stale
        seen = opened.window.page.sheet.viewport().rect()
        place = rows[49].mapTo(opened.window.page.sheet.viewport(), rows[49].rect().center())
        assert seen.contains(place)
        assert sum(not row.is_stale for row in rows) < 20


def test_rows_never_overlap_once_they_have_been_seen(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(long_song(), tmp_path, (900, 700)) as opened:
        bar = opened.window.page.sheet.verticalScrollBar()
        for place in range(0, bar.maximum() + 1, 300):
            bar.setValue(place)
            QApplication.processEvents()
        rows = opened.window.page.sheet.rows
        for above, below in pairwise(rows):
            assert below.y() >= above.y() + above.height()


def test_a_change_in_one_part_lays_out_its_row_alone(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(long_song(), tmp_path) as opened:
        opened.window.selection.select(Place(2))
        rows = opened.window.page.sheet.rows
        layouts = {row.number: row.layout_of_row for row in rows if not row.is_stale}
        opened.document.apply(lambda song: rename_note(song, 2, 1, NoteName("A")), "name of a note")
        changed = [number for number, layout in layouts.items() if rows[number - 1].layout_of_row is not layout]
        assert changed == [2]


def test_a_change_in_one_part_is_passed_on_to_its_row_alone(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(long_song(), tmp_path) as opened:
        opened.window.selection.select(Place(2))
        before = Shown(RowLook(SheetStyle(40.0), 1.0, LessonSettings()), opened.song, Place(2), None)
        opened.document.apply(lambda song: rename_note(song, 2, 1, NoteName("A")), "name of a note")
        assert replace(before, song=opened.song).rows_unlike(before) == [2]
        assert replace(before, place=Place(7)).rows_unlike(before) == [2, 7]
        assert replace(before, playing=Subject("play-part", 3)).rows_unlike(before) == [3]
        assert replace(before, song=set_tempo(before.song, 99)).rows_unlike(before) is None
        assert replace(before, song=join_parts(before.song, 4)).rows_unlike(before) is None


def test_rows_just_below_the_screen_are_laid_out_before_they_are_seen(opened: OpenWindow) -> None:
    song = opened.song
    opened.document.take(replace(song, parts=tuple(replace(part) for part in song.parts * 12), playing_order=()))
    sheet = opened.window.page.sheet
    patience = QDeadlineTimer(10_000)
    bottom = sheet.viewport().height()
    next_below = next(row for row in sheet.rows if row.y() > bottom)
    while next_below.is_stale and not patience.hasExpired():
        QApplication.processEvents()
    assert not next_below.is_stale
    assert sheet.rows[-1].is_stale


def gaps_between(rows: list[PartRow]) -> set[int]:
    """Pixels between each row and the next."""
    return {below.y() - above.y() - above.height() for above, below in pairwise(rows)}


def test_rows_out_of_sight_stay_until_a_dragged_note_is_let_go(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(long_song(), tmp_path) as opened:
        hands, rows = SheetHands(opened), opened.window.page.sheet.rows
        QApplication.processEvents()
        last, tall = rows[-1].y(), rows[1].height()
        gap = gaps_between(rows)
        assert len(gap) == 1
        hands.drag(rows[1], hands.point("note", 2), 0, -300, drop=False)
        assert rows[1].height() > tall
        assert rows[-1].y() == last
        assert gaps_between(rows[:3]) == gap
        hands.press(Qt.Key.Key_Escape)
        assert rows[1].height() == tall
        assert gaps_between(rows) == gap


def test_rows_that_come_into_sight_during_a_drag_lie_below_one_another(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(long_song(), tmp_path) as opened:
        hands, sheet = SheetHands(opened), opened.window.page.sheet
        QApplication.processEvents()
        gap = gaps_between(sheet.rows)
        hands.drag(sheet.rows[1], hands.point("note", 2), 0, -300, drop=False)
        assert gaps_between(sheet.rows) != gap
        sheet.verticalScrollBar().setValue(sheet.verticalScrollBar().maximum())
        assert gaps_between(sheet.rows) == gap
        hands.press(Qt.Key.Key_Escape)
        assert gaps_between(sheet.rows) == gap


def test_rows_lie_below_one_another_once_a_dragged_note_is_dropped(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(long_song(), tmp_path) as opened:
        hands, rows = SheetHands(opened), opened.window.page.sheet.rows
        QApplication.processEvents()
        gap, song = gaps_between(rows), opened.song
        hands.drag_subject("note", 2, 0, 0, -300)
        assert opened.song != song
        assert gaps_between(rows) == gap


def test_a_row_that_grows_out_of_sight_in_a_drag_is_not_covered_by_the_next(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(long_song(), tmp_path, (1280, 720)) as opened:
        hands, sheet = SheetHands(opened), opened.window.page.sheet
        QApplication.processEvents()
        handle, height = sheet.cuts[0], sheet.rows[1].height()
        hands.drag(handle, handle.rect().center(), -120, 0, drop=False)
        assert sheet.rows[1].height() > height, "the part wraps"
        assert len(gaps_between(sheet.rows[:3])) == 1
        assert len(gaps_between(sheet.rows)) > 1
        QTest.keyClick(handle, Qt.Key.Key_Escape)
        assert len(gaps_between(sheet.rows)) == 1
