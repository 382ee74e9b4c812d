"""A part as it is embellished: both hands with their fingers, its effort, and what to say of it.

The song holds names of what was chosen and the plain notes alone; this is made from them each time.
"""

from __future__ import annotations

from collections.abc import Collection

from msgspec import Struct

from core.arranging.left_hand import PLAIN, left_hand, left_hand_remarks, pattern_in
from core.arranging.melody_rhythm import AS_WRITTEN, rhythm_named
from core.arranging.ornaments import ALL, ornament_words
from core.arranging.pedal import PEDAL_WORDS, PedalMark, pedal_marks
from core.arranging.right_hand import NONE, harmony_named, right_hand
from core.song.note import Hand, Note
from core.song.part import Part
from core.song.song import Song
from core.song.wording import say
from core.teaching.effort import Effort, PlayedNote, effort_of
from core.teaching.fingering import FingeredHand, finger_hand


class Embellished(Struct, frozen=True):
    """A part as it is played with a pattern, a harmony and a rhythm.

    Attributes:
        right: the right hand's notes, with onsets from the part's start.
        left: the left hand's.
        right_fingers: fingers and positions of the right hand, in the order of its notes.
        left_fingers: the same of the left hand.
        effort: of both hands.
        words: what is said of each hand that does something beyond the plain version.
        remarks: what was taken smaller for the hand or the melody, each with its bar.
        pedal: where the sustain pedal goes down and comes up.
    """

    right: tuple[Note, ...]
    left: tuple[Note, ...]
    right_fingers: FingeredHand
    left_fingers: FingeredHand
    effort: Effort
    words: tuple[str, ...]
    remarks: tuple[str, ...]
    pedal: tuple[PedalMark, ...]


def embellished(
    song: Song,
    number: int,
    pattern: str | None = None,
    harmony: str | None = None,
    rhythm: str | None = None,
    ornaments: Collection[str] = ALL,
) -> Embellished:
    """A part as it would be played; None takes the part's own choice, and `ornaments` are written out as notes.

    Raises:
        DomainError: for an unknown part, pattern, harmony or rhythm.
    """
    part = song.part(number)
    pattern = pattern or part.teaching.pattern
    harmony = harmony or part.teaching.harmony
    rhythm = rhythm or part.teaching.rhythm
    start = song.part_onsets[number - 1]
    key = song.key_at(start)
    left = left_hand(song, number, pattern)
    right = right_hand(song, number, harmony, left, rhythm, ornaments)
    bars = [bar for bar in song.bars if bar.end > start and bar.onset < start + part.duration]
    played = [PlayedNote(start + note.onset, note.duration, note.pitch.midi, note.hand) for note in (*right, *left)]
    return Embellished(
        right=right,
        left=left,
        right_fingers=finger_hand(right, Hand.RIGHT, song.hands, key),
        left_fingers=finger_hand(left, Hand.LEFT, song.hands, key),
        effort=effort_of(sorted(played, key=lambda note: (note.onset, note.midi)), song.tempo_at(start), bars),
        words=_words(song, number, pattern, harmony, rhythm),
        remarks=tuple(text for _, text in left_hand_remarks(song, number, pattern)),
        pedal=pedal_marks(song, number),
    )


def goes_beyond_melody(part: Part) -> bool:
    """Whether more than the plain melody and a left hand was chosen for a part."""
    teaching = part.teaching
    ornamented = any(note.ornament for note in part.notes)
    return ornamented or teaching.harmony != NONE or teaching.rhythm != AS_WRITTEN or teaching.pedal


def chosen_words(song: Song, number: int, *, left_hand: bool = True) -> tuple[str, ...]:
    """What is said of everything that was chosen for a part beyond the plain version, one sentence each.

    Args:
        song: the song.
        number: part number from 1.
        left_hand: whether the left hand's pattern is among it.
    """
    teaching = song.part(number).teaching
    return _words(song, number, teaching.pattern if left_hand else PLAIN, teaching.harmony, teaching.rhythm)


def _words(song: Song, number: int, pattern: str, harmony: str, rhythm: str) -> tuple[str, ...]:
    words: list[str] = []
    if pattern != PLAIN:
        words.append(pattern_in(song, pattern).words_in(song.metre_at(song.part_onsets[number - 1])))
    if harmony != NONE:
        words.append(harmony_named(harmony).words)
    if rhythm != AS_WRITTEN:
        words.append(rhythm_named(rhythm).words)
    words.extend(ornament_words(song, number))
    if song.part(number).teaching.pedal:
        words.append(say(PEDAL_WORDS))
    return tuple(words)
