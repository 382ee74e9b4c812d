"""Opening, saving, exporting and closing, with questions in the message bar and nothing that stands in the way."""

from __future__ import annotations

import json
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.background import worker
from app.background.frames import Task
from app.document.lesson_store import open_lesson, save_lesson
from app.resources import demo_songs
from app.songs.empty_lesson import new_lesson
from app.window import lesson_files
from app.window.starting import _first_document
from core.edits.rename_note import rename_note
from core.formats.registry import read_song
from core.song.pitch import NoteName
from tests.helpers.open_window import OpenWindow
from tests.helpers.songs import heron_at_the_sluice, night_ferry

TWO_TUNES = "X:1\nT:First\nL:1/4\nK:C\nCDEF|\n\nX:2\nT:Second\nL:1/4\nK:G\nGABc|\n"


def change(opened: OpenWindow) -> None:
    opened.document.apply(lambda song: rename_note(song, 1, 0, NoteName("D")), "name of a note")


def answer(opened: OpenWindow, place: int) -> None:
    opened.window.bar.answers[place].click()


def test_saving_a_lesson_without_a_file_asks_where(opened: OpenWindow, tmp_path: Path) -> None:
    change(opened)
    opened.window.files.save()
    dialog = opened.window.findChild(QFileDialog, "file-dialog")
    assert dialog is not None
    assert dialog.selectedFiles()[0].endswith("night_ferry.lesson")
    dialog.fileSelected.emit(str(tmp_path / "mine.lesson"))
    dialog.close()
    assert open_lesson(tmp_path / "mine.lesson").song == opened.song
    assert opened.document.is_clean
    assert opened.window.header.state.text() == "saved"
    assert opened.settings.settings.recent == (str(tmp_path / "mine.lesson"),)


def test_the_folder_of_the_first_lesson_saved_is_listed_unless_one_was_chosen(
    opened: OpenWindow, tmp_path: Path
) -> None:
    mine, other = tmp_path / "mine", tmp_path / "other"
    mine.mkdir()
    other.mkdir()
    songs = opened.window.songs
    assert songs.folder == ""
    opened.window.files.save_to(mine / "ferry.lesson")
    assert opened.settings.settings.folder == songs.folder == str(mine)
    assert "Songs lists the lessons of its folder" in opened.window.bar.text
    opened.window.files.save_to(other / "ferry.lesson")
    assert songs.folder == str(mine)
    assert opened.window.bar.text == "Saved as ferry.lesson."
    opened.slow_work.close()


def test_saving_closing_and_opening_gives_the_same_lesson(opened: OpenWindow, tmp_path: Path) -> None:
    change(opened)
    opened.window.files.save_to(tmp_path / "mine.lesson")
    song = opened.song
    opened.window.files.begin(new_lesson())
    assert opened.song.title == "Untitled"
    opened.window.files.open(tmp_path / "mine.lesson")
    assert opened.song == song
    assert not opened.document.undo_stack.canUndo()


def test_a_changed_lesson_is_not_closed_without_asking(opened: OpenWindow) -> None:
    change(opened)
    assert not opened.window.close()
    assert opened.window.isVisible()
    assert "changes that are not saved" in opened.window.bar.text
    answer(opened, 2)
    assert opened.window.isVisible()
    assert not opened.window.bar.is_asking
    assert opened.window.page.sheet.hasFocus()
    opened.window.close()
    answer(opened, 1)
    assert not opened.window.isVisible()
    assert opened.engine.closed


def test_a_changed_lesson_can_be_saved_on_closing(opened: OpenWindow, tmp_path: Path) -> None:
    opened.window.files.save_to(tmp_path / "mine.lesson")
    change(opened)
    opened.window.close()
    answer(opened, 0)
    assert not opened.window.isVisible()
    assert open_lesson(tmp_path / "mine.lesson").song == opened.song


