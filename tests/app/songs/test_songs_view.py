"""The list of songs: read in the background, filtered by typing, sorted, opened."""

from __future__ import annotations

import os
from pathlib import Path
from time import perf_counter

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document.lesson_store import open_lesson
from app.songs.song_entry import SongEntry, describe_lesson
from app.songs.song_index import INDEX_NAME, SongIndex
from app.songs.song_reading import folder_news
from app.songs.song_table import EFFORT, PARTS, TITLE, Narrowing, SongTable
from app.songs.songs_view import SongsView
from app.window.header import Workspace
from core.edits.set_standing import set_state
from core.formats.lesson_file import LessonFile
from core.song.song import Song
from core.song.standing import Standing
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
    return [str(view.table.index(row, TITLE).data()) for row in range(view.table.rowCount())]


def listed(opened: OpenWindow, folder: Path, qtbot: QtBot) -> SongsView:
    fill(folder)
    opened.settings.change(folder=str(folder))
    opened.window.show_workspace(Workspace.SONGS)
    view = opened.window.songs
    qtbot.waitUntil(lambda: not view.is_reading and view.table.known == 4, timeout=20_000)
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
    news = folder_news(str(tmp_path / "own" / INDEX_NAME), str(tmp_path))
    assert sorted(Path(path).name for path in news.changed) == [
        "broken.lesson",
        "heron_at_the_sluice.lesson",
        "lamplighters_waltz.lesson",
        "night_ferry.lesson",
    ]


