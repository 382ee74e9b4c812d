"""The words of a plan beside what is said."""

import pytest
from msgspec.structs import replace

from core.handover.plan_words import (
    CLEAR_RIGHTS,
    READ_AGAIN,
    clock,
    credits_of,
    facts_of,
    felt_tempo,
    hand_pitches,
    lasts,
    review_of,
    span,
    what_to_play,
    where_hands_lie,
)
from core.session.running_order import USUAL_SETTINGS, Segment, running_order
from core.session.timing import Play
from core.song.metre import Metre
from core.song.note import Hand
from core.song.part import OwnWords
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER as QUARTER
from tests.helpers.drawn_songs import drawn_song, ferry, part

BAR = 4 * QUARTER


def played(song: Song, kind: str, *plays: Play) -> str:
    return what_to_play(song, Segment(1, kind, (1,), "", (), "", plays, 0, 0))


def test_what_to_play_names_hands_tempo_and_times() -> None:
    song = ferry()
    assert played(song, "right_hand", Play(0, 2 * BAR, "right", 56.0, 2)) == "right, 56, twice"
    assert played(song, "together", Play(0, 2 * BAR, "both", 56.5, 3)) == "both, 56.5, three times"
    assert played(song, "left_hand", Play(0, 2 * BAR, "left", 56.0)) == "left, 56"
    assert played(song, "closing") == ""


def test_the_opening_names_its_parts_and_their_repeats() -> None:
    song = ferry()
    onsets = song.part_onsets
    whole = Play(0, song.length, "both", 84.0)
    assert played(song, "opening", whole) == "parts 1–3, both, 84"
    again = Play(0, onsets[1], "both", 84.0)
    assert played(song, "opening", whole, again) == "parts 1–3, then 1, both, 84"


def test_tempos_are_in_the_beats_a_player_counts() -> None:
    assert felt_tempo(84.0, Metre(4, 4)) == 84.0
    assert felt_tempo(78.0, Metre(6, 8)) == 52.0
    song = drawn_song("Six", "C major", "6/8", part("C5:3"), tempo=78.0)
    assert played(song, "right_hand", Play(0, 3 * QUARTER, "right", 60.0)) == "right, 40"
    assert "52 dotted beats a minute" in facts_of(song, (), USUAL_SETTINGS)


def test_the_facts_name_key_metre_tempo_extent_and_time() -> None:
    song = replace(ferry(), section="verse")
    segments = (
        Segment(1, "right_hand", (1,), "", (), "", (Play(0, BAR, "right", 56.0),), 0.0, 60.0),
        Segment(2, "right_hand", (2,), "", (), "", (Play(0, BAR, "right", 59.0),), 60.0, 333.0),
    )
    assert facts_of(song, segments, USUAL_SETTINGS) == (
        "Session plan · E Dorian · 4/4 · 84 bpm, taught at 56–59 · verse, 8 bars, 3 parts · 6:33"
    )


def test_a_song_without_a_note_of_rights_is_reminded_to_clear_them() -> None:
    assert credits_of(ferry()) == CLEAR_RIGHTS
    assert credits_of(replace(ferry(), rights="Own work", composer="A. Teacher")) == "A. Teacher · Rights: Own work."


@pytest.mark.parametrize(
    ("seconds", "text"), [(0, "0:00"), (59.4, "0:59"), (59.6, "1:00"), (393.0, "6:33"), (3993, "1:06:33")]
)
def test_times_are_in_minutes_and_hours(seconds: float, text: str) -> None:
    assert clock(seconds) == text


def test_the_tables_times_add_up() -> None:
    segments = running_order(ferry())
    total = 0
    for segment in segments:
        assert clock(total) == clock(segment.start)
        minutes, seconds = lasts(segment).split(":")
        total += 60 * int(minutes) + int(seconds)


@pytest.mark.parametrize(
    ("numbers", "text"), [((2,), "part 2"), ((1, 2, 3), "parts 1–3"), ((1, 2), "parts 1–2"), ((1, 3), "parts 1, 3")]
)
def test_parts_are_counted_shortly(numbers: tuple[int, ...], text: str) -> None:
    assert span(numbers) == text


@pytest.mark.parametrize(
    ("right", "left", "words"),
    [
        (("E4", "D5"), (), "Right hand from the E above middle C up to D"),
        (("C5",), ("E3", "B3"), "Right hand on the C above middle C · left hand from the E below middle C up to B"),
        (("C4", "C5"), (), "Right hand from middle C up to the C above middle C"),
        (("E4", "E5"), (), "Right hand from the E above middle C up to the second E above middle C"),
        (("A3", "F#5"), (), "Right hand from the A below middle C up to the second F sharp above middle C"),
        (("G4", "G4"), (), "Right hand on the G above middle C"),
    ],
)
def test_where_the_hands_lie(right: tuple[str, ...], left: tuple[str, ...], words: str) -> None:
    pitches = {Hand.RIGHT: tuple(map(Pitch.parse, right))}
    if left:
        pitches[Hand.LEFT] = tuple(map(Pitch.parse, left))
    assert where_hands_lie(pitches) == words


def test_the_hands_play_what_the_plain_version_has() -> None:
    pitches = hand_pitches(ferry())
    assert [pitch.plain for pitch in pitches[Hand.RIGHT]] == ["E4", "F#4", "G4", "A4", "B4", "C#5", "D5"]
    assert {pitch.letter for pitch in pitches[Hand.LEFT]} <= set("EGBACDF")
    assert Hand.LEFT not in hand_pitches(drawn_song("Bare", "C major", "4/4", part("C4:4")))


def test_own_words_older_than_the_notes_are_marked() -> None:
    song = ferry()
    first = song.parts[0]
    own = replace(first.teaching, words=(OwnWords("right_hand", "Mine.", review=True),))
    song = song.with_part(1, replace(first, teaching=own))
    marks = {(segment.kind, segment.parts): review_of(song, segment) for segment in running_order(song)}
    assert marks[("right_hand", (1,))] == READ_AGAIN
    assert [mark for mark in marks.values() if mark] == [READ_AGAIN]
