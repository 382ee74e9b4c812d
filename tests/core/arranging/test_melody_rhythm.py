from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.arranging.left_hand import PATTERNS, left_hand
from core.arranging.melody_rhythm import RHYTHMS, with_rhythm
from core.arranging.right_hand import right_hand
from core.edits.set_teaching import set_rhythm
from core.performance.schedule import make_schedule
from core.performance.selection import one_part
from core.song.chord import Chord
from core.song.errors import DomainError, EditError
from core.song.metre import Metre, MetreChange
from core.song.note import Hand, Note
from core.song.part import Part, Teaching
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import DEMO_SONGS, night_ferry
from tests.helpers.strategies import chord_symbols, pitches

Q = TICKS_PER_QUARTER
NAMES = [rhythm.name for rhythm in RHYTHMS]


def line(*notes: tuple[float, float, str], metre: str = "4/4") -> Song:
    placed = tuple(Note(round(onset * Q), round(length * Q), Pitch.parse(name)) for onset, length, name in notes)
    bar = Metre.parse(metre)
    return Song("Line", (Part(2 * bar.bar_ticks, placed),), metres=(MetreChange(0, bar),))


def heard(song: Song, name: str) -> list[tuple[float, float, str]]:
    return [(n.onset / Q, n.duration / Q, n.pitch.plain) for n in with_rhythm(song, 1, name).melody]


def test_an_anticipation_comes_half_a_beat_before_the_bar_line_and_shortens_what_is_before() -> None:
    song = line((0, 4, "C5"), (4, 2, "E5"), (6, 2, "G5"))
    assert heard(song, "early") == [(0, 3.5, "C5"), (3.5, 2.5, "E5"), (6, 2, "G5")]


def test_back_phrasing_comes_half_a_beat_after_the_bar_line_and_ends_as_before() -> None:
    song = line((0, 4, "C5"), (4, 2, "E5"), (6, 2, "G5"))
    assert heard(song, "late") == [(0.5, 3.5, "C5"), (4.5, 1.5, "E5"), (6, 2, "G5")]


def test_a_dotted_beat_gives_a_third_of_itself() -> None:
    song = line((0, 3, "C5"), (3, 1.5, "E5"), metre="6/8")
    assert heard(song, "early") == [(0, 2.5, "C5"), (2.5, 2, "E5")]


def test_a_rest_is_filled_with_the_note_before_it_on_each_beat() -> None:
    song = line((0, 1.5, "C5"), (4, 2, "E5"))
    assert heard(song, "repeated") == [(0, 1.5, "C5"), (2, 1, "C5"), (3, 1, "C5"), (4, 2, "E5")]


def test_short_notes_and_a_note_with_no_room_before_it_stay() -> None:
    song = line((0, 3.5, "C5"), (3.5, 0.5, "D5"), (4, 0.5, "E5"), (4.5, 3.5, "F5"))
    assert with_rhythm(song, 1, "early") is song.part(1)


def test_an_unknown_rhythm_is_refused() -> None:
    with pytest.raises(DomainError, match="one of written"):
        with_rhythm(night_ferry(), 1, "swung")
    with pytest.raises(EditError, match="choose one of written"):
        set_rhythm(night_ferry(), 1, "swung")


@pytest.mark.parametrize("name", DEMO_SONGS)
@pytest.mark.parametrize("rhythm", NAMES)
def test_a_loosened_melody_is_heard_and_the_plain_one_comes_back(name: str, rhythm: str) -> None:
    plain = DEMO_SONGS[name]()
    song = set_rhythm(plain, 2, rhythm)
    assert song.part(2).notes == plain.part(2).notes
    before, after = make_schedule(plain, one_part(plain, 2)), make_schedule(song, one_part(song, 2))
    assert after.length == before.length
    assert set_rhythm(song, 2, "written") == plain


@st.composite
def lines(draw: st.DrawFn) -> Song:
    bar = Metre.parse(draw(st.sampled_from(("3/4", "4/4", "6/8", "5/4", "7/8"))))
    length = 3 * bar.bar_ticks
    edges = sorted(draw(st.sets(st.integers(0, 2 * length // Q - 1), min_size=2, max_size=9)))
    notes = []
    for onset, end in pairwise([*(edge * Q // 2 for edge in edges), length]):
        notes.append(Note(onset, draw(st.integers(1, (end - onset) // (Q // 2))) * (Q // 2), draw(pitches(58, 80))))
    cuts = sorted(draw(st.sets(st.integers(1, 2 * length // Q - 1), max_size=3)))
    chords = tuple(
        Chord(onset, end - onset, draw(chord_symbols()))
        for onset, end in pairwise([0, *(cut * Q // 2 for cut in cuts), length])
    )
    pattern = draw(st.sampled_from([pattern.name for pattern in PATTERNS]))
    part = Part(length, tuple(notes), chords, Teaching(pattern=pattern))
    return Song("Any", (part,), metres=(MetreChange(0, bar),))


@settings(max_examples=120, deadline=None)
@given(lines(), st.sampled_from(NAMES), st.sampled_from(("none", "thirds", "filled_octaves")))
def test_a_loosened_melody_stays_one_line_in_order_and_within_its_length(song: Song, rhythm: str, harmony: str) -> None:
    written = song.part(1).melody
    left = left_hand(song, 1)
    played = right_hand(song, 1, harmony, left, rhythm)
    melody = [note for note in played if note.melody]
    assert all(before.end <= after.onset for before, after in pairwise(melody))
    assert all(note.duration > 0 for note in played)
    assert max(note.end for note in played) == max(note.end for note in written)
    kept = [note.pitch for place, note in enumerate(melody) if not place or melody[place - 1].pitch != note.pitch]
    assert kept == [n.pitch for place, n in enumerate(written) if not place or written[place - 1].pitch != n.pitch]
    if rhythm != "repeated":
        assert [note.pitch for note in melody] == [note.pitch for note in written]
    crossing = [note for note in written if any(_meets(note, other) for other in left)]
    for note in played:
        if not note.melody or not crossing:
            assert not any(_meets(note, other) for other in left), note
        assert note.hand is Hand.RIGHT


def _meets(note: Note, other: Note) -> bool:
    """Whether the left hand holds a key at or above a note of the right while it sounds."""
    return other.onset < note.end and other.end > note.onset and other.pitch.midi >= note.pitch.midi
