"""What is said is coloured by whose it is, whatever notes and chords are called."""

from __future__ import annotations

import pytest

from app.camera.coloured_words import coloured
from core.drawing.shapes import Role
from core.session.lesson_settings import LessonSettings
from core.session.running_order import running_order
from core.teaching.naming import Naming
from tests.helpers.marked_language import MarkedLanguage, speaking
from tests.helpers.songs import lamplighters_waltz


def in_colour(naming: Naming, text: str, kind: str = "together", part: int = 2) -> list[tuple[str, Role]]:
    song = lamplighters_waltz()
    segments = running_order(song, LessonSettings(naming=naming.value))
    segment = next(one for one in segments if one.kind == kind and one.parts == (part,))
    return [(one.text, one.role) for one in coloured(song, segment, text, naming) if one.role is not Role.INK]


@pytest.mark.parametrize(
    ("naming", "text", "found"),
    [
        (Naming.LETTERS, "E flat seven lands with the G.", [("E flat seven", Role.LEFT), ("G", Role.RIGHT)]),
        (Naming.SIGNS, "E♭ seven lands with the A♭.", [("E♭ seven", Role.LEFT), ("A♭", Role.RIGHT)]),
        (Naming.GERMAN, "Es seven lands with the As.", [("Es seven", Role.LEFT), ("As", Role.RIGHT)]),
        (Naming.SYLLABLES, "Mi flat seven lands with Sol.", [("Mi flat seven", Role.LEFT), ("Sol", Role.RIGHT)]),
        (
            Naming.DEGREES,
            "Chord five seven, then chord six minor.",
            [("Chord five seven", Role.LEFT), ("chord six minor", Role.LEFT)],
        ),
    ],
)
def test_chords_and_notes_have_the_colours_of_their_hands(
    naming: Naming, text: str, found: list[tuple[str, Role]]
) -> None:
    assert in_colour(naming, text) == found


class OtherNames(MarkedLanguage):
    """Calls flats and sevenths in its own way."""

    def gettext(self, message: str, /) -> str:
        return {"{note} flat": "{note} bemolle", "{chord} seven": "{chord} settima"}.get(message, message)


def test_names_are_coloured_as_the_language_chosen_says_them() -> None:
    with speaking(OtherNames()):
        found = in_colour(Naming.LETTERS, "E bemolle settima, then the A bemolle and the G; Ga and A flat.")
    assert found == [
        ("E bemolle settima", Role.LEFT),
        ("A bemolle", Role.RIGHT),
        ("G", Role.RIGHT),
        ("A", Role.RIGHT),
    ]


def test_numbers_are_no_notes_where_notes_are_called_by_degrees() -> None:
    assert in_colour(Naming.DEGREES, "Up to five, for two beats.", "right_hand") == []


def test_a_word_is_no_note_that_the_part_does_not_have() -> None:
    assert in_colour(Naming.GERMAN, "Fis is no note of it.", "right_hand") == []


@pytest.mark.parametrize("naming", [Naming.LETTERS, Naming.SIGNS, Naming.GERMAN, Naming.SYLLABLES])
def test_the_first_note_of_the_computed_words_is_coloured(naming: Naming) -> None:
    song = lamplighters_waltz()
    segments = running_order(song, LessonSettings(naming=naming.value))
    segment = next(one for one in segments if one.kind == "right_hand")
    words = coloured(song, segment, segment.say[0], naming)
    assert any(one.role is Role.RIGHT for one in words)
    assert "".join(one.text for one in words) == segment.say[0]
