"""Names of notes and chords in each way of naming (common practice)."""

import pytest
from hypothesis import given

from core.song.errors import DomainError
from core.song.key import Key
from core.song.pitch import NoteName
from core.teaching.naming import LETTER_NAMES, Names, Naming
from core.theory.chord_symbols import parse_chord, spoken_chord
from core.theory.chord_writing import show_chord
from tests.core.theory.chord_strategies import chord_symbols

A_FLAT = Key.parse("Ab major")


def said(naming: Naming, *names: str) -> list[str]:
    return [Names(naming, A_FLAT).said(NoteName.parse(name)) for name in names]


def test_notes_are_said_in_every_way_of_naming() -> None:
    names = ("Eb", "B", "Bb", "F#", "Ab", "C")
    assert said(Naming.LETTERS, *names) == ["E flat", "B", "B flat", "F sharp", "A flat", "C"]
    assert said(Naming.SIGNS, *names) == ["E♭", "B", "B♭", "F♯", "A♭", "C"]
    assert said(Naming.GERMAN, *names) == ["Es", "H", "B", "Fis", "As", "C"]
    assert said(Naming.SYLLABLES, *names) == ["Mi flat", "Si", "Si flat", "Fa sharp", "La flat", "Do"]
    assert said(Naming.DEGREES, "Eb", "Gb", "G", "D") == ["five", "flat seven", "seven", "sharp four"]


def test_chords_take_the_names_of_their_notes() -> None:
    symbol = parse_chord("Bbm7/Eb")
    assert {naming: Names(naming, A_FLAT).chord_shown(symbol) for naming in Naming} == {
        Naming.LETTERS: "B♭m7/E♭",
        Naming.SIGNS: "B♭m7/E♭",
        Naming.GERMAN: "Bm7/Es",
        Naming.SYLLABLES: "Si♭m7/Mi♭",
        Naming.DEGREES: "ii7/5",
    }
    assert Names(Naming.GERMAN).chord_said(parse_chord("B7")) == "H seven"
    assert Names(Naming.DEGREES, A_FLAT).chord_said(parse_chord("Eb7")) == "chord five seven"


@given(chord_symbols())
def test_letters_are_what_chords_are_called_anywhere(symbol: object) -> None:
    assert LETTER_NAMES.chord_said(symbol) == spoken_chord(symbol)  # type: ignore[arg-type]  # parametrized values come in as objects
    assert LETTER_NAMES.chord_shown(symbol) == show_chord(symbol)  # type: ignore[arg-type]  # parametrized values come in as objects


@pytest.mark.parametrize(
    ("plain", "letters", "german", "syllables"),
    [
        ("C", "C", "C", "Do"),
        ("F#", "F♯", "Fis", "Fa♯"),
        ("Bb", "B♭", "B", "Si♭"),
        ("B", "B", "H", "Si"),
        ("B#", "B♯", "His", "Si♯"),
        ("Eb", "E♭", "Es", "Mi♭"),
        ("Ab", "A♭", "As", "La♭"),
        ("Db", "D♭", "Des", "Re♭"),
        ("Bbb", "B𝄫", "Heses", "Si𝄫"),
        ("Ebb", "E𝄫", "Eses", "Mi𝄫"),
        ("Abb", "A𝄫", "Asas", "La𝄫"),
        ("Cx", "C𝄪", "Cisis", "Do𝄪"),
        ("Cbbb", "C♭𝄫", "Ceseses", "Do♭𝄫"),
    ],
)
def test_a_note_is_shown_where_there_is_little_room(plain: str, letters: str, german: str, syllables: str) -> None:
    name = NoteName.parse(plain)
    ways = (Naming.LETTERS, Naming.SIGNS, Naming.GERMAN, Naming.SYLLABLES)
    assert [Names(naming).shown(name) for naming in ways] == [letters, letters, german, syllables]


@pytest.mark.parametrize("naming", Naming)
def test_no_two_notes_share_a_name(naming: Naming) -> None:
    names = [NoteName(letter, alteration) for letter in "CDEFGAB" for alteration in range(-3, 4)]
    called = Names(naming, A_FLAT)
    assert len({called.shown(name) for name in names}) == len(names)
    assert len({called.said(name) for name in names}) == len(names)


def test_a_key_is_called_as_its_tonic_is() -> None:
    said = {naming: Names(naming, A_FLAT).key_said(A_FLAT) for naming in Naming}
    assert said == {
        Naming.LETTERS: "A flat major",
        Naming.SIGNS: "A♭ major",
        Naming.GERMAN: "As major",
        Naming.SYLLABLES: "La flat major",
        Naming.DEGREES: "A flat major",
    }
    assert Names(Naming.GERMAN).key_shown(A_FLAT) == "As major"


def test_an_unknown_way_of_naming_is_answered_with_those_there_are() -> None:
    with pytest.raises(DomainError, match=r"bogus.*letters, signs, german, syllables, degrees"):
        Naming.named("bogus")
