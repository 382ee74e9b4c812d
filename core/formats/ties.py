"""Tied notes made one note."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from msgspec.structs import replace

from core.formats.source import SourceNote


def joined(notes: Iterable[tuple[SourceNote, str]]) -> list[SourceNote]:
    """Notes with their ties, each tied group as one note.

    Args:
        notes: the notes of one part, each with ``start``, ``continue``, ``stop`` or an empty string. A tie that begins
            leads to the note on the same key where its own note ends, also where that does not say ``stop``, unless
            it begins a tie afresh; a tie that leads to none, or comes from none, is no tie.
    """
    found: list[SourceNote] = []
    open_ties: dict[tuple[int, int], list[int]] = defaultdict(list)
    for note, tie in sorted(notes, key=lambda entry: (entry[0].onset, entry[0].duration > 0)):
        waiting = open_ties[note.pitch.midi, note.onset] if tie != "start" else []
        if waiting:
            # Where two ties lead to one key, the one on the note's own staff is meant.
            index = next((place for place in waiting if found[place].line == note.line), waiting[0])
            waiting.remove(index)
            first = found[index]
            found[index] = replace(first, duration=note.onset + note.duration - first.onset)
        else:
            index = len(found)
            found.append(note)
        if tie in ("start", "continue"):
            open_ties[note.pitch.midi, note.onset + note.duration].append(index)
    return found
