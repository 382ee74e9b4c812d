"""What is said, taken apart into plain words, names of notes and names of chords, so that each can have its colour."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from core.drawing.shapes import Role
from core.session.running_order import LEFT_HAND, RIGHT_HAND, TOGETHER, Segment
from core.song.song import Song
from core.theory.chord_symbols import spoken_chord

_NOTE_NAME: Final = r"[A-G](?: (?:double |triple )?(?:sharp|flat))?(?![A-Za-z'’])"
"""A capital letter on its own, with its accidental in words."""
_NOTE_ROLES: Final = {RIGHT_HAND: Role.RIGHT, LEFT_HAND: Role.LEFT, TOGETHER: Role.RIGHT}


@dataclass(frozen=True, slots=True)
class Stretch:
    """Some words in one colour."""

    text: str
    role: Role


def coloured(song: Song, segment: Segment, text: str) -> tuple[Stretch, ...]:
    """A paragraph of a segment: chords in the left hand's colour, notes in that of the hand that plays them.

    Words about more than one hand's part (opening, run-through, closing) are plain.
    """
    note_role = _NOTE_ROLES.get(segment.kind)
    if note_role is None:
        return (Stretch(text, Role.INK),)
    return tuple(_stretches(text, _chord_names(song, segment), note_role))


def _chord_names(song: Song, segment: Segment) -> list[str]:
    """Spoken names of the segment's chords, the longest first; a bare letter would be taken for a note."""
    names = {
        spoken_chord(chord.symbol)
        for number in segment.parts
        for chord in song.parts[number - 1].chords
        if not chord.symbol.is_silent
    }
    return sorted((name for name in names if len(name) > 1), key=len, reverse=True)


def _stretches(text: str, chords: list[str], note_role: Role) -> Iterator[Stretch]:
    alternatives = "|".join(re.escape(name) for name in chords)
    pattern = rf"\b(?:(?P<chord>{alternatives})(?![A-Za-z])|{_NOTE_NAME})" if chords else rf"\b{_NOTE_NAME}"
    here = 0
    for found in re.finditer(pattern, text):
        if found.start() > here:
            yield Stretch(text[here : found.start()], Role.INK)
        is_chord = bool(chords) and found["chord"] is not None
        yield Stretch(found[0], Role.LEFT if is_chord else note_role)
        here = found.end()
    if here < len(text):
        yield Stretch(text[here:], Role.INK)