def test_a_save_that_fails_keeps_the_window_open_and_says_why(opened: OpenWindow, tmp_path: Path) -> None:
    path = tmp_path / "mine.lesson"
    opened.window.files.save_to(path)
    change(opened)
    save_lesson(heron_at_the_sluice(), path)
    opened.window.close()
    answer(opened, 0)
    assert opened.window.isVisible()
    assert "changed on disk" in opened.window.bar.text


def test_opening_another_lesson_asks_first_and_undoing_asks_nothing(opened: OpenWindow, tmp_path: Path) -> None:
    save_lesson(heron_at_the_sluice(), tmp_path / "heron.lesson")
    change(opened)
    opened.window.files.open(tmp_path / "heron.lesson")
    assert opened.song.title == "Night Ferry"
    answer(opened, 2)
    opened.document.undo_stack.undo()
    opened.window.files.open(tmp_path / "heron.lesson")
    assert opened.song.title == "Heron at the Sluice"


def test_a_demo_lesson_opens_as_a_copy_that_belongs_to_no_file(opened: OpenWindow) -> None:
    opened.window.files.open(demo_songs()[1])
    assert opened.document.path is None
    assert opened.window.header.state.text() == "a copy, not saved yet"
    assert opened.settings.settings.recent == ()


def test_a_file_that_is_there_is_replaced_only_when_told(opened: OpenWindow, tmp_path: Path) -> None:
    path = tmp_path / "mine.lesson"
    save_lesson(heron_at_the_sluice(), path)
    for place, title in ((1, "Heron at the Sluice"), (0, "Night Ferry")):
        opened.window.files.save_as()
        dialog = opened.window.findChild(QFileDialog, "file-dialog")
        assert dialog is not None
        dialog.fileSelected.emit(str(path))
        dialog.close()
        dialog.setObjectName("")
        assert "already there" in opened.window.bar.text
        answer(opened, place)
        assert open_lesson(path).song.title == title


def test_a_tune_is_chosen_from_a_book(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    (tmp_path / "book.abc").write_text(TWO_TUNES, encoding="utf-8")
    opened.window.files.open(tmp_path / "book.abc")
    qtbot.waitUntil(lambda: opened.window._tunes is not None, timeout=30_000)
    chooser = opened.window._tunes
    assert chooser is not None
    QTest.keyClicks(chooser.filter, "sec")
    QTest.keyClick(chooser.filter, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: opened.song.title == "Second", timeout=30_000)
    assert [note.pitch.plain for _, note in opened.song.placed_notes()] == ["G4", "A4", "B4", "C5"]
    assert opened.window.page.isVisible()


def test_a_new_lesson_is_begun_with_its_key_metre_and_length(opened: OpenWindow) -> None:
    QTest.keyClick(opened.window, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    page = opened.window._new_lesson
    assert page is not None
    QTest.keyClicks(page.title, "Heron Waltz")
    page.mode.setCurrentIndex(page.mode.findText("Dorian"))
    page.tonic.setCurrentIndex(page.tonic.findText("A"))
    page.metre.setCurrentText("3/4")
    page.bars.setValue(8)
    QTest.keyClick(page.title, Qt.Key.Key_Return)
    song = opened.song
    assert (song.title, song.key.plain, str(song.metre), len(song.bars)) == ("Heron Waltz", "A dorian", "3/4", 8)
    assert opened.window.page.isVisible()
    field = opened.window.page.draft_strip.line.field
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "A B c | d - -")
    assert [note.pitch.plain for note in opened.song.parts[0].melody] == ["A4", "B4", "C5", "D5"]


def test_a_file_that_cannot_be_read_is_said_and_changes_nothing(opened: OpenWindow, tmp_path: Path) -> None:
    path = tmp_path / "broken.lesson"
    path.write_text("{", encoding="utf-8")
    song = opened.song
    opened.window.files.open(path)
    assert "broken.lesson" in opened.window.bar.text
    assert opened.song is song


def test_a_song_of_another_kind_is_read_in_the_background(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    opened.window.files.export_song_to(tmp_path / "ferry.mid")
    qtbot.waitUntil(lambda: (tmp_path / "ferry.mid").exists(), timeout=30_000)
    opened.window.files.begin(new_lesson())
    opened.window.files.open(tmp_path / "ferry.mid")
    assert "Reading ferry.mid" in opened.window.bar.text
    qtbot.waitUntil(lambda: opened.song.title == "Night Ferry", timeout=30_000)
    assert opened.document.path is None
    heard = [note.pitch.midi for _, note in opened.song.placed_notes() if note.melody]
    assert heard == [note.pitch.midi for _, note in night_ferry().placed_notes()]


def test_reading_can_be_cancelled(opened: OpenWindow, tmp_path: Path) -> None:
    (tmp_path / "song.abc").write_text(TWO_TUNES, encoding="utf-8")
    opened.window.files.open(tmp_path / "song.abc")
    answer(opened, 0)
    assert opened.slow_work.busy == 0
    assert opened.song.title == "Night Ferry"


def test_the_session_plan_is_written_and_an_older_one_replaced_only_when_told(
    opened: OpenWindow, tmp_path: Path, qtbot: QtBot
) -> None:
    opened.window.files.export_plan_to(tmp_path)
    qtbot.waitUntil(lambda: "Written to" in opened.window.bar.text, timeout=60_000)
    assert sorted(path.name for path in tmp_path.glob("plan.*")) == sorted(lesson_files.PLAN_FILES)
    assert json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))["title"] == "Night Ferry"
    opened.window.files.export_plan_to(tmp_path)
    assert "already holds a plan" in opened.window.bar.text
    answer(opened, 1)
    assert opened.slow_work.busy == 0


