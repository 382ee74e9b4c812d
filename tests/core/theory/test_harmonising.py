from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import write_chord
from core.theory.chord_tones import chord_tones
from core.theory.harmonising import cells_of, suggest_chords
from tests.helpers.songs import build
from tests.helpers.strategies import songs

Q = TICKS_PER_QUARTER
CADENCE = "C E G E C E G:2 F A G F G F D B, C:4"


def tune(key: str, metre: str, notes: str, quarters: float | Fraction, pickup: float = 0) -> Song:
    """A melody without chords."""
    return build("A tune", key, metre, 100, [(quarters, notes, [])], pickup)


def names(song: Song) -> list[str]:
    return [write_chord(chord.symbol) for chord in suggest_chords(song)]


def test_a_plain_cadence_begins_and_ends_with_the_tonic_and_has_the_dominant_before_the_end() -> None:
    suggested = names(tune("C major", "4/4", CADENCE, 20))
    assert (suggested[0], suggested[-1]) == ("C", "C")
    assert suggested[-2] in ("G", "G7")


def test_a_new_chord_comes_seldom() -> None:
    assert len(suggest_chords(tune("C major", "4/4", CADENCE, 20))) <= 6


def test_a_pickup_has_no_chord() -> None:
    suggested = suggest_chords(tune("C major", "3/4", "G, C E G F D B, C:3", 10, pickup=1))
    assert suggested[0].onset == Q
    assert suggested[-1].onset + suggested[-1].duration == 10 * Q


def test_a_minor_tune_ends_on_its_minor_tonic() -> None:
    suggested = names(tune("A minor", "4/4", "A, C E:2 D F A:2 E G# B:2 A:4", 16))
    assert suggested[-1] == "Am"


@pytest.mark.parametrize("metre", ["2/4", "3/8", "5/4", "6/8", "7/8", "9/8", "12/8", "2/2"])
def test_chords_cover_a_song_in_any_metre_without_gap(metre: str) -> None:
    song = tune("G dorian", metre, "G Bb d c Bb A G:3 F", Fraction(10 * 4, int(metre.split("/")[1])))
    suggested = suggest_chords(song)
    edges = [chord.onset for chord in suggested] + [song.length]
    assert edges[0] == 0
    assert [chord.onset + chord.duration for chord in suggested] == edges[1:]


def test_the_same_tune_a_third_higher_gets_the_same_chords_a_third_higher() -> None:
    low = suggest_chords(tune("C major", "4/4", "C:2 E:2 F:2 A:2 G:2 B,:2 C:4", 16))
    high = suggest_chords(tune("E major", "4/4", "E:2 G#:2 A:2 c#:2 B:2 D#:2 E:4", 16))
    assert [chord.onset for chord in low] == [chord.onset for chord in high]
    steps = {(b.symbol.root.pitch_class - a.symbol.root.pitch_class) % 12 for a, b in zip(low, high, strict=True)}
    assert steps == {4}


def test_a_song_without_a_note_gets_no_chord() -> None:
    assert suggest_chords(tune("C major", "4/4", "", 8)) == ()


@settings(max_examples=30, deadline=None)
@given(songs())
def test_suggestions_lie_on_the_cells_in_order_and_can_be_spelled(song: Song) -> None:
    onsets = {cell.onset for cell in cells_of(song.bars)}
    end = 0
    for chord in suggest_chords(song):
        assert chord.onset in onsets
        assert chord.onset >= end
        assert 0 <= chord.confidence <= 1
        assert chord_tones(chord.symbol)
        end = chord.onset + chord.duration
    assert end <= song.length


@given(st.integers(1, 4))
def test_bars_are_halved_where_a_half_is_felt(count: int) -> None:
    cells = cells_of(tune("C major", f"{count}/4", "C", count).bars)
    assert len(cells) == (2 if count == 4 else 1)
