"""The list of songs on the screen: titles are read whole in any width and size of text, and ten thousand scroll."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import QApplication

from app.songs.song_entry import SongEntry, describe_lesson
from app.songs.song_list import CELL_MARGIN, SongList, with_breaks
from app.songs.song_table import CHANGED, CHORDS, KEY, TITLE, SongTable
from core.formats.lesson_file import LessonFile
from tests.helpers.open_window import USUAL_PERCENT, themes_of
from tests.helpers.songs import night_ferry

LONG = "Donaudampfschifffahrtsgesellschaftskapitänslied, in a quiet arrangement for two hands and a patient listener"
TALL = 10_000


@pytest.fixture
def entry(tmp_path: Path) -> SongEntry:
    path = tmp_path / "ferry.lesson"
    path.write_bytes(LessonFile().write(path.name, night_ferry()))
    return describe_lesson(str(path))


@pytest.fixture
def listed(qapp: QApplication) -> Iterator[SongList]:
    table = SongTable()
    shown = SongList(table)
    shown.resize(1200, 500)
    shown.show()
    qapp.processEvents()
    yield shown
    shown.close()
    shown.deleteLater()
    table.deleteLater()
    themes_of(qapp).scale_text(USUAL_PERCENT)


def fill(listed: SongList, entry: SongEntry, titles: list[str]) -> None:
    table = listed.model()
    assert isinstance(table, SongTable)
    table.exchange(replace(entry, path=f"/songs/{number}.lesson", title=title) for number, title in enumerate(titles))
    settle()


def settle() -> None:
    for _ in range(3):
        QApplication.processEvents()


def rows_in_sight(listed: SongList) -> list[int]:
    bottom = listed.viewport().height()
    return [row for row in range(listed.model().rowCount()) if 0 <= listed.rowViewportPosition(row) < bottom]


def cut_off(listed: SongList) -> list[str]:
    """Cells in sight whose lines are higher than their row or wider than their column."""
    letters, found = listed.fontMetrics(), []
    for row in rows_in_sight(listed):
        for column in (TITLE, KEY, CHORDS, CHANGED):
            room = listed.columnWidth(column) - CELL_MARGIN
            text = str(listed.model().index(row, column).data())
            broken = with_breaks(text, letters, room)
            lines = letters.boundingRect(QRect(0, 0, room, TALL), Qt.TextFlag.TextWordWrap.value, broken)
            if lines.height() > listed.rowHeight(row) or lines.width() > room:
                found.append(text)
    return found


@pytest.mark.parametrize("width", [700, 900, 1240, 1880])
@pytest.mark.parametrize("percent", [100, 125, 150, 175, 200])
def test_every_title_is_read_whole(
    percent: int, width: int, listed: SongList, entry: SongEntry, qapp: QApplication
) -> None:
    themes_of(qapp).scale_text(percent)
    listed.resize(width, 500)
    fill(listed, entry, [LONG, "The Lamplighter's Waltz", "Night Ferry"] * 3)
    assert rows_in_sight(listed)
    assert cut_off(listed) == []


def test_short_titles_take_a_line_and_long_ones_more(listed: SongList, entry: SongEntry) -> None:
    fill(listed, entry, ["A Night on the Ferry", LONG])
    assert listed.rowHeight(0) == listed.verticalHeader().defaultSectionSize() < listed.rowHeight(1)


def test_a_column_that_was_dragged_stays_as_it_is(listed: SongList, entry: SongEntry) -> None:
    fill(listed, entry, ["Night Ferry"])
    listed.horizontalHeader().resizeSection(KEY, 222)
    listed.resize(1190, 480)
    settle()
    assert listed.columnWidth(KEY) == 222


def test_ten_thousand_rows_are_shown_and_scrolled_at_once(
    listed: SongList, entry: SongEntry, qapp: QApplication
) -> None:
    themes_of(qapp).scale_text(200)
    titles = [f"{number} {LONG}" for number in range(10_000)]
    began = perf_counter()
    fill(listed, entry, titles)
    filled = perf_counter() - began
    bar = listed.verticalScrollBar()
    began = perf_counter()
    for place in range(0, 10_000, 500):
        bar.setValue(place)
        qapp.processEvents()
        assert cut_off(listed) == []
    scrolled = perf_counter() - began
    listed.selectRow(9_999)
    settle()
    assert 9_999 in rows_in_sight(listed)
    heights = [listed.rowHeight(row) for row in range(10_000)]
    usual = listed.verticalHeader().defaultSectionSize()
    assert sum(height > usual for height in heights) < 500, "only what has been in sight is measured"
    assert filled < 1.5, "a wide bound for a busy machine: about 0.2 s on an idle one"
    assert scrolled < 3.0, "twenty times a screenful: about 0.4 s on an idle one"
