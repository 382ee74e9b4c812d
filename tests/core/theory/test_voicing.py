from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.chord import ChordSymbol
from core.song.errors import DomainError
from core.song.hand_profile import HandProfile
from core.song.pitch import NoteName, Pitch
from core.theory.chord_symbols import parse_chord
from core.theory.chord_tones import chord_tones
from core.theory.voicing import (
    HIGHEST,
    LOWEST,
    LOWEST_USABLE,
    Asked,
    left_out,
    motion,
    movement,
    thick_intervals,
    voice,
    voice_each,
)
from tests.core.theory.chord_strategies import chord_symbols, usual_names

OCTAVE_HANDS = HandProfile()


def chords(text: str) -> list[ChordSymbol]:
    return [parse_chord(symbol) for symbol in text.split()]


def written(text: str, style: str = "root", hands: HandProfile = OCTAVE_HANDS, highest: int | None = None) -> str:
    voicings = voice(chords(text), hands, style, highest)
    return " | ".join(" ".join(pitch.plain for pitch in voicing) for voicing in voicings)


def test_chords_stand_in_root_position_in_the_left_hands_register() -> None:
    assert written("C Em Am F G N.C. B") == "C3 E3 G3 | E3 G3 B3 | A3 C4 E4 | F3 A3 C4 | G3 B3 D4 |  | B2 D#3 F#3"


def test_a_written_bass_is_lowest() -> None:
    assert written("C/E Dm7/G C/B F/G") == "E3 G3 C4 | G3 C4 D4 F4 | B3 C4 E4 G4 | G3 A3 C4 F4"


def test_sevenths_are_taken_whole_where_the_hand_reaches() -> None:
    assert written("G7 Cmaj7 Dm7 Ebdim7") == "G3 B3 D4 F4 | C3 E3 G3 B3 | D3 F3 A3 C4 | Eb3 Gb3 Bbb3 Dbb4"


@pytest.mark.parametrize(
    ("symbol", "reach", "expected"),
    [
        ("C9", 14, "C3 E3 Bb3 D4"),
        ("C13", 12, "C3 E3 A3 Bb3"),
        ("C7", 7, "Bb3 C4 E4"),
        ("C", 7, "C3 E3 G3"),
    ],
)
def test_a_chord_too_large_for_the_hand_loses_its_fifth_first(symbol: str, reach: int, expected: str) -> None:
    assert written(symbol, hands=HandProfile(12, reach)) == expected


def test_what_is_left_out_is_told() -> None:
    (ninth,) = voice(chords("C13"), OCTAVE_HANDS)
    assert [name.plain for name in left_out(parse_chord("C13"), ninth)] == ["G", "D", "F"]
    (triad,) = voice(chords("C"), OCTAVE_HANDS)
    assert left_out(parse_chord("C"), triad) == ()


def test_chords_stay_below_the_right_hand() -> None:
    assert written("Am") == "A3 C4 E4"
    low = voice(chords("Am"), OCTAVE_HANDS, highest=59)[0]
    assert low[-1].midi <= 59


def test_nearest_keeps_common_tones_and_moves_the_least() -> None:
    song = "C Am F G C"
    assert written(song, "nearest") == "C3 E3 G3 | C3 E3 A3 | C3 F3 A3 | D3 G3 B3 | E3 G3 C4"
    assert movement(voice(chords(song), OCTAVE_HANDS, "nearest")) < movement(voice(chords(song), OCTAVE_HANDS))


def test_rests_are_passed_over() -> None:
    nearest = voice(chords("C N.C. F"), OCTAVE_HANDS, "nearest")
    assert nearest[1] == ()
    assert movement(nearest) == 3
    assert voice(chords("N.C."), OCTAVE_HANDS, "nearest") == ((),)
    assert voice((), OCTAVE_HANDS) == ()


def test_another_style_is_refused() -> None:
    with pytest.raises(DomainError):
        voice(chords("C"), OCTAVE_HANDS, "wide")


def test_motion_counts_the_voices_in_order() -> None:
    assert motion((60, 64, 67), (60, 65, 69)) == 3
    assert motion((60, 64, 67), (60, 64, 67)) == 0
    assert motion((60, 64, 67), (60, 64, 67, 70)) == 3
    assert motion((48,), ()) == 0


@settings(max_examples=100)
@given(chord_symbols(usual_names), st.integers(7, 17), st.sampled_from(("root", "nearest")))
def test_every_chord_lies_in_one_hand(symbol: ChordSymbol, reach: int, style: str) -> None:
    (voicing,) = voice([symbol], HandProfile(12, reach), style)
    midis = [pitch.midi for pitch in voicing]
    assert midis == sorted(set(midis))
    if symbol.is_silent:
        assert voicing == ()
        return
    assert 1 <= len(midis) <= 4 or not chord_tones(symbol)
    if midis:
        assert midis[-1] - midis[0] <= reach
        tones = {name.pitch_class for name in chord_tones(symbol)}
        assert {midi % 12 for midi in midis[1:]} <= tones
        if symbol.bass is not None:
            assert voicing[0].name == symbol.bass