def test_a_song_is_exported_as_musicxml(opened: OpenWindow, tmp_path: Path, qtbot: QtBot) -> None:
    opened.window.files.export_song_to(tmp_path / "ferry.musicxml")
    qtbot.waitUntil(lambda: "Written to" in opened.window.bar.text, timeout=60_000)
    song = read_song("ferry.musicxml", (tmp_path / "ferry.musicxml").read_bytes()).song
    assert song.title == "Night Ferry"


def test_the_slow_work_of_files_is_there_under_its_names(tmp_path: Path) -> None:
    gone = str(tmp_path / "gone.abc")
    outcome = worker.do(Task(1, f"{lesson_files.FILE_WORK}:read_foreign", (gone,)))
    assert outcome.error is not None
    assert "gone.abc" in outcome.error
    assert "no such file" in outcome.error


def test_the_first_lesson_is_the_one_asked_for_or_else_a_demo_and_the_reason(tmp_path: Path) -> None:
    path = tmp_path / "mine.lesson"
    save_lesson(heron_at_the_sluice(), path)
    document, trouble = _first_document(path)
    assert (document.song.title, document.path, trouble) == ("Heron at the Sluice", path, "")
    document, trouble = _first_document(tmp_path / "gone.lesson")
    assert document.song.title == "Night Ferry"
    assert "gone.lesson" in trouble
    document, trouble = _first_document(demo_songs()[0])
    assert (document.path, trouble) == (None, "")


def test_what_was_played_in_is_opened_from_where_it_is_kept(opened: OpenWindow, qtbot: QtBot) -> None:
    opened.window.files.open_played_dialog()
    assert "Nothing has been played in" in opened.window.bar.text
    folder = opened.settings.folder_of_playing
    folder.mkdir()
    lines = [f"[{beat}.0, 144, {60 + beat}, 70]\n[{beat}.9, 128, {60 + beat}, 64]\n" for beat in range(8)]
    (folder / "take.played").write_text('{"begun": "2026-11-25", "keyboard": "Stage piano"}\n' + "".join(lines))
    opened.window.files.open_played_dialog()
    dialog = opened.window.findChild(QFileDialog, "file-dialog")
    assert isinstance(dialog, QFileDialog)
    assert Path(dialog.directory().absolutePath()) == folder
    with qtbot.waitSignal(opened.window.files.opened, timeout=300_000):
        dialog.fileSelected.emit(str(folder / "take.played"))
    dialog.close()
    assert opened.song.title == "take"
    assert [note.pitch.midi for part in opened.song.parts for note in part.notes] == list(range(60, 68))
