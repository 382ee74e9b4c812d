"""A teacher's own phrase for a kind of segment, with fields in it that are filled for each lesson.

A field is a name between two angle quotes, ``‹title›``. The words around it are said as they are written.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.wording import say, say_counted

KINDS_OF_SEGMENTS: Final = (
    "opening",
    "right_hand",
    "left_hand",
    "together",
    "run_through",
    "embellishment",
    "closing",
)
"""Everything that a running order may have, in its order."""
FIELDS: Final = ("title", "part", "parts", "bars", "key", "tempo", "start note", "first chord", "words")
"""What may stand between angle quotes: see `core.session.phrasing` for what each is filled with."""
LONGEST_TEXT: Final = 2000
_FIELD: Final = re.compile(r"‹([^‹›\n]*)›")


class Phrase(Struct, frozen=True):
    """What a teacher says in every segment of a kind.

    Attributes:
        kind: of `KINDS_OF_SEGMENTS`.
        text: the words with their fields, 1 … 2000 letters; each line is a paragraph.
    """

    kind: str
    text: str

    def __post_init__(self) -> None:
        if self.kind not in KINDS_OF_SEGMENTS:
            raise DomainError(
                say("the kind of segment of a phrase"),
                self.kind,
                say("one of {names}", names=", ".join(KINDS_OF_SEGMENTS)),
            )
        if not self.text.strip() or len(self.text) > LONGEST_TEXT:
            raise DomainError(
                say("the text of a phrase"),
                self.text[:40],
                say_counted("from 1 to {count} letter", "from 1 to {count} letters", LONGEST_TEXT),
            )
        unknown = [name for name in fields_in(self.text) if name not in FIELDS]
        if unknown:
            raise DomainError(say("a field of a phrase"), unknown[0], say("one of {names}", names=", ".join(FIELDS)))


def fields_in(text: str) -> tuple[str, ...]:
    """The names of the fields in a text, as they come; blanks at their ends and capitals do not count."""
    return tuple(_field_name(found[1]) for found in _FIELD.finditer(text))


def filled(text: str, values: Mapping[str, str]) -> str:
    """A text with its fields filled; a field without a value stays as it is written."""
    return _FIELD.sub(lambda found: values.get(_field_name(found[1]), found[0]), text)


def phrase_for(phrases: Iterable[Phrase], kind: str) -> Phrase | None:
    """The phrase for a kind of segment, or None."""
    return next((phrase for phrase in phrases if phrase.kind == kind), None)


def with_phrase(phrases: Iterable[Phrase], kind: str, text: str | None) -> tuple[Phrase, ...]:
    """Phrases with another one for a kind, or with none where the text is None or blank; in the order of the kinds.

    Raises:
        DomainError: for an unknown kind or field, or a text that is too long.
    """
    kept = [phrase for phrase in phrases if phrase.kind != kind]
    if text is not None and text.strip():
        kept.append(Phrase(kind, text.strip()))
    return tuple(sorted(kept, key=lambda phrase: KINDS_OF_SEGMENTS.index(phrase.kind)))


def check_phrases(phrases: tuple[Phrase, ...]) -> None:
    """Raise DomainError where two phrases are for one kind of segment."""
    kinds = [phrase.kind for phrase in phrases]
    if len(set(kinds)) < len(kinds):
        raise DomainError(
            say("the kinds of segments that phrases are for"), ", ".join(kinds), say("different from one another")
        )


def _field_name(written: str) -> str:
    return " ".join(written.split()).lower()
