from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.arranging.introductions import ending, introduction, leading_chord
from core.arranging.pedal import pedal_marks
from core.edits.add_frame import add_ending, add_introduction
from core.session.running_order import running_order
from core.song.chord import NO_CHORD, Chord
from core.song.errors import EditError
from core.song.key import Key
from core.song.note import Note
from core.song.part import Part
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord, write_chord
from core.theory.chord_tones import chord_tones
from tests.helpers.songs import DEMO_SONGS, night_ferry
from tests.helpers.strategies import songs

Q = TICKS_PER_QUARTER


def in_c(symbols: str, pickup: int = 0) -> Song:
    names = symbols.split()
    chords = tuple(Chord(pickup + place * 4 * Q, 4 * Q, parse_chord(name)) for place, name in enumerate(names))
    part = Part(pickup + len(names) * 4 * Q, (Note(0, Q, Pitch.parse("G4")),), chords)
    return Song("In C", (part,), pickup=pickup)


def written(part: Part) -> list[str]:
    return [write_chord(chord.symbol) for chord in part.chords]


def test_an_introduction_goes_through_the_last_chords_to_the_dominant() -> None:
    song = in_c("C Am F G C")
    assert written(introduction(song, 2)) == ["C", "G7"]
    assert written(introduction(song, 4)) == ["C", "F", "G", "G7"]
    assert introduction(song, 4).duration == 16 * Q


def test_an_ending_plays_the_cadence_again_and_rests_on_the_last_chord() -> None:
    song = in_c("C Am F G C")
    assert written(ending(song, 4)) == ["F", "G", "C", "C"]
    last = ending(song, 2).notes[-1]
    assert (last.onset, last.duration, last.pitch.name.plain) == (4 * Q, 4 * Q, "C")


@pytest.mark.parametrize(
    ("key", "chord"),
    [("C major", "G7"), ("A minor", "E7"), ("E dorian", "D"), ("D mixolydian", "C"), ("E phrygian", "F")],
)
def test_each_mode_is_led_into_by_its_own_chord(key: str, chord: str) -> None:
    assert write_chord(leading_chord(Key.parse(key))) == chord


def test_an_introduction_leaves_room_for_the_pickup() -> None:
    song = in_c("C F G C", pickup=Q)
    framed = add_introduction(song, 2)
    assert framed.pickup == 0
    assert framed.part(1).duration == 7 * Q
    assert framed.part(2) is song.part(1)
    assert [bar.onset for bar in framed.bars][:3] == [0, 4 * Q, 8 * Q]
    assert framed.playing_order == (1, 2)


def test_an_ending_first_fills_up_the_last_bar() -> None:
    song = in_c("C F G C", pickup=Q)
    part = replace(
        song.part(1), duration=16 * Q, chords=(*song.part(1).chords[:3], Chord(13 * Q, 3 * Q, parse_chord("C")))
    )
    short = replace(song, parts=(part,))
    framed = add_ending(short, 2)
    assert framed.part(2).chords[0].duration == Q
    assert all(bar.duration == 4 * Q for bar in framed.bars[1:])


def test_what_cannot_be_framed_is_refused() -> None:
    with pytest.raises(EditError, match="2 or 4"):
        add_introduction(night_ferry(), 3)
    silent = replace(night_ferry(), parts=(Part(4 * Q, chords=(Chord(0, 4 * Q, NO_CHORD),)),), playing_order=(1,))
    with pytest.raises(EditError, match="at least one"):
        add_ending(silent, 2)


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_framed_song_is_taught_like_any_other(name: str) -> None:
    song = add_ending(add_introduction(DEMO_SONGS[name](), 2), 4)
    assert running_order(song)[-1].kind == "closing"
    assert song.parts[1:-1] == DEMO_SONGS[name]().parts


@settings(max_examples=50, deadline=None)
@given(songs(with_extras=False), st.sampled_from((2, 4)))
def test_frames_of_any_song_hold_chord_tones_alone_and_leave_its_parts_alone(song: Song, bars: int) -> None:
    try:
        framed = add_ending(add_introduction(song, bars), bars)
    except EditError:
        assert all(chord.symbol.is_silent for _, chord in song.placed_chords())
        return
    assert framed.parts[1:-1] == song.parts
    assert framed.playing_order[1:-1] == tuple(number + 1 for number in song.playing_order)
    for part in (framed.parts[0], framed.parts[-1]):
        for note in part.notes:
            chord = next(chord for chord in part.chords if chord.onset <= note.onset < chord.end)
            assert note.pitch.midi % 12 in {name.pitch_class for name in chord_tones(chord.symbol)}
            assert note.end <= part.duration


def test_the_pedal_changes_with_the_chord_and_at_bar_lines() -> None:
    part = Part(
        12 * Q,
        chords=(
            Chord(0, 6 * Q, parse_chord("C")),
            Chord(6 * Q, 2 * Q, parse_chord("F")),
            Chord(8 * Q, 2 * Q, NO_CHORD),
            Chord(10 * Q, 2 * Q, parse_chord("G")),
        ),
    )
    marks = pedal_marks(Song("Pedal", (part,)), 1)
    assert [(mark.down / Q, mark.up / Q) for mark in marks] == [(0, 4), (4, 6), (6, 8), (10, 12)]


@settings(max_examples=50, deadline=None)
@given(songs(with_extras=False))
def test_the_pedal_never_holds_two_chords(song: Song) -> None:
    for number, part in enumerate(song.parts, 1):
        marks = pedal_marks(song, number)
        assert all(before.up <= after.down for before, after in pairwise(marks))
        for mark in marks:
            assert sum(chord.onset < mark.up and chord.end > mark.down for chord in part.chords) == 1
