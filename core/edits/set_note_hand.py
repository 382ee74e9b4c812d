"""Saying which hand plays a note; hands that were only computed are told anew around it."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from core.edits.chosen_notes import Chosen, by_part
from core.edits.part_contents import for_review, the_part
from core.song.errors import EditError
from core.song.note import Hand, Note
from core.song.part import Part
from core.song.song import Song
from core.song.wording import say


def set_note_hand(song: Song, chosen: Chosen, hand: Hand) -> Song:
    """Give notes to a hand, and have it stand as the teacher's word.

    What the left hand takes leaves the melody; what the right hand takes joins it where the melody rests. A finger
    of the teacher's own belonged to the other hand and is dropped. Where the song's hands were computed, those
    around that are not given change with it as far as the correction speaks for that.

    Args:
        song: the song before.
        chosen: the notes.
        hand: the hand that is to play them.

    Raises:
        EditError: for a note that is not there, or in a part whose left hand plays chords and nothing written.
    """
    before = song
    for number, indices in by_part(song, chosen).items():
        part = the_part(song, number)
        changing = [index for index in indices if part.notes[index].hand is not hand]
        if hand is Hand.LEFT and changing and part.chords and not part.hand(Hand.LEFT):
            raise EditError(
                say(
                    "The left hand of part {number} plays its chords; a note of its own would take "
                    "their place. Remove the chords first.",
                    number=number,
                )
            )
        notes = list(part.notes)
        for index in sorted(indices):
            notes[index] = _given(notes, index, hand)
        if tuple(notes) != part.notes:
            song = song.with_part(number, _with_notes(part, notes))
    return song if song is before else _told_anew(before, song)


def _told_anew(before: Song, after: Song) -> Song:
    """The computed hands changed for which the notes speak otherwise than before, now that more hands are given."""
    places = [(number, index) for number, part in enumerate(after.parts, 1) for index in range(len(part.notes))]
    notes = [note for _, note in after.placed_notes()]
    if not any(note.hand is Hand.LEFT and not note.hand_given for note in notes):
        # Nothing was shared between two hands, so nothing is to be shared otherwise.
        return after
    from core.teaching.hands import assign_hands  # slow to load, and needed only here

    sounding = [(onset, note.duration, note.pitch.midi) for onset, note in after.placed_notes()]
    old = assign_hands(sounding, _given_in([note for _, note in before.placed_notes()]), before.hands)
    new = assign_hands(sounding, _given_in(notes), after.hands)
    changing: dict[int, list[int]] = {}
    for (number, index), note, was, said in zip(places, notes, old, new, strict=True):
        if not note.hand_given and was.hand is not said.hand and note.hand is not said.hand:
            changing.setdefault(number, []).append(index)
    for number, indices in changing.items():
        part = after.part(number)
        if part.chords and not part.hand(Hand.LEFT):
            continue
        changed = list(part.notes)
        for index in indices:
            hand = Hand.LEFT if changed[index].hand is Hand.RIGHT else Hand.RIGHT
            changed[index] = replace(_given(changed, index, hand), hand_given=False)
        after = after.with_part(number, _with_notes(part, changed))
    return after


def _given_in(notes: Sequence[Note]) -> dict[int, Hand]:
    return {index: note.hand for index, note in enumerate(notes) if note.hand_given}


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
