"""Names of chords, their other names and the faults of a symbol are said whole in the language chosen."""

from __future__ import annotations

import pytest

from core.song.chord import NO_CHORD, ChordSymbol, Quality
from core.song.errors import ChordSymbolError, DomainError, PhrasebenchError
from core.song.key import Key
from core.song.pitch import NoteName
from core.theory.chord_naming import other_names
from core.theory.chord_symbols import parse_chord, spoken_chord, write_chord
from core.theory.intervals import Interval, above
from core.theory.musicxml_kinds import KindDegree, from_musicxml_kind
from core.theory.spelling import spell
from core.theory.voicing import Asked
from tests.helpers.open_places import open_places, words_unsaid

SUFFIXES = (
    "|m|7|m7|maj7|6|m6|6/9|sus4|7sus4|sus2|dim|dim7|m7b5|aug|aug7|9|11|13|add9|mM7|maj9|7alt|7b9|7#9b13|maj7#11|5|no3"
    "|7no5|maj7sus4|7addmaj7|7(add#5)|13no9|no1"
).split("|")
FAULTY = (
    "?", "C?", "C(", "C)", "C(add", "Cadd?", "Cno?", "C/?", "C/E?", "C|D", "C7 9", "Cbbbb", "C7bbb9", "C7b7", "C7b12",
    "Cmmaj?", "Cmaj7maj", "Cdim+", "Cmdim", "Cm7m", "Csus4sus4", "C7dom", "C8", "C7M7", "C9alt", "Cø(maj7)",
    "Caddmaj9", "Cmaj(7",
)  # fmt: skip  # a table, read line by line
KEYS = (None, Key.parse("C major"), Key.parse("Eb minor"))


def chords() -> list[ChordSymbol]:
    return [parse_chord(f"{root}{suffix}{bass}") for root in ("C", "Eb") for suffix in SUFFIXES for bass in ("", "/Gb")]


def test_names_of_chords_are_said() -> None:
    with open_places():
        names = [spoken_chord(chord) for chord in (*chords(), NO_CHORD)]
        assert [name for name in names if words_unsaid(name)] == []


def test_reasons_for_other_names_are_said() -> None:
    after = parse_chord("F")
    with open_places():
        reasons = {
            other.reason
            for chord in chords()
            for key in KEYS
            for following in (None, after)
            for other in other_names(chord, key, following)
        }
        assert [reason for reason in reasons if words_unsaid(reason)] == []
    assert len(reasons) > 10


@pytest.mark.parametrize("text", FAULTY)
def test_faults_of_a_symbol_are_said(text: str) -> None:
    with open_places():
        with pytest.raises(ChordSymbolError) as fault:
            parse_chord(text)
        assert fault.value.reason
        assert words_unsaid(fault.value.reason) == []


def test_what_theory_refuses_is_said() -> None:
    root = NoteName("C")

    def refusals() -> list[PhrasebenchError]:
        found: list[PhrasebenchError] = []
        for make in (
            lambda: above(root, Interval(0, 4)),
            lambda: from_musicxml_kind("major", None),
            lambda: from_musicxml_kind("?", root),
            lambda: from_musicxml_kind("major", root, (KindDegree(99, 0, "add"),)),
            lambda: from_musicxml_kind("major", root, (KindDegree(9, 0, "?"),)),
            lambda: spell([60, 62], Key(root), onsets=[0]),
        ):
            with pytest.raises(PhrasebenchError) as refused:
                make()
            found.append(refused.value)
        return found

    with open_places():
        for refusal in refusals():
            said = refusal.reason if isinstance(refusal, ChordSymbolError) else str(refusal)
            assert words_unsaid(said) == []
        with pytest.raises(DomainError) as refused:
            Asked(parse_chord("C"), "?")
        assert words_unsaid(refused.value.field) == []


def test_a_chord_is_written_alike_in_every_language() -> None:
    plain = [write_chord(chord) for chord in chords()]
    with open_places():
        assert [write_chord(chord) for chord in chords()] == plain
        assert write_chord(ChordSymbol(NoteName("E", -1), Quality.MINOR)) == "Ebm"
