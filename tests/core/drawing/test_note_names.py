"""What notes are called in each way of naming (common practice)."""

import pytest

from core.drawing.note_names import Naming
from core.song.pitch import NoteName


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
def test_a_note_is_called(plain: str, letters: str, german: str, syllables: str) -> None:
    name = NoteName.parse(plain)
    assert [naming.of(name) for naming in (Naming.LETTERS, Naming.GERMAN, Naming.SYLLABLES)] == [
        letters,
        german,
        syllables,
    ]


def test_no_two_notes_share_a_name() -> None:
    names = [NoteName(letter, alteration) for letter in "CDEFGAB" for alteration in range(-3, 4)]
    for naming in Naming:
        assert len({naming.of(name) for name in names}) == len(names)
