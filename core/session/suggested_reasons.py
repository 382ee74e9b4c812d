"""Why a chord that nobody stated was suggested, in a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from core.song.note import Hand, Note
from core.song.part import Part
from core.song.pitch import NoteName
from core.song.wording import say, say_counted
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import listed
from core.theory.chord_tones import chord_tones


def suggestion_reason(part: Part, index: int, called: Names = LETTER_NAMES) -> str:
    """Which of the notes that sound with a suggested chord belong to it; empty for a chord that is given.

    Where a left hand is written it is the left hand's notes that the chord was heard in, else the melody's.

    Args:
        part: the part.
        index: of the chord in ``part.chords``.
        called: the names of notes.
    """
    chord = part.chords[index]
    if chord.given:
        return ""
    sounding = [note for note in part.notes if note.duration and note.onset < chord.end and note.end > chord.onset]
    left = [note for note in sounding if note.hand is Hand.LEFT]
    tones = {tone.pitch_class for tone in chord_tones(chord.symbol)}
    heard = left or [note for note in sounding if note.melody]
    inside = _names([note for note in heard if note.pitch.midi % 12 in tones], called)
    outside = _names([note for note in heard if note.pitch.midi % 12 not in tones], called)
    if not heard:
        return say("nothing sounds in the melody here; it goes with the chords around it")
    if not inside and left:
        return say(
            "it goes with the chords around it; of the left hand none of {notes} belongs to it", notes=listed(outside)
        )
    if not inside:
        return say(
            "it goes with the chords around it; of the melody none of {notes} belongs to it", notes=listed(outside)
        )
    told = _belonging(inside, left=bool(left))
    if not outside:
        return told
    return say_counted(
        "{reason}, {notes} does not", "{reason}, {notes} do not", len(outside), reason=told, notes=listed(outside)
    )


def _belonging(notes: list[str], *, left: bool) -> str:
    """Which notes of the left hand or of the melody belong to a chord."""
    if left:
        return say_counted(
            "of the left hand {notes} belongs to it",
            "of the left hand {notes} belong to it",
            len(notes),
            notes=listed(notes),
        )
    return say_counted(
        "of the melody {notes} belongs to it", "of the melody {notes} belong to it", len(notes), notes=listed(notes)
    )


def _names(notes: Sequence[Note], called: Names) -> list[str]:
    names: dict[NoteName, None] = dict.fromkeys(note.pitch.name for note in notes)
    return [called.shown(name) for name in names]