def usual_chords() -> list[ChordSymbol]:
    return [
        parse_chord(NoteName.at_fifths(fifths).plain + suffix)
        for fifths in range(-7, 8)
        for suffix in ("", "m", "7", "m7", "maj7", "dim", "aug", "sus4", "m7b5", "dim7", "6")
    ]


def test_usual_chords_keep_to_the_register_and_above_the_low_interval_limits() -> None:
    """A semitone of a seventh chord over the register's edge, or under a limit, is the most that is met."""
    for symbol in usual_chords():
        (voicing,) = voice([symbol], OCTAVE_HANDS)
        midis = [pitch.midi for pitch in voicing]
        over = max(0, LOWEST - midis[0]) + max(0, midis[-1] - HIGHEST)
        under = sum(max(0, LOWEST_USABLE[high - low] - low) for low, high in pairwise(midis))
        assert over + under <= (1 if len(midis) > 3 else 0), symbol
        assert voicing[0].name == symbol.root
        assert left_out(symbol, voicing) == ()


def test_the_same_chord_is_always_placed_alike() -> None:
    assert len(set(voice(chords("C G C Am C"), OCTAVE_HANDS))) == 3


def test_one_chord_may_be_asked_for_as_the_nearest_among_others() -> None:
    asked = [Asked(parse_chord("C")), Asked(parse_chord("F"), "nearest"), Asked(parse_chord("G"))]
    placed = voice_each(asked, OCTAVE_HANDS)
    assert [" ".join(pitch.plain for pitch in chord) for chord in placed] == ["C3 E3 G3", "C3 F3 A3", "G3 B3 D4"]


def test_a_rest_does_not_make_the_hand_forget_where_it_was() -> None:
    asked = [Asked(parse_chord("N.C."), "nearest"), Asked(parse_chord("F"), "nearest")]
    before = tuple(Pitch.parse(text) for text in ("C3", "E3", "G3"))
    assert [pitch.plain for pitch in voice_each(asked, OCTAVE_HANDS, before)[1]] == ["C3", "F3", "A3"]
    assert [pitch.plain for pitch in voice_each(asked, OCTAVE_HANDS)[1]] == ["F3", "A3", "C4"]


def test_a_style_of_one_chord_that_does_not_exist_is_refused() -> None:
    with pytest.raises(DomainError, match="root or nearest"):
        Asked(parse_chord("C"), "drop two")


def test_intervals_too_low_to_be_clear_are_told() -> None:
    """A third on E2 lies under the table's B2 … D sharp 3 (47), a fifth on it does not (37)."""
    low = [Pitch.parse(text) for text in ("E2", "G#2", "B2")]
    assert [[pitch.plain for pitch in pair] for pair in thick_intervals(low)] == [["E2", "G#2"], ["G#2", "B2"]]
    assert thick_intervals([Pitch.parse("E2"), Pitch.parse("B2")]) == ()


PLAIN = [NoteName.at_fifths(fifths).plain + suffix for fifths in range(-5, 7) for suffix in ("", "m", "7", "m7")]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(PLAIN), min_size=2, max_size=8))
def test_nearest_chords_never_move_further_than_chords_in_root_position(symbols: list[str]) -> None:
    named = [parse_chord(symbol) for symbol in symbols]
    assert movement(voice(named, OCTAVE_HANDS, "nearest")) <= movement(voice(named, OCTAVE_HANDS))


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(PLAIN), st.sampled_from(PLAIN), st.integers(9, 14))
def test_one_nearest_chord_moves_the_least_of_all_its_inversions(first: str, second: str, reach: int) -> None:
    """Against every close inversion within the register and above the low limits."""
    hands = HandProfile(12, reach)
    (before,) = voice([parse_chord(first)], hands)
    (after,) = voice_each([Asked(parse_chord(second), "nearest")], hands, before)
    if left_out(parse_chord(second), after):
        return
    least = motion(tuple(pitch.midi for pitch in before), tuple(pitch.midi for pitch in after))
    classes = sorted({name.pitch_class for name in chord_tones(parse_chord(second))})
    for bass in range(LOWEST, HIGHEST):
        if bass % 12 in classes:
            close = tuple(sorted(bass + (tone - bass) % 12 for tone in classes))
            clear = all(low >= LOWEST_USABLE[high - low] for low, high in pairwise(close))
            if close[-1] <= HIGHEST and close[-1] - bass <= reach and clear:
                assert least <= motion(tuple(pitch.midi for pitch in before), close) + 1, close
