"""Lesson files that cannot be read: one sentence each, with the place of the fault."""

import json
from collections.abc import Callable
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.formats.lesson_file import read_lesson, write_lesson
from core.song.errors import BrokenFileError, ForeignFileError, FormatError, NewerFileError
from tests.helpers.songs import night_ferry

WHOLE = write_lesson(night_ferry())


def said(data: bytes) -> FormatError:
    with pytest.raises(FormatError) as caught:
        read_lesson("ferry.lesson", data)
    return caught.value


def changed(change: Callable[[dict[str, object]], object]) -> bytes:
    document = json.loads(WHOLE)
    change(document)
    return json.dumps(document).encode()


def first_note(document: dict[str, object]) -> dict[str, object]:
    return document["parts"][0]["notes"][0]  # type: ignore[index,no-any-return]  # a lesson file is JSON, whose shape mypy cannot know


@given(st.integers(0, len(WHOLE) - 3))
@settings(max_examples=80, deadline=None)
def test_a_file_cut_short_anywhere_is_one_sentence(length: int) -> None:
    error = said(WHOLE[:length])
    assert isinstance(error, BrokenFileError | ForeignFileError)
    assert str(error).startswith("ferry.lesson")
    assert str(error).count("\n") == 0
    assert str(error).endswith(".")


def test_a_file_cut_short_names_its_last_line() -> None:
    cut = WHOLE[: WHOLE.index(b'"pitch": "B4"')]
    error = said(cut)
    assert isinstance(error, BrokenFileError)
    assert error.place.startswith(f"line {len(cut.splitlines())}, column ")
    assert error.trouble == "the file is cut short"


def test_a_slip_of_the_keyboard_is_found_by_line_and_column() -> None:
    error = said(b'{"format": "phrasebench lesson",\n "version": 1,\n "title" "x"}')
    assert (type(error), error.place) == (BrokenFileError, "line 3, column 10")


def test_a_character_that_is_not_utf8_is_found() -> None:
    error = said(b'{"format": "phrasebench lesson",\n "title": "\xff"}')
    assert (error.place, error.trouble) == ("line 2, column 12", "a character is not UTF-8")


@pytest.mark.parametrize("data", [b"", b"  \n "])
def test_an_empty_file_is_broken(data: bytes) -> None:
    assert isinstance(said(data), BrokenFileError)


@pytest.mark.parametrize(
    "data", [b"Dear diary", b"MThd\0\0", b"[1, 2]", b'{"format": "something else"}', b"{}", b"\xff\xfe\0"]
)
def test_what_is_no_lesson_is_foreign(data: bytes) -> None:
    assert isinstance(said(data), ForeignFileError)


def test_a_later_version_is_not_guessed_at() -> None:
    error = said(changed(lambda document: document.update(version=2, parts="a new thing")))
    assert isinstance(error, NewerFileError)
    assert "update" in error.remedy


@pytest.mark.parametrize("version", [None, "1", True, 0, -3])
def test_a_version_that_never_was_is_broken(version: object) -> None:
    assert said(changed(lambda document: document.update(version=version))).place == "$.version"


@pytest.mark.parametrize(
    ("change", "place"),
    [
        (lambda document: document.pop("title"), "$.title"),
        (lambda document: document.update(title=5), "$.title"),
        (lambda document: document.pop("parts"), "$.parts"),
        (lambda document: document.update(parts={}), "$.parts"),
        (lambda document: document.update(parts=[]), "$"),
        (lambda document: document.update(parts=[7]), "$.parts[0]"),
        (lambda document: document.update(hands=[]), "$.hands"),
        (lambda document: document.update(hands={"left_reach": 40}), "$.hands"),
        (lambda document: document.update(playing_order=[1, 9]), "$"),
        (lambda document: document.update(playing_order=[1, "two"]), "$.playing_order[1]"),
        (lambda document: document.update(pickup=4), "$"),
        (lambda document: document.update(keys=[{"key": "H major"}]), "$.keys[0].key"),
        (lambda document: document.update(keys=[]), "$"),
        (lambda document: document.update(metres=[{"metre": "4/5"}]), "$.metres[0].metre"),
        (lambda document: document.update(tempos=[{"bpm": 9000}]), "$.tempos[0].bpm"),
        (lambda document: document.update(tempos=[{"bpm": True}]), "$.tempos[0].bpm"),
        (lambda document: document["parts"][1].update(duration=0), "$.parts[1]"),
        (lambda document: document["parts"][1].update(duration=1), "$.parts[1]"),
        (lambda document: document["parts"][1].update(taught="yes"), "$.parts[1].taught"),
        (
            lambda document: document["parts"][1].update(words=[{"kind": "foot", "text": ""}]),
            "$.parts[1].words[0].kind",
        ),
        (lambda document: document["parts"][1].update(teaching_tempo=0), "$.parts[1].teaching_tempo"),
        (lambda document: document["parts"][1]["chords"][1].update(symbol="Q7"), "$.parts[1].chords[1].symbol"),
        (lambda document: document["parts"][1]["chords"][1].update(onset=1), "$.parts[1]"),
        (lambda document: first_note(document).update(pitch="E"), "$.parts[0].notes[0].pitch"),
        (lambda document: first_note(document).update(onset=-1), "$.parts[0].notes[0]"),
        (lambda document: first_note(document).update(onset="1/0"), "$.parts[0].notes[0].onset"),
        (lambda document: first_note(document).update(onset="soon"), "$.parts[0].notes[0].onset"),
        (lambda document: first_note(document).update(onset=1e30), "$.parts[0].notes[0].onset"),
        (lambda document: first_note(document).update(duration=None), "$.parts[0].notes[0].duration"),
        (lambda document: first_note(document).update(hand="foot"), "$.parts[0].notes[0].hand"),
        (lambda document: first_note(document).update(finger=6), "$.parts[0].notes[0]"),
        (lambda document: first_note(document).update(finger=1.5), "$.parts[0].notes[0].finger"),
    ],
)
def test_a_field_that_makes_no_sense_is_found_by_its_path(
    change: Callable[[dict[str, object]], object], place: str
) -> None:
    error = said(changed(change))
    assert (type(error), error.place) == (BrokenFileError, place)


def test_brackets_without_end_do_not_bring_the_program_down() -> None:
    assert isinstance(said(b'{"a":' * 100_000), BrokenFileError)


@given(st.integers(0, len(WHOLE) - 1), st.binary(min_size=1, max_size=3))
@settings(max_examples=80, deadline=None)
def test_a_file_damaged_anywhere_is_read_or_refused_and_nothing_else(place: int, damage: bytes) -> None:
    data = WHOLE[:place] + damage + WHOLE[place + len(damage) :]
    with suppress(FormatError):
        read_lesson("ferry.lesson", data)
