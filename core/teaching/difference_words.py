"""What to say for a part that comes back: what is new about it, and nothing that is known already.

Only what changed is said; every other word was said where the part was first learned. A part that has to be
learned as a whole (the same rhythm on other notes, the same tune a third higher) keeps all its words.
"""

from __future__ import annotations

from collections import Counter

from msgspec.structs import replace

from core.song.key import KeyChange
from core.song.metre import MetreChange
from core.song.part import Part
from core.song.pitch import NoteName
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.wording import say
from core.teaching.counting import Counting
from core.teaching.landings import landings
from core.teaching.left_hand_voicings import voicings
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.resemblance import Resemblance
from core.teaching.right_hand_words import right_hand_words
from core.teaching.written_together_words import meetings


def difference_words(song: Song, number: int, kind: str, found: Resemblance, names: Names = LETTER_NAMES) -> str | None:
    """The short words for one hand, or both, of a part that resembles an earlier one.

    Args:
        song: the song.
        number: the part's number, from 1.
        kind: ``right_hand``, ``left_hand`` or ``together``.
        found: how it resembles the earlier part.
        names: what notes are called.

    Returns:
        What is said, or None where the whole words are needed.
    """
    if kind == "right_hand":
        return _right_hand(song, number, found, names)
    if not found.same_left_hand or not song.part(number).has_left_hand:
        return None
    if kind == "left_hand":
        alike = voicings(song, number) == voicings(song, found.part)
        return say("The left hand is the same as in part {part}.", part=found.part) if alike else None
    if found.changed is None or _landed(song, number) != _landed(song, found.part):
        return None
    return say("Both hands meet where they do in part {part}.", part=found.part)


def _right_hand(song: Song, number: int, found: Resemblance, names: Names) -> str | None:
    changed = found.changed
    if changed is None:
        return None
    if found.sentence != found.lead or not changed:
        return found.sentence
    part = song.part(number)
    if any(note.is_grace and note.melody for note in part.notes):
        return None
    notes = tuple(note for note in part.notes if note.melody)
    if len(changed) == 1 and changed[0] == len(notes) - 1 and found.tells_last_length:
        return found.sentence
    if changed != tuple(range(changed[0], changed[-1] + 1)) or len(changed) == len(notes):
        return None
    words = right_hand_words(_only(song, number, changed[0], changed[-1] + 1), 1, names)
    what = say("Here is how it begins.") if changed[0] == 0 else say("Here is the new ending.")
    return " ".join((found.sentence, what, words))


def _only(song: Song, number: int, first: int, last: int) -> Song:
    """Some melody notes of a part as a song of their own, begun at the first of them."""
    part, start = song.part(number), song.part_onsets[number - 1]
    notes = tuple(note for note in part.notes if note.melody)[first:last]
    begin = notes[0].onset
    moved = tuple(replace(note, onset=note.onset - begin) for note in notes)
    return Song(
        song.title,
        (Part(max(note.end for note in moved), moved),),
        keys=(KeyChange(0, song.key_at(start)),),
        metres=(MetreChange(0, song.metre_at(start)),),
        tempos=(TempoChange(0, song.tempo_at(start)),),
        hands=song.hands,
    )


def _landed(song: Song, number: int) -> list[tuple[int, NoteName | None, int | None]]:
    """When chords, or the notes of a written left hand, land, and with which note, as it is said."""
    part = song.part(number)
    if part.chords:
        return [
            (landing.onset, None if landing.note is None else part.notes[landing.note].pitch.name, landing.nth)
            for landing in landings(part)
        ]
    met = meetings(part, Counting.of(song.metre_at(song.part_onsets[number - 1])))
    nth: Counter[NoteName] = Counter()
    numbered: dict[int, int] = {}
    for note in part.melody:
        nth[note.pitch.name] += 1
        numbered[id(note)] = nth[note.pitch.name]
    return [
        (one.strike.onset, None, None)
        if one.note is None
        else (one.strike.onset, one.note.pitch.name, numbered[id(one.note)])
        for one in met
    ]
