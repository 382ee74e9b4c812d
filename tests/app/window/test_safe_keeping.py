"""No work is lost: copies of what is not saved, one window for one lesson, files changed elsewhere."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.commands.whole_files import write_whole
from app.document.autosave import Autosave
from app.document.document import LessonDocument
from app.document.lesson_store import open_lesson, save_lesson
from app.document.unsaved_copies import UnsavedCopies, beside_lesson
from app.window.starting import _first_document
from core.edits.rename_note import rename_note
from core.song.errors import FileOpenElsewhereError, FormatError
from core.song.pitch import NoteName
from core.song.song import Song
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.songs import heron_at_the_sluice, lamplighters_waltz, night_ferry

pytestmark = pytest.mark.usefixtures("qapp")


def change(document: LessonDocument, name: str = "D") -> Song:
    document.apply(lambda song: rename_note(song, 1, 0, NoteName.parse(name)), "name of a note")
    return document.song


def answer(opened: OpenWindow, text: str) -> None:
    next(button for button in opened.window.bar.answers if button.text() == text).click()


@pytest.fixture
def lesson(tmp_path: Path) -> Path:
    path = tmp_path / "lessons" / "mine.lesson"
    path.parent.mkdir()
    save_lesson(night_ferry(), path)
    return path


def test_a_change_is_copied_beside_the_file_without_being_saved(qtbot: QtBot, lesson: Path, tmp_path: Path) -> None:
    document = LessonDocument(night_ferry(), folder=tmp_path / "own")
    document.open(lesson)
    autosave = Autosave(document, UnsavedCopies(tmp_path / "own"), milliseconds=20)
    changed = change(document)
    qtbot.waitUntil(lambda: autosave.copy is not None)
    assert autosave.copy == beside_lesson(lesson)
    found = UnsavedCopies(tmp_path / "own").left_for(lesson)
    assert found is not None
    assert found.song == changed
    assert open_lesson(lesson).song == night_ferry()
    autosave.close()


def test_typing_that_goes_on_is_copied_while_it_goes_on(qtbot: QtBot, lesson: Path, tmp_path: Path) -> None:
    document = LessonDocument(night_ferry())
    document.open(lesson)
    autosave = Autosave(document, UnsavedCopies(tmp_path / "own"), milliseconds=60)
    names = iter("DF" * 5_000)

    def copied_while_typing() -> bool:
        change(document, next(names))
        return autosave.copy is not None

    qtbot.waitUntil(copied_while_typing, timeout=5_000)
    autosave.close()


@pytest.mark.parametrize("how", ["saved", "undone", "another lesson", "closed"])
def test_a_copy_goes_when_nothing_is_unsaved_any_more(lesson: Path, tmp_path: Path, how: str) -> None:
    document = LessonDocument(night_ferry())
    document.open(lesson)
    autosave = Autosave(document, UnsavedCopies(tmp_path / "own"), milliseconds=60_000)
    change(document)
    autosave.write_now()
    assert beside_lesson(lesson).exists()
    {
        "saved": document.save,
        "undone": document.undo_stack.undo,
        "another lesson": lambda: document.take(lamplighters_waltz()),
        "closed": autosave.close,
    }[how]()
    assert not beside_lesson(lesson).exists()
    autosave.close()


def test_in_a_folder_that_may_only_be_read_the_copy_lies_in_the_programs_own(
    lesson: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = write_whole

    def refuse_beside(contents: dict[Path, bytes], *, force: bool) -> None:
        if any(path.parent == lesson.parent for path in contents):
            raise FormatError("mine.lesson", "", "it cannot be written", "choose another place")
        write(contents, force=force)

    monkeypatch.setattr("app.document.unsaved_copies.write_whole", refuse_beside)
    document = LessonDocument(night_ferry())
    document.open(lesson)
    autosave = Autosave(document, UnsavedCopies(tmp_path / "own"), milliseconds=60_000)
    changed = change(document)
    autosave.write_now()
    assert autosave.copy is not None
    assert autosave.copy.is_relative_to(tmp_path / "own")
    found = UnsavedCopies(tmp_path / "own").left_for(lesson)
    assert found is not None
    assert found.song == changed
    autosave.close()


def test_a_copy_that_cannot_be_kept_anywhere_is_said_once(
    lesson: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise FormatError("mine.lesson", "", "the disk is full", "make room")

    document = LessonDocument(night_ferry())
    document.open(lesson)
    autosave = Autosave(document, UnsavedCopies(tmp_path / "own"), milliseconds=60_000)
    said: list[str] = []
    autosave.trouble.connect(said.append)
    monkeypatch.setattr("app.document.unsaved_copies.write_whole", full)
    for name in "DF":
        change(document, name)
        autosave.write_now()
    assert said == ["Unsaved changes are not being kept safe: mine.lesson: the disk is full; make room."]
    autosave.close()


def left_behind(lesson: Path) -> Song:
    """A copy as a crash leaves it."""
    song = rename_note(night_ferry(), 1, 0, NoteName("D"))
    save_lesson(song, lesson.with_name("crash.lesson"))
    lesson.with_name("crash.lesson").rename(beside_lesson(lesson))
    return song


def test_after_a_crash_the_changes_are_offered_and_taken_up(opened: OpenWindow, lesson: Path) -> None:
    lost = left_behind(lesson)
    opened.window.files.open(lesson)
    assert "that were never saved" in opened.window.bar.text
    assert opened.song == night_ferry()
    answer(opened, "Take them up")
    assert opened.song == lost
    assert not opened.document.is_clean
    assert beside_lesson(lesson).exists(), "until it is saved the copy is still needed"
    opened.window.files.save()
    assert open_lesson(lesson).song == lost
    assert not beside_lesson(lesson).exists()


def test_after_a_crash_the_changes_can_be_thrown_away(opened: OpenWindow, lesson: Path) -> None:
    left_behind(lesson)
    opened.window.files.open(lesson)
    answer(opened, "Throw them away")
    assert opened.song == night_ferry()
    assert sorted(lesson.parent.iterdir()) == [lesson]


@pytest.mark.parametrize("by", ["answer", "going on"])
def test_changes_that_nobody_takes_up_become_a_lesson_of_their_own(opened: OpenWindow, lesson: Path, by: str) -> None:
    lost = left_behind(lesson)
    opened.window.files.open(lesson)
    if by == "answer":
        answer(opened, "Keep them as another lesson")
    else:
        change(opened.document, "F")
        opened.window.keeping.autosave.write_now()
    kept = list(lesson.parent.glob("mine_unsaved_*.lesson"))
    assert len(kept) == 1
    assert open_lesson(kept[0]).song == lost


def test_a_copy_equal_to_its_file_goes_without_a_question(opened: OpenWindow, lesson: Path) -> None:
    beside_lesson(lesson).write_bytes(lesson.read_bytes())
    opened.window.files.open(lesson)
    assert not opened.window.bar.is_asking
    assert not beside_lesson(lesson).exists()


def test_a_lesson_that_never_had_a_file_is_offered_at_the_next_start(tmp_path: Path) -> None:
    copies = UnsavedCopies(tmp_path)
    copies.write(heron_at_the_sluice(), None)
    assert UnsavedCopies(tmp_path).left_without_lesson() == (), "its window is still open"
    copies.close()
    with open_window(night_ferry(), tmp_path) as opened:
        opened.window.keeping.look_for_copies(orphans=True)
        assert "Heron at the Sluice" in opened.window.bar.text
        answer(opened, "Open it")
        assert opened.song == heron_at_the_sluice()
        assert opened.document.path is None
        assert not opened.document.is_clean
        assert len(list((tmp_path / "unsaved").glob("*.unsaved"))) == 1


def test_two_windows_on_one_lesson_are_refused(lesson: Path, tmp_path: Path) -> None:
    first = LessonDocument(night_ferry(), folder=tmp_path / "own")
    first.open(lesson)
    second = LessonDocument(heron_at_the_sluice(), folder=tmp_path / "own")
    with pytest.raises(FileOpenElsewhereError, match="open in another window; go on there"):
        second.open(lesson)
    with pytest.raises(FileOpenElsewhereError):
        second.save_as(lesson)
    assert second.song == heron_at_the_sluice()
    started, trouble = _first_document(lesson, tmp_path / "own")
    assert "open in another window" in trouble
    assert started.path is None
    first.take(lamplighters_waltz())
    second.open(lesson)
    assert second.song == night_ferry()
    second.close()


def test_a_file_changed_by_another_program_is_noticed(qtbot: QtBot, opened: OpenWindow, lesson: Path) -> None:
    opened.window.files.open(lesson)
    mine = change(opened.document)
    save_lesson(heron_at_the_sluice(), lesson)
    qtbot.waitUntil(lambda: opened.window.bar.is_asking, timeout=10_000)
    assert opened.window.bar.text == "mine.lesson was changed by another program."
    answer(opened, "Open it again")
    assert opened.song == heron_at_the_sluice()
    kept = list(lesson.parent.glob("mine_mine_*.lesson"))
    assert [open_lesson(path).song for path in kept] == [mine], "the teacher's own changes are kept beside it"
    assert kept[0].name in opened.window.bar.text


def test_saving_ones_own_lesson_is_no_change_by_another_program(qtbot: QtBot, opened: OpenWindow, lesson: Path) -> None:
    opened.window.files.open(lesson)
    change(opened.document)
    watch = opened.window.keeping.watch
    with qtbot.assertNotEmitted(watch.changed_elsewhere, wait=0):
        opened.window.files.save()
        watch._look()
    assert stat.S_ISREG(lesson.stat().st_mode)
