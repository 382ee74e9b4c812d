"""Songs found by chords, wishes in the list, rights before many plans are written, and an index that gets lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from app.songs import song_index
from app.songs.empty_lesson import new_lesson
from app.songs.song_entry import SongEntry, song_of_title
from app.songs.song_index import INDEX_NAME, SongIndex
from app.songs.song_table import CHORDS, STATE, TITLE, SongTable
from app.songs.songs_view import SHOWING_MILLISECONDS, SongsView
from app.window.header import Workspace
from core.formats.lesson_file import LessonFile
from core.song.song import Song
from core.song.standing import Standing
from tests.helpers.open_window import OpenWindow
from tests.helpers.songs import DEMO_SONGS


def write(song: Song, path: Path) -> None:
    path.write_bytes(LessonFile().write(path.name, song))


def titles(view: SongsView) -> list[str]:
    return [str(view.table.index(row, TITLE).data()) for row in range(view.table.rowCount())]


def shown(opened: OpenWindow, folder: Path, qtbot: QtBot, count: int) -> SongsView:
    """The list of a folder, once all of it has been read."""
    opened.settings.change(folder=str(folder))
    opened.window.show_workspace(Workspace.SONGS)
    view = opened.window.songs
    qtbot.waitUntil(lambda: not view.is_reading and view.table.known == count, timeout=20_000)
    return view


@pytest.fixture
def listed(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> SongsView:
    folder = tmp_path / "songs"
    folder.mkdir()
    for name, song in DEMO_SONGS.items():
        write(song(), folder / f"{name}.lesson")
    return shown(opened, folder, qtbot, 3)


def test_songs_are_found_by_all_of_some_chords(listed: SongsView) -> None:
    QTest.keyClicks(listed.chords.field, "Em, G")
    assert titles(listed) == ["Night Ferry"]
    listed.chords.field.setText("C#m")
    assert titles(listed) == ["Heron at the Sluice"]
    listed.chords.field.setText("A")
    assert titles(listed) == ["Heron at the Sluice", "Night Ferry"], "and not every song with an “a” in its words"
    listed.chords.field.setText("Em C#m")
    assert titles(listed) == []
    QTest.keyClick(listed.chords.field, Qt.Key.Key_Escape)
    assert len(titles(listed)) == 3


def test_songs_are_found_that_a_hand_with_few_chords_can_play(listed: SongsView) -> None:
    assert not listed.chords.others.isVisible(), "it says nothing while no chord is typed"
    QTest.keyClicks(listed.chords.field, "Em A G D C F")
    assert titles(listed) == []
    listed.chords.others.setCurrentIndex(1)
    assert titles(listed) == ["Night Ferry"]


def test_what_is_no_chord_yet_is_said_and_narrows_nothing(listed: SongsView) -> None:
    QTest.keyClicks(listed.chords.field, "Em Gq")
    assert titles(listed) == ["Night Ferry"]
    assert listed.count.text() == "“Gq” is no chord yet"


def test_chords_are_found_beyond_those_that_have_room_in_the_list() -> None:
    table = SongTable()
    names = tuple(f"{letter}{kind}" for letter in "CDEFG" for kind in ("", "m", "7"))
    table.exchange([SongEntry("/a.lesson", "Many", chords=names)])
    assert table.index(0, CHORDS).data() == " ".join(names[:8])
    assert table.entry(0).chords == names


def test_a_wish_says_in_the_list_who_asked_and_when(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    folder = tmp_path / "songs"
    folder.mkdir()
    bare = new_lesson()
    for name, day in (("Late", "2026-03-01"), ("Early", "2026-01-01"), ("Between", "2026-02-01")):
        standing = Standing("wanted", asked_by="Ada", asked_on=day)
        write(replace(bare, title=name, standing=standing), folder / f"{name}.lesson")
    view = shown(opened, folder, qtbot, 3)
    assert view.table.index(0, CHORDS).data() == "asked for by Ada, 2026-02-01"
    view.list.sortByColumn(STATE, Qt.SortOrder.AscendingOrder)
    assert titles(view) == ["Early", "Between", "Late"], "who asked first comes first"
    view.filter.setText("ada")
    assert len(titles(view)) == 3


def test_a_letter_with_ctrl_is_a_command_and_not_looked_for(listed: SongsView) -> None:
    listed.list.setFocus()
    QTest.keyClick(listed.list, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    assert len(listed.selected_paths()) == 3
    assert listed.filter.text() == ""
    QTest.keyClick(listed.list, Qt.Key.Key_H)
    assert listed.filter.text() == "h"


def test_a_list_that_is_being_read_stays_where_it_was_scrolled_to(
    opened: OpenWindow, tmp_path: Path, qtbot: QtBot
) -> None:
    view = shown(opened, tmp_path, qtbot, 0)
    entries = [SongEntry(f"/{number:03}.lesson", f"Song {number:03}") for number in range(100)]
    view._fresh = entries[::2]
    view._show_fresh()
    view.list.scrollTo(view.table.index(30, 0), view.list.ScrollHint.PositionAtTop)
    at_top = view.table.entry(view.list.rowAt(0)).title
    assert at_top == "Song 060"
    view._fresh = entries[1::2]
    view._show_fresh()
    assert view.table.rowCount() == 100
    assert view.table.entry(view.list.rowAt(0)).title == at_top


def test_what_is_selected_stays_so_while_the_list_is_narrowed(listed: SongsView) -> None:
    listed.list.select_rows((0, 2))
    chosen = listed.selected_paths()
    listed.list.sortByColumn(TITLE, Qt.SortOrder.DescendingOrder)
    assert set(listed.selected_paths()) == set(chosen)
    listed.filter.setText("lesson")
    assert set(listed.selected_paths()) == set(chosen)
    assert listed.list.currentIndex().row() in listed.list.selected_rows


@pytest.mark.parametrize(
    ("cleared", "reminder"),
    [
        (
            (False, False, True),
            "Before you sell or publish them, clear the rights of 2 songs, “Night Ferry 0” among them.",
        ),
        ((True, False, True), "Before you sell or publish it, clear the rights of “Night Ferry 1”."),
        ((True, True, True), ""),
    ],
)
def test_rights_are_reminded_of_before_many_plans_are_written(
    opened: OpenWindow, cleared: tuple[bool, ...], reminder: str
) -> None:
    lessons = [
        SongEntry(f"/{number}.lesson", f"Night Ferry {number}", rights_cleared=is_cleared)
        for number, is_cleared in enumerate(cleared)
    ]
    opened.window.bar.hint("")
    opened.window.many_plans.ask_where(lessons)
    dialog = opened.window.findChild(QFileDialog, "plans-dialog")
    assert dialog is not None
    assert dialog.isVisible(), "nothing is written yet"
    assert opened.window.bar.text == reminder
    dialog.reject()


def test_many_plans_are_written_with_progress_and_a_reminder_at_the_end(
    opened: OpenWindow, listed: SongsView, tmp_path: Path, qtbot: QtBot
) -> None:
    plans, bar = opened.window.many_plans, opened.window.bar
    plans.ask_where(listed.selected_entries())
    dialog = opened.window.findChild(QFileDialog, "plans-dialog")
    assert dialog is not None
    dialog.reject()
    first, second = (tmp_path / "songs" / f"{name}.lesson" for name in ("night_ferry", "heron_at_the_sluice"))
    plans.write((str(first), str(second)), tmp_path / "plans")
    progress = bar._progress
    assert (progress.minimum(), progress.maximum(), progress.value()) == (0, 2, 0)
    qtbot.waitUntil(lambda: progress.value() == 1, timeout=60_000)
    assert bar.text == "Writing plan 2 of 2: heron_at_the_sluice …"
    qtbot.waitUntil(lambda: "of 2 plans are in" in bar.text, timeout=60_000)
    assert bar.text.startswith("2 of 2 plans are in plans. Before you sell or publish")


def test_an_index_that_is_lost_while_the_window_is_open_is_made_anew(
    opened: OpenWindow, listed: SongsView, qtbot: QtBot
) -> None:
    for ending in ("", "-wal", "-shm"):
        (opened.settings.folder / (INDEX_NAME + ending)).unlink(missing_ok=True)
    listed.again.click()
    qtbot.waitUntil(lambda: not listed.is_reading and listed.table.known == 3, timeout=20_000)
    listed.filter.setText("ferry")
    assert titles(listed) == ["Night Ferry"]
    assert (opened.settings.folder / INDEX_NAME).exists()


def test_an_index_that_turns_out_to_be_damaged_is_made_anew(tmp_path: Path) -> None:
    index = SongIndex(tmp_path / INDEX_NAME)
    index.put((SongEntry(f"/songs/{number}.lesson", f"Song {number}"), (1, 2)) for number in range(600))
    index.close()
    path = tmp_path / INDEX_NAME
    whole = path.read_bytes()
    page = 4096
    path.write_bytes(whole[: 3 * page] + bytes([255]) * (len(whole) - 3 * page))
    index = SongIndex(path)
    assert index.entries("/songs") == []
    assert index.matching("song") == set()
    assert index.is_renewed
    index.put([(SongEntry("/songs/a.lesson", "Anew"), (1, 2))])
    assert [entry.title for entry in index.entries("/songs")] == ["Anew"]
    index.close()


def test_songs_are_listed_and_found_also_where_no_index_can_be_kept(
    opened: OpenWindow, tmp_path: Path, qtbot: QtBot
) -> None:
    folder = tmp_path / "songs"
    folder.mkdir()
    for name, song in DEMO_SONGS.items():
        write(song(), folder / f"{name}.lesson")
    (opened.settings.folder / INDEX_NAME).mkdir(parents=True)
    view = shown(opened, folder, qtbot, 3)
    view.filter.setText("dorian fer")
    assert titles(view) == ["Night Ferry"]


def test_a_long_list_is_shown_less_often_while_its_folder_is_read(
    listed: SongsView, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert listed._showing.interval() >= SHOWING_MILLISECONDS
    monkeypatch.setattr(type(listed._clock), "elapsed", lambda _clock: 100)
    listed._show_fresh()
    assert listed._showing.interval() == 4_000


@pytest.mark.parametrize(
    ("title", "song"),
    [
        ("The Lamplighter's Waltz", "lamplighter s waltz"),
        ("LAMPLIGHTER’S waltz", "lamplighter s waltz"),
        ("Über den Fluß", "uber den fluss"),
        ("A", "a"),
        ("An Evening (slow)", "evening slow"),
        ("", ""),
    ],
)
def test_titles_of_one_song_are_alike(title: str, song: str) -> None:
    assert song_of_title(title) == song


def test_rows_are_selected_in_as_few_stretches_as_they_need(listed: SongsView) -> None:
    listed.list.select_rows((2, 1))
    assert listed.list.selected_rows == [1, 2]
    assert listed.list.selectionModel().selection().count() == 1
    listed.list.select_rows(())
    assert listed.list.selected_rows == []
    assert listed.list.model().rowCount(QModelIndex()) == 3
    QApplication.processEvents()


def test_whoever_publishes_a_lesson_is_reminded_of_rights_that_are_not_cleared(opened: OpenWindow) -> None:
    opened.window.show_about()
    page = opened.window._about
    assert page is not None
    state = page.form.state
    reminder = "Before “Night Ferry” is published or sold, clear its rights, and say here that they are."
    for name, said in (("recorded", False), ("published", True)):
        opened.window.bar.settle()
        state.setCurrentIndex(state.findData(name))
        state.activated.emit(state.currentIndex())
        assert opened.song.standing.state == name
        assert (opened.window.bar.text == reminder) is said
    opened.document.undo_stack.undo()
    opened.window.bar.settle()
    page.form.cleared.click()
    state.setCurrentIndex(state.findData("published"))
    state.activated.emit(state.currentIndex())
    assert opened.song.standing.state == "published"
    assert opened.window.bar.text != reminder


def test_the_plan_of_a_lesson_is_asked_for_with_a_reminder_of_its_rights(opened: OpenWindow) -> None:
    opened.window.files.export_plan()
    dialog = opened.window.findChild(QFileDialog, "file-dialog")
    assert dialog is not None
    assert opened.window.bar.text == (
        "Before you sell or publish it, clear the song's rights; no note of them is kept yet."
    )
    dialog.reject()


def test_a_long_list_is_taken_from_the_index_step_by_step(
    listed: SongsView, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(song_index, "STEP", 1)
    listed.refresh()
    assert len(titles(listed)) == 3, "what was listed stays meanwhile"
    assert listed.is_reading
    qtbot.waitUntil(lambda: not listed.is_reading, timeout=20_000)
    assert titles(listed) == ["Heron at the Sluice", "Night Ferry", "The Lamplighter's Waltz"]


def test_a_list_that_is_left_for_another_folder_half_way_shows_only_that_one(
    listed: SongsView, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(song_index, "STEP", 1)
    other = tmp_path / "others"
    other.mkdir()
    write(replace(DEMO_SONGS["night_ferry"](), title="Another"), other / "another.lesson")
    listed.refresh()
    listed.show_folder(str(other))
    assert titles(listed) == []
    qtbot.waitUntil(lambda: not listed.is_reading and listed.table.known == 1, timeout=20_000)
    assert titles(listed) == ["Another"]


def test_a_window_that_is_closed_while_the_index_is_read_asks_it_for_nothing_more(
    listed: SongsView, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(song_index, "STEP", 1)
    listed.refresh()
    listed.close_index()
    QApplication.processEvents()
    assert not listed._gathering.isActive()
