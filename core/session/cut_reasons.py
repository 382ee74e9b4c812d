"""Why a cut lies where it does, or what speaks against it: what can be heard around it, in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from statistics import median
from typing import Final

from core.song.metre import bar_at
from core.song.note import Note
from core.song.part import Part
from core.song.playing_order import can_join
from core.song.song import Song
from core.song.wording import say
from core.teaching.number_words import beats_words

ALIKE_NOTES: Final = 4
"""So many notes with the same lengths and steps make two beginnings alike."""
LONGER: Final = 1.5
"""A note counts as held that lasts so many times as long as the part's notes do on the whole."""


def cut_reasons(song: Song, after: int) -> tuple[str, ...]:
    """What speaks for the cut behind a part, and what against it; at least one sentence.

    Args:
        song: the song.
        after: number of the part before the cut, from 1 to one less than there are.
    """
    before, behind = song.part(after), song.part(after + 1)
    cut = song.part_onsets[after]
    found = [_ending(song, before, cut)]
    likeness = _like_an_earlier(song, after)
    if likeness:
        found.append(likeness)
    if not can_join(song, after):
        found.append(say("The song's repeats need it."))
    if bar_at(song.bars, cut).onset != cut:
        found.append(say("It lies inside a bar: what follows begins with a pick-up."))
    if not behind.melody:
        found.append(say("The right hand rests behind it."))
    return tuple(found)


def _ending(song: Song, part: Part, cut: int) -> str:
    """How the right hand ends before a cut."""
    melody = [note for note in part.melody if not note.is_grace]
    if not melody:
        return say("The right hand rests before it.")
    last = melody[-1]
    beat = song.metre_at(max(0, cut - 1)).beat_ticks
    rest = part.duration - last.end
    gaps = [later.onset - earlier.onset for earlier, later in pairwise(melody) if later.onset > earlier.onset]
    if rest > 0:
        return say("The right hand rests for {beats} before it.", beats=beats_words(Fraction(rest, beat)))
    if last.end > part.duration:
        return say("A note sounds on over it: the right hand does not rest there.")
    if gaps and last.duration >= LONGER * median(gaps):
        return say(
            "The right hand holds its last note for {beats} before it.",
            beats=beats_words(Fraction(last.duration, beat)),
        )
    return say("The right hand runs on over it without a held note or a rest.")


def _like_an_earlier(song: Song, after: int) -> str:
    """Which earlier part begins as the one behind a cut does."""
    here = _beginning(song.part(after + 1).melody)
    if here is None:
        return ""
    alike = [number for number in range(1, after + 1) if _beginning(song.part(number).melody) == here]
    return say("What follows begins as part {part} does.", part=alike[0]) if alike else ""


def _beginning(melody: Sequence[Note]) -> tuple[tuple[int, int], ...] | None:
    """Onsets and steps of a melody's first notes, from the first one; None where they are too few."""
    notes = [note for note in melody if not note.is_grace][:ALIKE_NOTES]
    if len(notes) < ALIKE_NOTES:
        return None
    first = notes[0]
    return tuple((note.onset - first.onset, note.pitch.staff_step - first.pitch.staff_step) for note in notes)
