import pytest
from msgspec.structs import replace

from core.arranging.left_hand import PATTERNS, left_hand
from core.edits.set_teaching import set_pattern
from core.song.errors import DomainError
from core.song.hand_profile import HandProfile
from core.song.note import Hand
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import DEMO_SONGS, heron_at_the_sluice, lamplighters_waltz, night_ferry

Q = TICKS_PER_QUARTER


def played(song: Song, number: int, pattern: str) -> list[tuple[float, float, str]]:
    return [(note.onset / Q, note.duration / Q, note.pitch.plain) for note in left_hand(song, number, pattern)]


def test_a_block_is_held_as_long_as_its_chord() -> None:
    assert played(night_ferry(), 1, "block") == [(0, 8, "E3"), (0, 8, "G3"), (0, 8, "B3")]


def test_a_broken_chord_goes_up_and_back_on_every_beat() -> None:
    assert played(night_ferry(), 1, "broken") == [
        (beat, 1, name) for beat, name in enumerate(["E3", "G3", "B3", "G3", "E3", "G3", "B3", "G3"])
    ]
    assert [name for _, _, name in played(lamplighters_waltz(), 1, "broken")][:6] == [
        "Ab3", "C4", "Eb4", "Ab3", "C4", "Eb4",
    ]  # fmt: skip  # a table, read line by line


def test_a_compound_metre_is_broken_in_its_short_notes() -> None:
    assert played(heron_at_the_sluice(), 2, "broken")[:7] == [
        (0, 0.5, "F#3"), (0.5, 0.5, "A3"), (1, 0.5, "C#4"),
        (1.5, 0.5, "F#3"), (2, 0.5, "A3"), (2.5, 0.5, "C#4"), (3, 0.5, "G#3"),
    ]  # fmt: skip  # a table, read line by line


def test_octaves_double_the_bass_on_every_beat() -> None:
    notes = played(night_ferry(), 2, "octaves")
    assert notes[:4] == [(0, 1, "A1"), (0, 1, "A2"), (1, 1, "A1"), (1, 1, "A2")]
    assert notes[-2:] == [(11, 1, "G2"), (11, 1, "G3")]


def test_a_hand_that_reaches_no_octave_plays_the_bass_alone() -> None:
    song = replace(night_ferry(), hands=HandProfile(left_reach=11))
    assert played(song, 1, "octaves")[:2] == [(0, 1, "E2"), (1, 1, "E2")]


@pytest.mark.parametrize("name", DEMO_SONGS)
@pytest.mark.parametrize("pattern", [pattern.name for pattern in PATTERNS])
def test_every_pattern_fills_its_chords_and_stays_under_the_melody(name: str, pattern: str) -> None:
    song = DEMO_SONGS[name]()
    for number, part in enumerate(song.parts, 1):
        notes = left_hand(song, number, pattern)
        assert all(note.hand is Hand.LEFT and not note.melody for note in notes)
        assert max(note.pitch.midi for note in notes) < min(note.pitch.midi for note in part.melody)
        for chord in part.chords:
            inside = [note for note in notes if chord.onset <= note.onset < chord.end]
            assert min(note.onset for note in inside) == chord.onset
            assert max(note.end for note in inside) == chord.end


def test_the_parts_own_pattern_is_played_unless_another_is_asked_for() -> None:
    song = set_pattern(night_ferry(), 1, "octaves")
    assert left_hand(song, 1) == left_hand(song, 1, "octaves")
    assert left_hand(song, 1, "block") == left_hand(night_ferry(), 1)
    with pytest.raises(DomainError, match="one of block"):
        left_hand(song, 1, "tremolo")
