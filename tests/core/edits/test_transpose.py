import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.edits.set_finger import set_finger
from core.edits.set_words import set_words
from core.edits.transpose import transpose
from core.song.key import Key, Mode
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.theory.chord_symbols import write_chord
from core.theory.chord_tones import chord_tones
from tests.helpers.songs import DEMO_SONGS, build, lamplighters_waltz, night_ferry

SHARPS = st.integers(-6, 6)
MODES = st.sampled_from(list(Mode))


def melody(song: Song, number: int) -> str:
    return " ".join(note.pitch.plain for note in song.part(number).melody)


def test_every_note_and_chord_keeps_its_degree() -> None:
    song = transpose(night_ferry(), 2)
    assert song.key.plain == "D dorian"
    assert melody(song, 1) == "D4 F4 G4 A4 G4 F4 E4"
    assert [write_chord(chord.symbol) for _, chord in song.placed_chords()] == ["Dm", "G", "F", "C", "Dm"]


def test_the_flat_sixth_stays_a_flat_sixth() -> None:
    """F flat in A flat major becomes B double flat in D flat major and A flat in C major."""
    assert melody(transpose(lamplighters_waltz(), 1), 5).startswith("Bbb4")
    assert melody(transpose(lamplighters_waltz(), 0), 5).startswith("Ab4")


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(sorted(DEMO_SONGS)), st.integers(0, 11), st.integers(0, 11))
def test_there_and_back_is_the_same_music(name: str, there: int, back: int) -> None:
    song = DEMO_SONGS[name]()
    moved = transpose(transpose(song, there), song.key.tonic.pitch_class)
    assert [n.pitch.name for _, n in moved.placed_notes()] == [n.pitch.name for _, n in song.placed_notes()]
    direct, by_way = transpose(song, back), transpose(transpose(song, there), back)
    assert [n.pitch.name for _, n in direct.placed_notes()] == [n.pitch.name for _, n in by_way.placed_notes()]


@pytest.mark.parametrize("name", DEMO_SONGS)
@pytest.mark.parametrize("pitch_class", range(12))
def test_no_key_is_written_with_needless_signs(name: str, pitch_class: int) -> None:
    song = DEMO_SONGS[name]()
    moved = transpose(song, pitch_class)
    assert abs(moved.key.fifths) <= 6
    shift = {
        new.pitch.midi - old.pitch.midi
        for (_, new), (_, old) in zip(moved.placed_notes(), song.placed_notes(), strict=True)
    }
    assert len(shift) == 1
    assert -6 <= shift.pop() <= 5
    for (_, new), (_, old) in zip(moved.placed_chords(), song.placed_chords(), strict=True):
        assert len(chord_tones(new.symbol)) == len(chord_tones(old.symbol))


def test_own_fingers_go_and_own_words_are_marked() -> None:
    song = set_words(set_finger(night_ferry(), 1, 0, 2), 1, "right_hand", "Start on E.")
    moved = transpose(song, 0)
    assert moved.part(1).notes[0].finger is None
    assert moved.part(1).teaching.words[0].review
    assert transpose(song, 4) is song


def in_key(key: Key, names: list[NoteName]) -> Song:
    """A song of quarter notes with these names around middle C."""
    song = build("Any", key.plain, "4/4", 100, [(len(names), "C " * len(names), [])])
    notes = tuple(
        replace(note, pitch=Pitch(name.letter, name.alteration, 4))
        for note, name in zip(song.part(1).notes, names, strict=True)
    )
    return replace(song, parts=(replace(song.part(1), notes=notes),))


@settings(max_examples=60, deadline=None)
@given(SHARPS, MODES, st.lists(st.integers(0, 6), min_size=1, max_size=8), st.integers(0, 11))
def test_a_tune_of_its_scale_stays_one_and_needs_no_double_signs(
    fifths: int, mode: Mode, degrees: list[int], pitch_class: int
) -> None:
    key = Key.of_signature(fifths, mode)
    moved = transpose(in_key(key, [key.scale[degree] for degree in degrees]), pitch_class)
    names = [note.pitch.name for note in moved.part(1).notes]
    assert names == [moved.key.scale[degree] for degree in degrees]
    assert all(abs(name.alteration) <= 1 for name in names)


@settings(max_examples=60, deadline=None)
@given(SHARPS, st.lists(st.tuples(st.integers(0, 6), st.integers(-1, 1)), min_size=1, max_size=8), st.integers(0, 11))
def test_a_double_sign_stands_only_on_a_degree_that_was_altered(
    fifths: int, degrees: list[tuple[int, int]], pitch_class: int
) -> None:
    key = Key.of_signature(fifths)
    names = [
        NoteName(key.scale[degree].letter, max(-2, min(2, key.scale[degree].alteration + more)))
        for degree, more in degrees
    ]
    moved = transpose(in_key(key, names), pitch_class)
    for before, note in zip(names, moved.part(1).notes, strict=True):
        if abs(note.pitch.name.alteration) == 2:
            assert before not in key.scale
            assert note.pitch.name.letter in {name.letter for name in moved.key.scale}
            here = note.pitch.name.alteration - moved.key.altered(note.pitch.name.letter).alteration
            there = before.alteration - key.altered(before.letter).alteration
            assert here == there