def test_typing_filters_by_title_key_and_chord(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    QTest.keyClicks(view.list, "d")
    QTest.keyClicks(view.filter, "orian")
    assert titles(view) == ["Night Ferry"]
    for text in ("f#m heron", "F♯m heron", "sluice"):
        view.filter.setText(text)
        assert titles(view) == ["Heron at the Sluice"]
    view.filter.setText("no such song")
    assert titles(view) == []
    assert view.count.text() == "0 of 4 songs"
    QTest.keyClick(view.filter, Qt.Key.Key_Escape)
    assert len(titles(view)) == 4


def test_songs_are_sorted_by_any_column(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    assert titles(view) == ["broken", "Heron at the Sluice", "Night Ferry", "The Lamplighter's Waltz"]
    view.list.sortByColumn(PARTS, Qt.SortOrder.DescendingOrder)
    assert titles(view)[0] == "The Lamplighter's Waltz"
    view.list.sortByColumn(EFFORT, Qt.SortOrder.AscendingOrder)
    efforts = [view.table.entry(row).effort for row in range(4)]
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


def test_the_list_is_there_at_once_the_second_time(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    view.refresh()
    assert view.table.known == 4, "before anything is read again"
    qtbot.waitUntil(lambda: not view.is_reading, timeout=20_000)


def test_only_files_that_changed_are_read_again(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    write(replace(night_ferry(), title="Night Ferry Home"), tmp_path / "night_ferry.lesson")
    (tmp_path / "broken.lesson").unlink()
    news = folder_news(str(opened.settings.folder / INDEX_NAME), str(tmp_path))
    assert [Path(path).name for path in news.changed] == ["night_ferry.lesson"]
    assert [Path(path).name for path in news.gone] == ["broken.lesson"]
    view.refresh()
    qtbot.waitUntil(lambda: "Night Ferry Home" in titles(view), timeout=20_000)
    assert titles(view) == ["Heron at the Sluice", "Night Ferry Home", "The Lamplighter's Waltz"]


def test_songs_are_narrowed_by_state_key_and_effort(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    write(set_state(night_ferry(), "published"), tmp_path / "taught.lesson")
    fill(tmp_path)
    (tmp_path / "broken.lesson").unlink()
    opened.settings.change(folder=str(tmp_path))
    opened.window.show_workspace(Workspace.SONGS)
    view = opened.window.songs
    qtbot.waitUntil(lambda: not view.is_reading and view.table.known == 4, timeout=20_000)
    assert titles(view)[1:3] == ["Night Ferry  ·  1 of 2", "Night Ferry  ·  2 of 2"]
    view.state.setCurrentIndex(view.state.findData("published"))
    assert titles(view) == ["Night Ferry"]
    view.state.setCurrentIndex(0)
    view.key.setCurrentIndex(view.key.findData("A♭ major"))
    assert titles(view) == ["The Lamplighter's Waltz"]
    view.key.setCurrentIndex(0)
    view.key.setCurrentIndex(0)
    efforts = [view.table.entry(row).effort for row in range(4)]
    for place in range(1, view.effort.count()):
        view.effort.setCurrentIndex(place)
        most = view.effort.currentData()
        shown = [view.table.entry(row).effort for row in range(view.table.rowCount())]
        assert sorted(shown) == sorted(effort for effort in efforts if effort <= most)


def test_lessons_of_one_song_stay_together_in_any_order(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    write(replace(night_ferry(), title="The night ferry!"), tmp_path / "z.lesson")
    view.refresh()
    qtbot.waitUntil(lambda: view.table.known == 5 and not view.is_reading, timeout=20_000)
    for column in range(view.table.columnCount()):
        for order in Qt.SortOrder:
            view.list.sortByColumn(column, order)
            rows = [row for row in range(5) if view.table.entry(row).song == "night ferry"]
            assert rows[1] == rows[0] + 1


def test_a_wanted_song_is_noted_before_a_note_exists(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    view.wish.click()
    page = opened.window._wish
    assert page is not None
    page.form.title.setText("Night Ferry")
    page.form.title.editingFinished.emit()
    assert "already, drafted" in page.trouble.text()
    page.form.title.setText("Winter Orchard")
    page.form.title.editingFinished.emit()
    assert page.trouble.text() == ""
    page.form.asked_by.setText("Mira")
    page.form.asked_on.setText("soon")
    page.keep.click()
    assert "a day such as 2026-11-25" in page.trouble.text()
    page.form.asked_on.setText("2026-11-20")
    page.keep.click()
    qtbot.waitUntil(lambda: "Winter Orchard" in titles(view), timeout=20_000)
    song = open_lesson(tmp_path / "winter_orchard.lesson").song
    assert song.standing == Standing("wanted", "Mira", "2026-11-20")
    view.filter.setText("mira wanted")
    assert titles(view) == ["Winter Orchard"]


def test_a_song_that_was_taught_before_is_said_on_opening(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    write(set_state(night_ferry(), "published"), tmp_path / "taught.lesson")
    listed_again = tmp_path
    fill(listed_again)
    opened.settings.change(folder=str(tmp_path))
    opened.window.show_workspace(Workspace.SONGS)
    view = opened.window.songs
    qtbot.waitUntil(lambda: not view.is_reading and view.table.known == 5, timeout=20_000)
    opened.window.files.open(tmp_path / "night_ferry.lesson")
    assert opened.window.bar.text == "“Night Ferry” was taught before: taught.lesson is published."


def test_the_plans_of_many_songs_are_written_in_a_row(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    view = listed(opened, tmp_path, qtbot)
    view.list.selectAll()
    said: list[object] = []
    view.plans_wanted.connect(said.append)
    view.plans_wanted.disconnect(opened.window.many_plans.ask_where)
    view.plans.click()
    lessons = said[0]
    assert isinstance(lessons, tuple)
    assert len(lessons) == 4
    paths = [lesson.path for lesson in lessons]
    opened.window.many_plans.write(paths, tmp_path / "plans")
    qtbot.waitUntil(lambda: "of 4 plans are in plans" in opened.window.bar.text, timeout=120_000)
    assert opened.window.bar.text.startswith("3 of 4 plans are in plans. broken.lesson")
    assert (tmp_path / "plans" / "night_ferry" / "plan.pdf").exists()
    opened.window.many_plans.write(paths, tmp_path / "more")
    opened.window.bar.answers[0].click()
    assert opened.window.bar.text.startswith("Stopped: 0 of 4 plans")


def test_facts_about_the_open_lesson_are_kept_with_it(opened: OpenWindow) -> None:
    opened.window.show_about()
    form = opened.window._about.form  # type: ignore[union-attr]  # the page is there, or the test fails
    form.rights.setText("written by our choir")
    form.rights.editingFinished.emit()
    form.cleared.click()
    assert opened.song.rights == "written by our choir"
    assert opened.song.standing.rights_cleared
    form.title.setText("  ")
    form.title.editingFinished.emit()
    assert opened.song.title == "Night Ferry"
    assert form.title.text() == "Night Ferry"
    opened.document.undo_stack.undo()
    opened.document.undo_stack.undo()
    assert form.rights.text() == ""


def test_escape_lets_a_fact_be_as_it_was_and_then_leaves_the_page(opened: OpenWindow) -> None:
    opened.window.show_about()
    page = opened.window._about
    assert page is not None
    QTest.keyClicks(page.form.composer, "somebody")
    QTest.keyClick(page.form.composer, Qt.Key.Key_Escape)
    assert page.form.composer.text() == ""
    assert page.isVisible()
    QTest.keyClick(page.form.composer, Qt.Key.Key_Escape)
    assert not page.isVisible()
    assert opened.song.composer == ""


def test_ten_thousand_lessons_are_listed_narrowed_and_sorted_within_a_blink(tmp_path: Path) -> None:
    path = tmp_path / "ferry.lesson"
    write(night_ferry(), path)
    entry = describe_lesson(str(path))
    index = SongIndex(tmp_path / INDEX_NAME)
    index.put(
        (replace(entry, path=f"/songs/f{number}.lesson", title=f"Song {number // 2}", effort=number % 90), (1, 1))
        for number in range(10_000)
    )
    table = SongTable()
    began = perf_counter()
    table.exchange(index.entries("/songs"))
    found = index.matching("song 12 dorian")
    assert found is not None
    table.narrow(Narrowing(frozenset(found)))
    assert table.rowCount() == len([n for n in range(5_000) if str(n).startswith("12")]) * 2
    table.narrow(Narrowing())
    table.sort(EFFORT)
    seconds = perf_counter() - began
    assert table.rowCount() == 10_000
    assert seconds < 2.0, "a wide bound for a busy machine: about 0.2 s on an idle one"
    index.close()


@pytest.mark.parametrize("damage", [b"", b"no database at all", b"SQLite format 3\0" + bytes(100)])
def test_an_index_that_is_lost_or_damaged_is_made_anew(tmp_path: Path, damage: bytes) -> None:
    (tmp_path / INDEX_NAME).write_bytes(damage)
    index = SongIndex(tmp_path / INDEX_NAME)
    assert index.entries("/songs") == []
    index.put([(SongEntry("/songs/a.lesson", "A"), (1, 2))])
    assert index.stamps("/songs") == {"/songs/a.lesson": (1, 2)}
    assert index.matching("  #  ") is None
    assert index.matching('a" OR "b') == set()
    index.close()
