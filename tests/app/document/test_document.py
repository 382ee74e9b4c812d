"""A lesson that is open: changes, their undoing, and runs of typing."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication

from app.document.document import LessonDocument
from core.edits.add_chord import add_chord
from core.edits.join_parts import join_parts
from core.edits.move_cut import move_cut
from core.edits.remove_note import remove_note
from core.edits.rename_note import rename_note
from core.edits.resize_note import resize_note
from core.edits.set_words import set_words
from core.edits.split_part import split_part
from core.song.errors import EditError
from core.song.pitch import NoteName
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord
from tests.helpers.songs import night_ferry


@pytest.fixture
def document(qapp: QApplication) -> LessonDocument:
    assert qapp is not None
    return LessonDocument(night_ferry())


def test_a_change_is_done_undone_and_done_again(document: LessonDocument) -> None:
    before = document.song
    assert document.apply(lambda song: rename_note(song, 1, 0, NoteName("D")), "name of a note")
    after = document.song
    assert after.parts[0].notes[0].pitch.plain == "D4"
    document.undo_stack.undo()
    assert document.song is before
    document.undo_stack.redo()
    assert document.song is after


def test_a_change_leaves_every_other_part_the_same_object(document: LessonDocument) -> None:
    before = document.song
    document.apply(lambda song: rename_note(song, 2, 0, NoteName("D")), "name of a note")
    assert document.song.parts[0] is before.parts[0]
    assert document.song.parts[2] is before.parts[2]
    assert document.song.parts[1] is not before.parts[1]


def test_a_refused_change_says_why_and_is_not_pushed(document: LessonDocument) -> None:
    said: list[str] = []
    document.message.connect(said.append)
    before = document.song
    assert not document.apply(lambda song: join_parts(song, 3), "join")
    assert document.song is before
    assert document.undo_stack.count() == 0
    assert said == ["Part 3 is the last one; there is nothing to join it with."]


def test_an_equal_song_is_not_pushed(document: LessonDocument) -> None:
    changed: list[object] = []
    document.song_changed.connect(lambda *songs: changed.append(songs))
    assert document.apply(lambda song: rename_note(song, 1, 0, NoteName("E")), "name of a note")
    assert document.undo_stack.count() == 0
    assert not changed


def test_listeners_are_told_the_song_before_and_after(document: LessonDocument) -> None:
    told: list[tuple[Song, Song]] = []
    document.song_changed.connect(lambda before, after: told.append((before, after)))
    before = document.song
    document.apply(lambda song: remove_note(song, 1, 0), "removal")
    assert told == [(before, document.song)]


def type_words(document: LessonDocument, text: str) -> None:
    document.apply(lambda song: set_words(song, 1, "together", text), "words", typing="words 1 together")


def test_typing_is_undone_as_one_change(document: LessonDocument) -> None:
    before = document.song
    for end in range(1, len("Slowly.") + 1):
        type_words(document, "Slowly."[:end])
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert document.song is before


def test_two_runs_of_typing_are_undone_one_after_the_other(document: LessonDocument) -> None:
    type_words(document, "Slowly.")
    document.end_typing()
    type_words(document, "Slowly, please.")
    document.undo_stack.undo()
    words = document.song.parts[0].teaching.words_for("together")
    assert words is not None
    assert words.text == "Slowly."


def test_typing_begins_from_the_song_as_it_was_before_the_run(document: LessonDocument) -> None:
    seen: list[Song] = []
    before = document.song

    def typed(name: str) -> None:
        def edit(song: Song) -> Song:
            seen.append(song)
            return rename_note(song, 1, 0, NoteName.parse(name))

        document.apply(edit, "name of a note", typing="name")

    typed("B")
    typed("Bb")
    assert all(song is before for song in seen)
    assert document.song.parts[0].notes[0].pitch.plain == "Bb3"


def test_typing_back_to_the_start_leaves_nothing_to_undo(document: LessonDocument) -> None:
    before = document.song
    document.apply(lambda song: rename_note(song, 1, 0, NoteName("D")), "name", typing="name")
    document.apply(lambda song: rename_note(song, 1, 0, NoteName("E")), "name", typing="name")
    assert document.song is before
    assert document.undo_stack.count() == 0


def test_cancelled_typing_leaves_no_trace(document: LessonDocument) -> None:
    before = document.song
    type_words(document, "Sl")
    type_words(document, "Slo")
    document.cancel_typing("words 1 together")
    assert document.song is before
    assert document.undo_stack.count() == 0
    assert not document.undo_stack.canRedo()


def test_typing_after_an_undo_begins_a_change_of_its_own(document: LessonDocument) -> None:
    type_words(document, "Slowly.")
    document.undo_stack.undo()
    type_words(document, "Fast.")
    words = document.song.parts[0].teaching.words_for("together")
    assert words is not None
    assert words.text == "Fast."
    document.undo_stack.undo()
    assert document.song.parts[0].teaching.words_for("together") is None


EDITS: tuple[Callable[..., Song], ...] = (
    lambda song, number: rename_note(song, number % len(song.parts) + 1, 0, NoteName("CDEFGAB"[number % 7])),
    lambda song, number: resize_note(song, number % len(song.parts) + 1, 0, (number % 4 + 1) * TICKS_PER_QUARTER),
    lambda song, number: remove_note(song, number % len(song.parts) + 1, number % 9),
    lambda song, number: move_cut(song, number % len(song.parts) + 1, (number % 32) * TICKS_PER_QUARTER),
    lambda song, number: split_part(song, number % len(song.parts) + 1, (number % 32) * TICKS_PER_QUARTER),
    lambda song, number: join_parts(song, number % len(song.parts) + 1),
    lambda song, number: add_chord(
        song, number % len(song.parts) + 1, (number % 8) * TICKS_PER_QUARTER, TICKS_PER_QUARTER, parse_chord("Am")
    ),
)


@given(st.lists(st.tuples(st.integers(0, len(EDITS) - 1), st.integers(0, 100)), max_size=12))
def test_any_changes_undone_give_the_same_song_and_done_again_the_changed_one(
    qapp: QApplication, changes: list[tuple[int, int]]
) -> None:
    assert qapp is not None
    document = LessonDocument(night_ferry())
    before = document.song
    for which, number in changes:
        document.apply(partial(EDITS[which], number=number), "change")
    after = document.song
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert document.song is before
    while document.undo_stack.canRedo():
        document.undo_stack.redo()
    assert document.song is after


def test_an_edit_may_not_be_half_done(document: LessonDocument) -> None:
    def half(song: Song) -> Song:
        rename_note(song, 1, 0, NoteName("D"))
        raise EditError("This cannot be done.")

    before = document.song
    document.apply(half, "half")
    assert document.song is before
