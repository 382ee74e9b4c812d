"""What sounds, according to music21 and according to us, in a form that can be compared."""

from __future__ import annotations

from collections import Counter, defaultdict
from fractions import Fraction

import music21

from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER

Sounding = Counter[tuple[int, int, int]]
"""Onset and length in ticks from the first note on, and MIDI number, with how often each is there."""


def notes_of_song(song: Song) -> Sounding:
    """What sounds in a song of ours."""
    return _from_first(Counter((onset, note.duration, note.pitch.midi) for onset, note in song.placed_notes()))


def notes_of_score(score: music21.stream.Score) -> Sounding:
    """What sounds in a score of music21's, at sounding pitch, tied notes of a part joined by key and time."""
    if any(part.atSoundingPitch is False for part in score.parts):
        sounding = score.toSoundingPitch()
        assert isinstance(sounding, music21.stream.Score)
        score = sounding
    parts: dict[str, list[tuple[int, int, int, str]]] = defaultdict(list)
    for number, part in enumerate(score.parts):
        identity = str(part.id)
        group = identity.partition("-Staff")[0] if "-Staff" in identity else str(number)
        for element in part.flatten().notes:
            if isinstance(element, music21.harmony.Harmony | music21.note.Unpitched):
                continue
            members = element.notes if isinstance(element, music21.chord.ChordBase) else (element,)
            length = 0 if element.duration.isGrace else _ticks(element.quarterLength)
            parts[group] += [
                (_ticks(element.offset), length, note.pitch.midi, note.tie.type if note.tie else "")
                for note in members
                if isinstance(note, music21.note.Note)
            ]
    return _from_first(Counter(note for notes in parts.values() for note in _joined(notes)))


def _ticks(quarters: object) -> int:
    return round(Fraction(str(quarters)) * TICKS_PER_QUARTER)


def _joined(notes: list[tuple[int, int, int, str]]) -> list[tuple[int, int, int]]:
    """Notes of one part with those tied to one another as one: a tie leads to its key where its note ends."""
    found: list[tuple[int, int, int]] = []
    waiting: dict[tuple[int, int], int] = {}
    for onset, length, midi, tie in sorted(notes, key=lambda note: (note[0], note[1] > 0)):
        index = waiting.pop((midi, onset), None) if tie != "start" else None
        if index is None:
            index = len(found)
            found.append((onset, length, midi))
        else:
            found[index] = (found[index][0], onset + length - found[index][0], midi)
        if tie in ("start", "continue"):
            waiting[midi, onset + length] = index
    return found


def _from_first(notes: Sounding) -> Sounding:
    """Notes counted from the first one, since empty bars before it are left out."""
    start = min((onset for onset, _, _ in notes), default=0)
    return Counter({(onset - start, length, midi): count for (onset, length, midi), count in notes.items()})
