from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.arranging.left_hand import PATTERNS, left_hand
from core.arranging.right_hand import HARMONIES, right_hand
from core.song.chord import Chord
from core.song.errors import DomainError
from core.song.hand_profile import HandProfile
from core.song.key import Key, KeyChange
from core.song.note import Hand, Note
from core.song.part import Part, Teaching, in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord
from core.theory.chord_tones import chord_tones
from tests.helpers.strategies import chord_symbols, keys, pitches

Q = TICKS_PER_QUARTER
NAMES = [harmony.name for harmony in HARMONIES]


def line(text: str, chord: str = "", key: str = "C major", hands: HandProfile = HandProfile()) -> Song:  # noqa: B008 - a frozen profile is no shared state
    notes = tuple(Note(place * Q, Q, Pitch.parse(name)) for place, name in enumerate(text.split()))
    length = len(notes) * Q
    chords = (Chord(0, length, parse_chord(chord)),) if chord else ()
    part = Part(length, notes, chords)
    return Song("Line", (part,), keys=(KeyChange(0, Key.parse(key)),), hands=hands)


def under(song: Song, harmony: str) -> list[str]:
    """What lies under each melody note; '-' for nothing."""
    notes = right_hand(song, 1, harmony)
    found = []
    for melody in song.part(1).melody:
        below = [n.pitch.plain for n in notes if not n.melody and n.onset == melody.onset]
        found.append("+".join(below) or "-")
    return found


def test_thirds_under_a_major_scale_are_the_keys_own() -> None:
    """Worked example: C D E F G A B C with A B C D E F G A below, minor and major as the key has them."""
    assert under(line("C5 D5 E5 F5 G5 A5 B5 C6"), "thirds") == "A4 B4 C5 D5 E5 F5 G5 A5".split()
    assert under(line("D5 E5 F#5 G5", key="D major"), "thirds") == "B4 C#5 D5 E5".split()


def test_sixths_under_a_major_scale_are_the_keys_own() -> None:
    assert under(line("C5 D5 E5 F5 G5 A5 B5 C6"), "sixths") == "E4 F4 G4 A4 B4 C5 D5 E5".split()


def test_thirds_and_sixths_under_a_minor_scale_are_the_keys_own() -> None:
    assert under(line("A4 B4 C5 D5 E5 F5 G5 A5", key="A minor"), "thirds") == "F4 G4 A4 B4 C5 D5 E5 F5".split()
    assert under(line("A4 B4 C5 D5 E5", key="A minor"), "sixths") == "C4 D4 E4 F4 G4".split()


def test_the_chords_accidental_comes_before_the_keys() -> None:
    assert under(line("B4", "E", key="A minor"), "thirds") == ["G#4"]


def test_under_a_chord_tone_lies_a_chord_tone() -> None:
    """Under C in C major a third would be A, which makes another chord: the fourth G is taken."""
    assert under(line("C5 E5 G5", "C"), "thirds") == ["G4", "C5", "E5"]
    assert under(line("G5", "C"), "sixths") == ["C5"]


def test_passing_and_neighbour_notes_stay_plain() -> None:
    assert under(line("C5 D5 E5 F5 E5", "C"), "thirds") == ["G4", "-", "C5", "-", "C5"]


def test_long_notes_have_two_of_the_chord_and_short_ones_none() -> None:
    notes = (Note(0, Q, Pitch.parse("E5")), Note(Q, 3 * Q, Pitch.parse("G5")))
    song = Song("Long", (Part(4 * Q, notes, (Chord(0, 4 * Q, parse_chord("C")),)),))
    assert under(song, "long_notes") == ["-", "C5+E5"]


def test_octaves_are_filled_with_the_chord() -> None:
    assert under(line("C6", "C"), "octaves_below") == ["C5"]
    assert under(line("C6", "C"), "filled_octaves") == ["C5+E5+G5"]
    assert under(line("C6", "C", hands=HandProfile(right_reach=11)), "octaves_below") == ["-"]


