"""Ornaments of the melody at chosen spots: grace notes and turns, made of the neighbours in the key.

A grace note is struck just before its note, from the neighbour above or below. A turn goes round its note: the note,
its upper neighbour, the note, its lower neighbour, the note, in quick notes at its beginning (the form in five notes,
common practice), so that the melody keeps its onset. What does not fit under the hand with what it holds is left away.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.song.key import Key
from core.song.metre import bar_at
from core.song.note import GRACE_ABOVE, GRACE_BELOW, TURN, Note
from core.song.part import in_order
from core.song.pitch import HIGHEST_PIANO_KEY, LETTERS, LOWEST_PIANO_KEY, NoteName, Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.song.wording import say, say_in, to_say, to_say_in
from core.teaching.number_words import listed

SHORTEST_TURN: Final = TICKS_PER_QUARTER
"""A note shorter than a quarter has no time for a turn (at 120 a minute its quick notes last 80 ms)."""
QUICK: Final = TICKS_PER_QUARTER // 4
QUICK_SHARE: Final = 6
"""A quick note of a turn lasts at most this share of the note."""
WIDEST_NEIGHBOUR: Final = 2
ALL: Final = (GRACE_ABOVE, GRACE_BELOW, TURN)
GRACES: Final = (GRACE_ABOVE, GRACE_BELOW)


class Ornament(Struct, frozen=True):
    """An ornament as screens and words name it.

    Attributes:
        name: how files name it.
        title_text: its title, to be said.
        words_text: what the teacher says of it, to be said; ``{notes}`` are the notes that have it.
    """

    name: str
    title_text: str
    words_text: str

    @property
    def title(self) -> str:
        """How screens and plans name it."""
        return say_in("ornament", self.title_text)


ORNAMENTS: Final = (
    Ornament(
        GRACE_ABOVE,
        to_say_in("ornament", "grace note from above"),
        to_say("Right hand: a grace note from above on {notes}."),
    ),
    Ornament(
        GRACE_BELOW,
        to_say_in("ornament", "grace note from below"),
        to_say("Right hand: a grace note from below on {notes}."),
    ),
    Ornament(TURN, to_say_in("ornament", "turn"), to_say("Right hand: a turn on {notes}.")),
)


def neighbour(pitch: Pitch, key: Key, *, up: bool) -> Pitch:
    """The note of the key a step above or below; beside a note foreign to the key, a semitone or a whole tone away."""
    octave, place = divmod(pitch.staff_step + (1 if up else -1), len(LETTERS))
    own = key.altered(LETTERS[place])
    for change in (0, 1, -1, 2, -2):
        found = Pitch.of(NoteName(own.letter, own.alteration + change), octave)
        away = found.midi - pitch.midi if up else pitch.midi - found.midi
        if 0 < away <= WIDEST_NEIGHBOUR:
            break
    return found


def with_ornaments(
    song: Song, start: int, notes: Sequence[Note], written_out: Collection[str] = ALL
) -> tuple[Note, ...]:
    """A right hand's notes with ornaments written out as notes.

    Args:
        song: the song: its keys, and what the hand reaches.
        start: ticks from the song's start to where the notes' onsets are counted from.
        notes: of the right hand, in order.
        written_out: which ornaments; the others stay names in their notes.
    """
    if all(note.ornament not in written_out or not note.ornament for note in notes):
        return tuple(notes)
    made: list[Note] = []
    for note in notes:
        if not note.ornament or note.ornament not in written_out:
            made.append(note)
            continue
        key = song.key_at(start + note.onset)
        above, below = neighbour(note.pitch, key, up=True), neighbour(note.pitch, key, up=False)
        plain = replace(note, ornament="")
        wanted = {GRACE_ABOVE: (above,), GRACE_BELOW: (below,), TURN: (above, below)}[note.ornament]
        if not _fits(note, wanted, notes, song.hands.right_reach):
            made.append(plain)
        elif note.ornament == TURN:
            made.extend(_turn(plain, above, below))
        else:
            made.extend((Note(note.onset, 0, wanted[0], note.hand, melody=False), plain))
    return in_order(made)


def ornament_words(song: Song, number: int) -> tuple[str, ...]:
    """What is said of a part's ornaments, one sentence for each kind."""
    part, start = song.part(number), song.part_onsets[number - 1]
    words = []
    for ornament in ORNAMENTS:
        places = [
            say(
                "the {note} in bar {bar}",
                note=note.pitch.name.spoken,
                bar=bar_at(song.bars, start + note.onset).number,
            )
            for note in part.notes
            if note.ornament == ornament.name
        ]
        if places:
            words.append(say(ornament.words_text, notes=listed(list(dict.fromkeys(places)))))
    return tuple(words)


def _fits(note: Note, wanted: Sequence[Pitch], notes: Sequence[Note], reach: int) -> bool:
    """Whether the hand reaches the neighbours along with all that it holds before and under the note."""
    held = [other.pitch.midi for other in notes if other.onset < note.end and other.end >= note.onset]
    keys = [pitch.midi for pitch in wanted]
    inside = all(LOWEST_PIANO_KEY <= key <= HIGHEST_PIANO_KEY for key in keys)
    return inside and max(*keys, *held) - min(*keys, *held) <= reach


def _turn(note: Note, above: Pitch, below: Pitch) -> list[Note]:
    quick = min(QUICK, note.duration // QUICK_SHARE)
    if not quick:
        return [note]
    pitches = (note.pitch, above, note.pitch, below)
    turned = [
        replace(note, onset=note.onset + place * quick, duration=quick, pitch=pitch, melody=note.melody and not place)
        for place, pitch in enumerate(pitches)
    ]
    last = replace(note, onset=note.onset + 4 * quick, duration=note.duration - 4 * quick, melody=False, finger=None)
    return [turned[0], *(replace(one, finger=None) for one in turned[1:]), last]
