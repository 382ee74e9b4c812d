"""Saying which hand plays a note."""

from __future__ import annotations

from dataclasses import replace

from core.edits.chosen_notes import Chosen, by_part
from core.edits.part_contents import for_review, the_part
from core.song.errors import EditError
from core.song.note import Hand, Note
from core.song.part import Part
from core.song.song import Song


def set_note_hand(song: Song, chosen: Chosen, hand: Hand) -> Song:
    """Give notes to a hand, and have it stand as the teacher's word.

    What the left hand takes leaves the melody; what the right hand takes joins it where the melody rests. A finger
    of the teacher's own belonged to the other hand and is dropped.

    Args:
        song: the song before.
        chosen: the notes.
        hand: the hand that is to play them.

    Raises:
        EditError: for a note that is not there, or in a part whose left hand plays chords and nothing written.
    """
    for number, indices in by_part(song, chosen).items():
        part = the_part(song, number)
        changing = [index for index in indices if part.notes[index].hand is not hand]
        if hand is Hand.LEFT and changing and part.chords and not part.hand(Hand.LEFT):
            raise EditError(
                f"The left hand of part {number} plays its chords; a note of its own would take their place. "
                "Remove the chords first."
            )
        notes = list(part.notes)
        for index in sorted(indices):
            notes[index] = _given(notes, index, hand)
        if tuple(notes) != part.notes:
            song = song.with_part(number, _with_notes(part, notes))
    return song


def _given(notes: list[Note], index: int, hand: Hand) -> Note:
    note = notes[index]
    if note.hand is hand:
        return replace(note, hand_given=True)
    melody = hand is Hand.RIGHT and not any(
        other.melody and other.onset < note.end and note.onset < max(other.end, other.onset + 1) for other in notes
    )
    return replace(note, hand=hand, hand_given=True, melody=melody, finger=None)


def _with_notes(part: Part, notes: list[Note]) -> Part:
    return replace(part, notes=tuple(notes), teaching=for_review(part.teaching))
