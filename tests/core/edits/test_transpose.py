import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.edits.set_finger import set_finger
from core.edits.set_words import set_words
from core.edits.transpose import transpose
from core.song.song import Song
from core.theory.chord_symbols import write_chord
from core.theory.chord_tones import chord_tones
from tests.helpers.songs import DEMO_SONGS, lamplighters_waltz, night_ferry


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
