"""What goes on from a typed beginning of a chord's name."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.key import Key, Mode
from core.theory.chord_completion import MOST, complete_chord
from core.theory.chord_symbols import parse_chord
from tests.helpers.songs import night_ferry

C_MAJOR, A_MINOR = Key.parse("C major"), Key.parse("A minor")
KEYS = [Key.of_signature(fifths, mode) for fifths in range(-7, 8) for mode in Mode]


def test_chords_of_the_song_come_first_and_the_most_frequent_at_their_head() -> None:
    song = night_ferry()
    assert complete_chord(song, song.key, "")[:4] == ("Em", "A", "G", "D")
    assert complete_chord(song, song.key, "E")[0] == "Em"


def test_then_come_the_chords_of_the_key() -> None:
    song = night_ferry()
    assert complete_chord(song, C_MAJOR, "D")[:3] == ("Dm", "Dm7", "D7")
    assert complete_chord(song, C_MAJOR, "B")[:2] == ("Bdim", "Bm7b5")
    assert complete_chord(song, A_MINOR, "E7")[0] != "E7"
    assert "E7" in complete_chord(song, A_MINOR, "E")


def test_then_the_usual_families_on_the_root_that_was_typed() -> None:
    assert complete_chord(night_ferry(), C_MAJOR, "Ab") == (
        "Abm",
        "Ab7",
        "Abm7",
        "Abmaj7",
        "Ab6",
        "Abm6",
        "Absus4",
        "Ab7sus4",
    )


def test_a_small_letter_begins_the_same_names() -> None:
    song = night_ferry()
    assert complete_chord(song, song.key, "em") == complete_chord(song, song.key, "Em")


def test_what_cannot_begin_a_chord_has_no_completion() -> None:
    assert complete_chord(night_ferry(), C_MAJOR, "Gq") == ()
    assert complete_chord(night_ferry(), C_MAJOR, "x") == ()


@settings(max_examples=60)
@given(st.sampled_from(KEYS), st.sampled_from(("", "A", "b", "F#", "Ebm", "G7", "Csus", "N")))
def test_every_completion_is_a_chord_that_begins_as_typed(key: Key, typed: str) -> None:
    found = complete_chord(night_ferry(), key, typed)
    assert len(found) == len(set(found)) <= MOST
    for name in found:
        parse_chord(name)
        assert name.lower().startswith(typed.lower())
