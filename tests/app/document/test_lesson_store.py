"""Lesson files: saved and opened alike, never written over what would be lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from app.document.document import LessonDocument
from app.document.lesson_store import open_lesson, save_lesson
from core.edits.rename_note import rename_note
from core.song.errors import BrokenFileError, FileChangedError, FormatError, NewerFileError
from core.song.pitch import NoteName
from core.song.song import Song
from tests.helpers.songs import DEMO_SONGS, heron_at_the_sluice, night_ferry


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_lesson_saved_and_opened_is_the_same_lesson(name: str, tmp_path: Path) -> None:
    song = DEMO_SONGS[name]()
    save_lesson(song, tmp_path / "song.lesson")
    assert open_lesson(tmp_path / "song.lesson").song == song


def test_a_lesson_is_saved_again_in_its_own_file(tmp_path: Path) -> None:
    path = tmp_path / "song.lesson"
    stored = save_lesson(night_ferry(), path)
    changed = rename_note(night_ferry(), 1, 0, NoteName("D"))
    again = save_lesson(changed, path, stored)
    assert open_lesson(path).song == changed
    save_lesson(night_ferry(), path, again)
    assert sorted(tmp_path.iterdir()) == [path]


def test_a_file_that_changed_on_disk_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "song.lesson"
    save_lesson(night_ferry(), path)
    stored = open_lesson(path)
    save_lesson(heron_at_the_sluice(), path)
    with pytest.raises(FileChangedError, match="changed on disk"):
        save_lesson(night_ferry(), path, stored)
    assert open_lesson(path).song.title == "Heron at the Sluice"


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ('{"format": "phrasebench lesson", "version": 1, "title": "Cut sh', BrokenFileError),
        ('{"format": "phrasebench lesson", "version": 999, "title": "Later"}', NewerFileError),
        ("Dear diary", FormatError),
    ],
)
def test_a_broken_newer_or_foreign_file_is_not_overwritten(tmp_path: Path, text: str, error: type[Exception]) -> None:
    path = tmp_path / "song.lesson"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(error):
        save_lesson(night_ferry(), path)
    assert path.read_text(encoding="utf-8") == text


def test_a_folder_that_is_not_there_is_an_error_that_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(FormatError):
        save_lesson(night_ferry(), tmp_path / "gone" / "song.lesson")
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def document(qapp: QApplication) -> LessonDocument:
    assert qapp is not None
    return LessonDocument(night_ferry())


def changed(document: LessonDocument) -> Song:
    document.apply(lambda song: rename_note(song, 1, 0, NoteName("D")), "name of a note")
    return document.song


def test_a_saved_document_is_clean_until_it_changes(document: LessonDocument, tmp_path: Path) -> None:
    path = tmp_path / "song.lesson"
    changed(document)
    assert not document.is_clean
    document.save_as(path)
    assert document.is_clean
    assert document.path == path
    document.undo_stack.undo()
    assert not document.is_clean
    document.save()
    assert open_lesson(path).song == night_ferry()


def test_an_opened_document_has_no_history(document: LessonDocument, tmp_path: Path) -> None:
    path = tmp_path / "song.lesson"
    save_lesson(heron_at_the_sluice(), path)
    changed(document)
    document.open(path)
    assert document.song == heron_at_the_sluice()
    assert document.is_clean
    assert not document.undo_stack.canUndo()


def test_a_file_that_cannot_be_opened_leaves_the_document_as_it_was(document: LessonDocument, tmp_path: Path) -> None:
    song = changed(document)
    path = tmp_path / "song.lesson"
    path.write_text("{", encoding="utf-8")
    with pytest.raises(FormatError):
        document.open(path)
    assert document.song is song
    assert document.undo_stack.canUndo()


def test_a_copy_belongs_to_no_file(document: LessonDocument, tmp_path: Path) -> None:
    path = tmp_path / "song.lesson"
    save_lesson(heron_at_the_sluice(), path)
    document.open_copy(path)
    assert document.path is None
    assert document.song == heron_at_the_sluice()
    assert document.is_clean


def test_a_save_that_fails_leaves_the_document_changed(document: LessonDocument, tmp_path: Path) -> None:
    path = tmp_path / "song.lesson"
    document.save_as(path)
    save_lesson(heron_at_the_sluice(), path)
    changed(document)
    with pytest.raises(FileChangedError):
        document.save()
    assert not document.is_clean
