"""The plain version's right hand: one line, the top of what the right hand plays."""

from __future__ import annotations

from collections.abc import Sequence

from core.song.note import Hand, Note


def melody_of(notes: Sequence[Note]) -> tuple[bool, ...]:
    """Which notes form the plain melody.

    The melody is the top line of the right hand (common practice): of notes that begin together the highest, and
    of notes that begin under a longer, higher one none. Grace notes are ornaments and stay out of a plain
    version, and so does everything that the left hand plays. At most one note begins at any moment; a melody
    note may still sound into the next where the source lets it.

    Args:
        notes: notes of both hands in order of onset (`Note.order`).

    Returns:
        One answer for each note, in the same order.
    """
    highest: dict[int, int] = {}
    for index, note in enumerate(notes):
        if note.hand is Hand.RIGHT and not note.is_grace:
            best = highest.get(note.onset)
            if best is None or _above(note, notes[best]):
                highest[note.onset] = index
    chosen: set[int] = set()
    covering: list[Note] = []
    for onset in sorted(highest):
        note = notes[highest[onset]]
        covering = [earlier for earlier in covering if earlier.end > onset]
        if not any(_covers(earlier, note) for earlier in covering):
            chosen.add(highest[onset])
            covering.append(note)
    return tuple(index in chosen for index in range(len(notes)))


def _above(note: Note, other: Note) -> bool:
    """Whether a note is the better top of two that begin together; of the same key, the longer one."""
    return (note.pitch.midi, note.duration) > (other.pitch.midi, other.duration)


def _covers(earlier: Note, note: Note) -> bool:
    """Whether a note lies under a higher held one: more than half of it, so that a slurred end covers nothing."""
    overlap = min(earlier.end, note.end) - note.onset
    return earlier.pitch.midi > note.pitch.midi and 2 * overlap > note.duration
