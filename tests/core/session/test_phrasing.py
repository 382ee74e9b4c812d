"""The teacher's own phrases for kinds of segments: filled for the lesson, kept in it, never lost."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.edits.set_phrase import set_phrase
from core.edits.set_words import set_words
from core.edits.transpose import transpose
from core.formats.lesson_reading import read_lesson
from core.formats.lesson_writing import write_lesson
from core.session.lesson_settings import LessonSettings
from core.session.running_order import Segment, running_order
from core.song.errors import BrokenFileError, DomainError, EditError
from core.song.phrase import FIELDS, KINDS_OF_SEGMENTS, Phrase, fields_in, filled
from core.song.song import Song
from tests.helpers.songs import lamplighters_waltz, night_ferry

EVERY_FIELD = "\n".join(f"{name}: ‹{name}›." for name in FIELDS)
PLAIN_TEXT = st.text(st.characters(exclude_characters="‹›", exclude_categories=["Cs"]), min_size=1, max_size=40)
TEXTS = st.lists(PLAIN_TEXT | st.sampled_from([f"‹{name}›" for name in FIELDS]), min_size=1, max_size=6).map("".join)
PHRASES = st.builds(Phrase, st.sampled_from(KINDS_OF_SEGMENTS), TEXTS.filter(lambda text: bool(text.strip())))


def said(song: Song, kind: str, given_settings: LessonSettings | None = None) -> tuple[str, ...]:
    return of_kind(song, kind, given_settings or LessonSettings()).say


def of_kind(song: Song, kind: str, given_settings: LessonSettings) -> Segment:
    return next(segment for segment in running_order(song, given_settings) if segment.kind == kind)


def test_every_field_is_filled_in_a_part() -> None:
    song = set_phrase(night_ferry(), "right_hand", EVERY_FIELD)
    computed = said(night_ferry(), "right_hand")
    tempo = of_kind(song, "right_hand", LessonSettings()).play[0].tempo
    assert said(song, "right_hand") == (
        "title: Night Ferry.",
        "part: 1.",
        "parts: 1.",
        "bars: 1 to 2.",
        "key: E Dorian.",
        f"tempo: {tempo:.0f}.",
        "start note: the E above middle C.",
        "first chord: E minor.",
        f"words: {' '.join(computed)}.",
    )


def test_fields_speak_of_all_parts_outside_a_part() -> None:
    song = set_phrase(night_ferry(), "closing", "‹title›, parts ‹parts›, bars ‹bars›. ‹words›")
    assert said(song, "closing")[0].startswith("Night Ferry, parts 1 to 3, bars 1 to 8. That is ")


def test_fields_call_notes_as_the_teacher_does() -> None:
    song = set_phrase(night_ferry(), "right_hand", "‹start note›, ‹first chord›")
    assert said(song, "right_hand", LessonSettings(naming="syllables")) == ("the Mi above middle Do, Mi minor",)


def test_the_lessons_phrase_comes_before_that_of_all_lessons() -> None:
    every = LessonSettings(segment_phrases=(Phrase("opening", "Good evening."), Phrase("closing", "Goodbye.")))
    song = set_phrase(night_ferry(), "opening", "Welcome aboard.")
    assert said(song, "opening", every) == ("Welcome aboard.",)
    assert said(song, "closing", every) == ("Goodbye.",)


def test_a_parts_own_words_come_before_any_phrase_and_have_fields_too() -> None:
    song = set_phrase(night_ferry(), "right_hand", "Look. ‹words›")
    song = set_words(song, 1, "right_hand", "Part ‹part› begins on ‹start note›. ‹smile›")
    assert said(song, "right_hand") == ("Part 1 begins on the E above middle C. ‹smile›",)


def test_an_unknown_field_is_refused_by_its_name_with_those_there_are() -> None:
    with pytest.raises(EditError) as refused:
        set_phrase(night_ferry(), "opening", "Hello, ‹titel›.")
    assert str(refused.value) == (
        "A field of a phrase is 'titel'; it must be one of "
        "title, part, parts, bars, key, tempo, start note, first chord, words."
    )


def test_a_lesson_file_with_an_unknown_field_says_where() -> None:
    song = set_phrase(night_ferry(), "opening", "Hello, ‹title›.")
    broken = write_lesson(song).replace("‹title›".encode(), "‹titel›".encode())
    with pytest.raises(BrokenFileError, match=r"phrases\[0\]\.text.*titel"):
        read_lesson("a.lesson", broken)


def test_blank_gives_the_computed_words_back() -> None:
    song = night_ferry()
    assert set_phrase(set_phrase(song, "opening", "Hello."), "opening", "  ") == song
    assert set_phrase(song, "opening", None) is song


def test_two_phrases_for_one_kind_are_refused() -> None:
    with pytest.raises(DomainError, match="different"):
        LessonSettings(segment_phrases=(Phrase("opening", "A"), Phrase("opening", "B")))


def test_a_phrase_outlives_a_change_of_key_and_its_fields_follow() -> None:
    song = transpose(set_phrase(night_ferry(), "opening", "In ‹key›."), 0)
    assert said(song, "opening") == ("In C Dorian.",)


@given(st.lists(PHRASES, max_size=7, unique_by=lambda phrase: phrase.kind))
@settings(max_examples=60, deadline=None)
def test_any_phrases_come_back_from_the_lesson_file(phrases: list[Phrase]) -> None:
    song = replace(night_ferry(), phrases=tuple(phrases))
    assert read_lesson("a.lesson", write_lesson(song)) == song


@given(TEXTS, st.sampled_from(("signs", "german", "syllables", "degrees", "letters")))
@settings(max_examples=30, deadline=None)
def test_no_field_is_left_unfilled(text: str, naming: str) -> None:
    if not text.strip():
        text = "‹words›"
    phrases = tuple(Phrase(kind, text) for kind in KINDS_OF_SEGMENTS)
    for song in (night_ferry(), lamplighters_waltz()):
        for segment in running_order(song, LessonSettings(naming=naming, segment_phrases=phrases)):
            assert not any(fields_in(paragraph) for paragraph in segment.say)


def test_a_field_without_a_value_stays_as_it_is_written() -> None:
    assert filled("‹ Start  Note › and ‹other›", {"start note": "E"}) == "E and ‹other›"
