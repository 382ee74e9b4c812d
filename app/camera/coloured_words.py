"""What is said, taken apart into plain words, names of notes and names of chords, so that each can have its colour."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from msgspec import Struct

from core.drawing.shapes import Role
from core.session.running_order import LEFT_HAND, RIGHT_HAND, TOGETHER, Segment
from core.song.pitch import LARGEST_ALTERATION, LETTERS, NoteName
from core.song.song import Song
from core.teaching.naming import Names, Naming
from core.theory.chord_tones import chord_tones

ALTERATIONS: Final = range(-LARGEST_ALTERATION, LARGEST_ALTERATION + 1)
_NOTE_ROLES: Final = {RIGHT_HAND: Role.RIGHT, LEFT_HAND: Role.LEFT, TOGETHER: Role.RIGHT}


class Stretch(Struct, frozen=True):
    """Some words in one colour."""

    text: str
    role: Role


def coloured(song: Song, segment: Segment, text: str, naming: Naming = Naming.LETTERS) -> tuple[Stretch, ...]:
    """A paragraph of a segment: chords in the left hand's colour, notes in that of the hand that plays them.

    Words about more than one hand's part (opening, run-through, closing) are plain.
    """
    note_role = _NOTE_ROLES.get(segment.kind)
    if note_role is None:
        return (Stretch(text, Role.INK),)
    chords, notes = _chord_names(song, segment, naming), _note_names(song, segment, naming)
    return tuple(_stretches(text, chords, notes, note_role))


def _chord_names(song: Song, segment: Segment, naming: Naming) -> list[str]:
    """Spoken names of the segment's chords, the longest first; a bare letter would be taken for a note."""
    names = {
        Names.of_part(song, number, naming).chord_said(chord.symbol)
        for number in segment.parts
        for chord in song.parts[number - 1].chords
        if not chord.symbol.is_silent
    }
    notes = {name for number in segment.parts for name in _said_in(song, number, Names.of_part(song, number, naming))}
    return sorted((name for name in names if len(name) > 1 and name not in notes), key=len, reverse=True)


def _note_names(song: Song, segment: Segment, naming: Naming) -> str:
    """What is taken for a note's name; degrees are numbers as any others, so that none is.

    Only in letters it is every name: elsewhere ``As`` and ``Do`` are words too, so that the part must have the note.
    """
    if naming is Naming.DEGREES:
        return ""
    if naming is Naming.LETTERS:
        every = {NoteName(letter, alteration).spoken for letter in LETTERS for alteration in ALTERATIONS}
        return rf"(?:{_one_of(every)})(?!['’]|[^\W\d_])"
    names = {name for number in segment.parts for name in _said_in(song, number, Names.of_part(song, number, naming))}
    return rf"(?:{_one_of(names)})(?![\w'’♭♯])" if names else ""


def _one_of(names: set[str]) -> str:
    """A pattern for any of some names, a longer one before one that it begins with."""
    return "|".join(map(re.escape, sorted(names, key=lambda name: (-len(name), name))))


def _said_in(song: Song, number: int, names: Names) -> set[str]:
    part = song.parts[number - 1]
    tones = {tone for chord in part.chords for tone in chord_tones(chord.symbol)}
    return {names.said(name) for name in tones | {note.pitch.name for note in part.notes}}


def _anywhere(chord: str) -> str:
    """A pattern for a chord's name, which begins a sentence with a capital: 'Chord five seven'."""
    return rf"[{chord[0].upper()}{chord[0].lower()}]{re.escape(chord[1:])}" if chord[0].islower() else re.escape(chord)


def _stretches(text: str, chords: list[str], notes: str, note_role: Role) -> Iterator[Stretch]:
    chord = rf"(?P<chord>{'|'.join(map(_anywhere, chords))})(?![A-Za-z])" if chords else ""
    pattern = rf"\b(?:{'|'.join(filter(None, (chord, notes)))})" if chord or notes else r"(?!)"
    here = 0
    for found in re.finditer(pattern, text):
        if found.start() > here:
            yield Stretch(text[here : found.start()], Role.INK)
        is_chord = bool(chords) and found["chord"] is not None
        yield Stretch(found[0], Role.LEFT if is_chord else note_role)
        here = found.end()
    if here < len(text):
        yield Stretch(text[here:], Role.INK)