def test_harmony_only_where_a_chord_lands() -> None:
    notes = (Note(0, Q, Pitch.parse("E5")), Note(Q, Q, Pitch.parse("E5")), Note(2 * Q, 2 * Q, Pitch.parse("F5")))
    chords = (Chord(0, 2 * Q, parse_chord("C")), Chord(2 * Q, 2 * Q, parse_chord("Dm")))
    assert under(Song("Land", (Part(4 * Q, notes, chords),)), "landings") == ["C5", "-", "D5"]


def test_a_held_note_loses_its_companion_when_the_chord_changes() -> None:
    chords = (Chord(0, 2 * Q, parse_chord("C")), Chord(2 * Q, 2 * Q, parse_chord("Am")))
    song = Song("Held", (Part(4 * Q, (Note(0, 4 * Q, Pitch.parse("E5")),), chords),))
    (added,) = [note for note in right_hand(song, 1, "thirds") if not note.melody]
    assert (added.pitch.plain, added.end) == ("C5", 2 * Q)


def test_the_plain_melody_is_what_is_written() -> None:
    song = line("C5 D5", "C")
    assert right_hand(song, 1) == song.part(1).notes
    assert right_hand(song, 1, "none") == song.part(1).hand(Hand.RIGHT)
    with pytest.raises(DomainError, match="one of none"):
        right_hand(song, 1, "tenths")


@st.composite
def harmonised(draw: st.DrawFn) -> Song:
    """A line of notes over chords, in any key, for any hands and left-hand pattern."""
    edges = sorted(draw(st.sets(st.integers(1, 15), min_size=1, max_size=7)) | {0, 16})
    notes = [Note(a * Q // 2, (b - a) * Q // 2, draw(pitches(60, 84))) for a, b in pairwise(edges)]
    changes = sorted(draw(st.sets(st.integers(1, 15), max_size=3)) | {0, 16})
    chords = tuple(Chord(a * Q // 2, (b - a) * Q // 2, draw(chord_symbols())) for a, b in pairwise(changes))
    pattern = draw(st.sampled_from([pattern.name for pattern in PATTERNS]))
    part = Part(8 * Q, in_order(notes), draw(st.sampled_from((chords, ()))), Teaching(pattern=pattern))
    hands = HandProfile(draw(st.integers(7, 17)), draw(st.integers(7, 17)))
    return Song("Any", (part,), keys=(KeyChange(0, draw(keys)),), hands=hands)


@settings(max_examples=150, deadline=None)
@given(harmonised(), st.sampled_from(NAMES))
def test_no_harmony_is_above_the_melody_beyond_the_hand_or_against_the_left_hand(song: Song, name: str) -> None:
    part = song.part(1)
    notes = right_hand(song, 1, name)
    assert tuple(note for note in notes if note.melody) == part.melody
    left = left_hand(song, 1)
    for note in notes:
        if note.melody:
            continue
        together = [other for other in notes if other.onset < note.end and other.end > note.onset]
        melody = [other.pitch.midi for other in together if other.melody]
        assert note.pitch.midi < min(melody)
        assert max(melody) - note.pitch.midi <= song.hands.right_reach
        assert len({other.pitch.midi for other in together}) == len(together)
        held = [other.pitch.midi for other in left if other.onset < note.end and other.end > note.onset]
        assert all(note.pitch.midi - midi > 1 for midi in held)
        chord = next((one for one in part.chords if one.onset <= note.onset < one.end), None)
        if chord is not None and not chord.symbol.is_silent:
            assert note.end <= chord.end
            tones = {one.pitch_class for one in chord_tones(chord.symbol)}
            own = next(other for other in part.melody if other.onset == note.onset)
            assert note.pitch.midi % 12 in tones or (own.pitch.midi - note.pitch.midi) == 12
