"""Moving the moment at which a chord begins."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import the_chord, the_part, with_chords
from core.song.errors import EditError
from core.song.song import Song
from core.song.wording import say


def move_chord(song: Song, number: int, index: int, onset: int) -> Song:
    """Let a chord begin earlier or later; it ends where it did, and the chord before it meets it.

    A suggested chord that is moved becomes the teacher's.

    Args:
        song: the song before.
        number: part number from 1.
        index: index of the chord in the part's chords.
        onset: ticks from the part's start; after the start of the chord before, before its own end.

    Raises:
        EditError: for a chord that is not there, or a moment that would swallow a chord.
    """
    chord = the_chord(song, number, index)
    part = the_part(song, number)
    if onset == chord.onset:
        return song
    earliest = part.chords[index - 1].onset + 1 if index else 0
    if not earliest <= onset < chord.end:
        raise EditError(say("A chord must begin after the chord before it and before its own end."))
    chords = list(part.chords)
    continued = chord.continued and onset == 0
    chords[index] = replace(chord, onset=onset, duration=chord.end - onset, continued=continued, given=True)
    if index and (chords[index - 1].end == chord.onset or chords[index - 1].end > onset):
        chords[index - 1] = replace(chords[index - 1], duration=onset - chords[index - 1].onset)
    return with_chords(song, number, chords)
