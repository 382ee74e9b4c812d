"""The list of songs: read in the background, filtered by typing, sorted, opened."""

from __future__ import annotations

import os
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.songs.song_entry import describe_lesson, lessons_in
from app.songs.song_table import EFFORT, PARTS, TITLE
from app.songs.songs_view import SongsView
from app.window.header import Workspace
from core.formats.lesson_file import LessonFile
from core.song.song import Song
from tests.helpers.open_window import OpenWindow
from tests.helpers.songs import DEMO_SONGS, night_ferry


def write(song: Song, path: Path) -> None:
    path.write_bytes(LessonFile().write(path.name, song))


def fill(folder: Path) -> None:
    for name, song in DEMO_SONGS.items():
        write(song(), folder / f"{name}.lesson")
    (folder / "broken.lesson").write_text('{"format": "phrasebench lesson", ', encoding="utf-8")
    (folder / "notes.txt").write_text("no song", encoding="utf-8")


def titles(view: SongsView) -> list[str]:
    return [str(view.filtered.index(row, TITLE).data()) for row in range(view.filtered.rowCount())]


def listed(opened: OpenWindow, folder: Path, qtbot: QtBot) -> SongsView:
    fill(folder)
    opened.settings.change(folder=str(folder))
    opened.window.show_workspace(Workspace.SONGS)
    view = opened.window.songs
    qtbot.waitUntil(lambda: not view.is_reading and view.table.rowCount() == 4, timeout=20_000)
    return view


def test_a_lesson_is_described_by_what_is_in_it(tmp_path: Path) -> None:
    path = tmp_path / "ferry.lesson"
    write(night_ferry(), path)
    os.utime(path, (1_700_000_000, 1_700_000_000))
    entry = describe_lesson(str(path))
    assert (entry.title, entry.key, entry.parts) == ("Night Ferry", "E Dorian", 3)
    assert entry.chords == ("Em", "A", "G", "D")
    assert 0 < entry.effort < 100
    assert entry.seconds is not None
    assert entry.changed == 1_700_000_000


def test_a_file_that_cannot_be_read_is_listed_with_its_trouble(tmp_path: Path) -> None:
    path = tmp_path / "broken.lesson"
    path.write_text("{", encoding="utf-8")
    entry = describe_lesson(str(path))
    assert entry.title == "broken"
    assert "broken.lesson" in entry.trouble
    assert "no such file" in describe_lesson(str(tmp_path / "gone.lesson")).trouble


def test_only_lesson_files_of_the_folder_itself_are_listed(tmp_path: Path) -> None:
    fill(tmp_path)
    (tmp_path / "inner").mkdir()
    write(night_ferry(), tmp_path / "inner" / "other.lesson")
    names = [Path(path).name for path in lessons_in(str(tmp_path))]
    assert names == ["broken.lesson", "heron_at_the_sluice.lesson", "lamplighters_waltz.lesson", "night_ferry.lesson"]


def test_typing_filters_by_title_key_and_chord(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    QTest.keyClicks(view.list, "d")
    QTest.keyClicks(view.filter, "orian")
    assert titles(view) == ["Night Ferry"]
    view.filter.setText("f#m heron")
    assert titles(view) == []
    view.filter.setText("F♯m heron")
    assert titles(view) == ["Heron at the Sluice"]
    QTest.keyClick(view.filter, Qt.Key.Key_Escape)
    assert len(titles(view)) == 4


def test_songs_are_sorted_by_any_column(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    assert titles(view) == ["broken", "Heron at the Sluice", "Night Ferry", "The Lamplighter's Waltz"]
    view.list.sortByColumn(PARTS, Qt.SortOrder.DescendingOrder)
    assert titles(view)[0] == "The Lamplighter's Waltz"
    view.list.sortByColumn(EFFORT, Qt.SortOrder.AscendingOrder)
    efforts = [
        view.table.entry(view.filtered.mapToSource(view.filtered.index(row, 0)).row()).effort for row in range(4)
    ]
    assert efforts == sorted(efforts)


def test_a_song_is_opened_from_the_keys_and_shown_in_draft(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    view.filter.setText("heron")
    QTest.keyClick(view.list, Qt.Key.Key_Return)
    assert opened.song.title == "Heron at the Sluice"
    assert opened.window.workspace is Workspace.DRAFT
    assert opened.document.path == tmp_path / "heron_at_the_sluice.lesson"


def test_the_demo_lessons_are_listed_where_no_folder_was_chosen(opened: OpenWindow, qtbot: QtBot) -> None:
    opened.window.show_workspace(Workspace.SONGS)
    view = opened.window.songs
    qtbot.waitUntil(lambda: view.table.rowCount() == 3, timeout=20_000)
    assert "Night Ferry" in titles(view)


def test_a_folder_that_is_gone_is_said(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    opened.settings.change(folder=str(tmp_path / "gone"))
    opened.window.show_workspace(Workspace.SONGS)
    view = opened.window.songs
    qtbot.waitUntil(lambda: "no such file" in view.count.text(), timeout=20_000)
