"""The melody's rhythm loosened by rule: some notes early, some late, or repeated through its rests.

Common practice of performing a melody freely: an *anticipation* comes half a beat before the bar line, *back-phrasing*
half a beat after it, and a rest is filled with the note before it, once to each beat. The melody's notes stay in their
order and its line one voice; the plain melody is kept, since all of this is made from it and stored nowhere.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.arranging.beats import beats_in
from core.song.errors import DomainError
from core.song.metre import Bar, bar_at
from core.song.note import Note
from core.song.part import Part, in_order
from core.song.song import Song
from core.song.wording import say, say_in, to_say, to_say_in

AS_WRITTEN: Final = "written"


class MelodyRhythm(Struct, frozen=True):
    """A way to loosen the melody's rhythm.

    Attributes:
        name: how files name it.
        title_text: its title, to be said.
        words_text: what the teacher says of it, to be said.
    """

    name: str
    title_text: str
    words_text: str

    @property
    def title(self) -> str:
        """How screens and plans name it."""
        return say_in("rhythm of the melody", self.title_text)

    @property
    def words(self) -> str:
        """How the teacher introduces it."""
        return say(self.words_text)


RHYTHMS: Final = (
    MelodyRhythm(
        AS_WRITTEN, to_say_in("rhythm of the melody", "as written"), to_say("Right hand: the melody as it is written.")
    ),
    MelodyRhythm(
        "early",
        to_say_in("rhythm of the melody", "anticipation"),
        to_say("Right hand: notes on the first beat come half a beat early."),
    ),
    MelodyRhythm(
        "late",
        to_say_in("rhythm of the melody", "back-phrasing"),
        to_say("Right hand: notes on the first beat come half a beat late."),
    ),
    MelodyRhythm(
        "repeated",
        to_say_in("rhythm of the melody", "repeated notes in rests"),
        to_say("Right hand: in a rest, repeat the last note on each beat."),
    ),
)


def rhythm_named(name: str) -> MelodyRhythm:
    """The rhythm with a name; raises DomainError for an unknown one."""
    for rhythm in RHYTHMS:
        if rhythm.name == name:
            return rhythm
    raise DomainError(
        say("the rhythm of a melody"), name, say("one of {names}", names=", ".join(rhythm.name for rhythm in RHYTHMS))
    )


def with_rhythm(song: Song, number: int, name: str, left: Sequence[Note] = ()) -> Part:
    """A part with its melody's rhythm loosened; the same object where nothing changes.

    No note comes before the part or the note before it, none sounds longer than the melody did, and none is moved
    onto what the left hand holds.

    Args:
        song: the song.
        number: part number from 1.
        name: name of a rhythm.
        left: what the left hand plays meanwhile.

    Raises:
        DomainError: for an unknown part or rhythm.
    """
    part = song.part(number)
    rhythm = rhythm_named(name)
    melody = [note for note in part.melody if not note.is_grace]
    if rhythm.name == AS_WRITTEN or any(after.onset < before.end for before, after in pairwise(melody)):
        return part
    graced = {note.onset for note in part.melody if note.is_grace}
    around = _Around(song.bars, song.part_onsets[number - 1], left, graced)
    changed = _RULES[rhythm.name](melody, around)
    if changed == melody:
        return part
    others = [note for note in part.notes if not note.melody or note.is_grace]
    return replace(part, notes=in_order([*others, *changed]))


class _Around(Struct, frozen=True):
    """What stands around a melody: bars, the part's start, the left hand, and where grace notes lead."""

    bars: Sequence[Bar]
    start: int
    left: Sequence[Note]
    graced: set[int]

    def half_beat(self, onset: int) -> int | None:
        """Half a beat (a third of a dotted one) where a note begins a bar; None elsewhere."""
        bar = bar_at(self.bars, self.start + onset)
        if bar.onset != self.start + onset or bar.number == 0 or onset in self.graced:
            return None
        beat = beats_in(bar)[0]
        return beat.duration // (3 if beat.compound else 2)

    def beats(self, start: int, end: int) -> list[int]:
        """The beats from one moment to another, from the part's start."""
        return [
            beat.onset - self.start
            for bar in self.bars
            for beat in beats_in(bar)
            if start <= beat.onset - self.start < end and bar.onset <= beat.onset < bar.end
        ]

    def is_free(self, note: Note) -> bool:
        """Whether a note lies above everything that the left hand holds while it sounds."""
        return all(
            other.pitch.midi < note.pitch.midi
            for other in self.left
            if other.onset < note.end and other.end > note.onset
        )


def _early(melody: list[Note], around: _Around) -> list[Note]:
    changed = melody[:1]
    for note in melody[1:]:
        before = changed[-1]
        half = around.half_beat(note.onset)
        if half is not None and note.duration >= 2 * half:
            early = replace(note, onset=note.onset - half, duration=note.duration + half)
            shortened = min(before.duration, early.onset - before.onset)
            if shortened >= half and around.is_free(replace(early, duration=half)):
                changed[-1] = replace(before, duration=shortened)
                changed.append(early)
                continue
        changed.append(note)
    return changed


def _late(melody: list[Note], around: _Around) -> list[Note]:
    changed: list[Note] = []
    for note in melody:
        half = around.half_beat(note.onset)
        moved = half is not None and note.duration >= 2 * half
        changed.append(
            replace(note, onset=note.onset + half, duration=note.duration - half) if moved and half else note
        )
    return changed


def _repeated(melody: list[Note], around: _Around) -> list[Note]:
    changed: list[Note] = []
    for note, following in pairwise(melody):
        changed.append(note)
        beats = around.beats(note.end, following.onset)
        for onset, end in pairwise([*beats, following.onset]):
            again = replace(note, onset=onset, duration=end - onset, finger=None, extra=())
            if again.duration and around.is_free(again):
                changed.append(again)
    return [*changed, *melody[-1:]]


_RULES: Final[dict[str, Callable[[list[Note], _Around], list[Note]]]] = {
    "early": _early,
    "late": _late,
    "repeated": _repeated,
}
