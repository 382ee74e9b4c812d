"""A song: melody, chords, metre, tempo, key, and the parts it is cut into.

Changing a song makes a new one that shares every part that did not change.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from itertools import accumulate
from typing import Final

from msgspec import Struct
from msgspec.structs import force_setattr, replace

from core.song.chord import Chord
from core.song.errors import DomainError
from core.song.hand_profile import HandProfile
from core.song.key import Key, KeyChange
from core.song.metre import Bar, Metre, MetreChange, bars_of
from core.song.note import Extra, Hand, Note
from core.song.part import Part
from core.song.pattern_grid import OwnPattern
from core.song.phrase import Phrase, check_phrases
from core.song.pitch import NoteName
from core.song.standing import Standing
from core.song.tempo import DEFAULT_TEMPO, TempoChange
from core.song.wording import say, to_say

C_MAJOR: Final = Key(NoteName("C"))
USUAL_HANDS: Final = HandProfile()
"""Hands that reach an octave without strain."""
USUAL_STANDING: Final = Standing()


class Song(Struct, frozen=True):
    """A song with everything decided for teaching it.

    Attributes:
        title: what it is called.
        parts: consecutive, at least one; part n is ``parts[n - 1]``.
        keys: key changes in order, the first at 0.
        metres: metre changes in order, the first at 0.
        tempos: tempo changes in order, the first at 0.
        pickup: length of the pick-up in ticks, 0 where there is none; time 0 is its start.
        playing_order: part numbers in the order in which the song plays them, repeats included.
        section: what is taught, such as ``verse``; may be empty.
        composer: who wrote it; may be empty.
        rights: a note of rights; may be empty.
        hands: the player's reach.
        patterns: left-hand patterns of the teacher's own, each name once.
        phrases: what is said in kinds of segments of this lesson, before what the teacher says in all of them.
        standing: how far the lesson has come, and who asked for it.
        extra: unknown fields of a lesson file, kept.
    """

    title: str
    parts: tuple[Part, ...]
    keys: tuple[KeyChange, ...] = (KeyChange(0, C_MAJOR, given=False),)
    metres: tuple[MetreChange, ...] = (MetreChange(0, Metre()),)
    tempos: tuple[TempoChange, ...] = (TempoChange(0, DEFAULT_TEMPO, given=False),)
    pickup: int = 0
    playing_order: tuple[int, ...] = ()
    section: str = ""
    composer: str = ""
    rights: str = ""
    hands: HandProfile = USUAL_HANDS
    standing: Standing = USUAL_STANDING
    extra: Extra = ()
    patterns: tuple[OwnPattern, ...] = ()
    phrases: tuple[Phrase, ...] = ()
    part_onsets: tuple[int, ...] = ()
    """Start of each part in ticks from the song's start: always made from the parts, kept since all ask for it."""

    def __post_init__(self) -> None:
        if not self.parts:
            raise DomainError(say("a song's parts"), 0, say("at least one"))
        onsets = tuple(accumulate((part.duration for part in self.parts[:-1]), initial=0))
        force_setattr(self, "part_onsets", onsets)
        for what, changes in (
            (to_say("the onsets of a song's key changes"), self.keys),
            (to_say("the onsets of a song's metre changes"), self.metres),
            (to_say("the onsets of a song's tempo changes"), self.tempos),
        ):
            moments = [change.onset for change in changes]
            if not moments or moments[0] != 0 or moments != sorted(set(moments)):
                raise DomainError(say(what), moments, say("rising from 0"))
        if not 0 <= self.pickup < self.metres[0].metre.bar_ticks:
            raise DomainError(say("a song's pick-up"), self.pickup, say("shorter than its first metre's bar"))
        names = [pattern.name for pattern in self.patterns]
        if len(set(names)) != len(names):
            raise DomainError(say("the names of a song's own patterns"), names, say("different from one another"))
        check_phrases(self.phrases)
        if not self.playing_order:
            force_setattr(self, "playing_order", tuple(range(1, len(self.parts) + 1)))
        if any(not 1 <= number <= len(self.parts) for number in self.playing_order):
            raise DomainError(
                say("a song's playing order"),
                self.playing_order,
                say("part numbers from 1 to {most}", most=len(self.parts)),
            )

    @property
    def length(self) -> int:
        """Written length in ticks, repeats not unfolded."""
        return self.part_onsets[-1] + self.parts[-1].duration

    @property
    def bars(self) -> tuple[Bar, ...]:
        """The bars of the written song."""
        return bars_of(self.metres, self.pickup, self.length)

    @property
    def key(self) -> Key:
        """The key the song begins in."""
        return self.keys[0].key

    @property
    def metre(self) -> Metre:
        """The metre the song begins in."""
        return self.metres[0].metre

    @property
    def tempo(self) -> float:
        """The tempo the song begins in, quarter notes a minute."""
        return self.tempos[0].bpm

    def part(self, number: int) -> Part:
        """The part with a number from 1; raises DomainError where there is none."""
        if not 1 <= number <= len(self.parts):
            raise DomainError(
                say("a part's number"), number, say("from {least} to {most}", least=1, most=len(self.parts))
            )
        return self.parts[number - 1]

    def part_at(self, tick: int) -> int:
        """Number of the part that holds a moment; the last one for a moment past the end."""
        return max(1, bisect_right(self.part_onsets, tick))

    def key_at(self, tick: int) -> Key:
        """The key at a moment."""
        return self.keys[max(0, bisect_right(self.keys, tick, key=lambda change: change.onset) - 1)].key

    def metre_at(self, tick: int) -> Metre:
        """The metre at a moment."""
        return self.metres[max(0, bisect_right(self.metres, tick, key=lambda change: change.onset) - 1)].metre

    def tempo_at(self, tick: int) -> float:
        """The tempo at a moment, quarter notes a minute."""
        return self.tempos[max(0, bisect_right(self.tempos, tick, key=lambda change: change.onset) - 1)].bpm

    def placed_notes(self) -> Iterator[tuple[int, Note]]:
        """Every note with its onset in ticks from the song's start, part by part."""
        for start, part in zip(self.part_onsets, self.parts, strict=True):
            for note in part.notes:
                yield start + note.onset, note

    def placed_chords(self) -> Iterator[tuple[int, Chord]]:
        """Every chord with its onset in ticks from the song's start, part by part."""
        for start, part in zip(self.part_onsets, self.parts, strict=True):
            for chord in part.chords:
                yield start + chord.onset, chord

    @property
    def has_written_left_hand(self) -> bool:
        """Whether the left hand is written out as notes somewhere."""
        return any(note.hand is Hand.LEFT for part in self.parts for note in part.notes)

    def with_part(self, number: int, part: Part) -> Song:
        """The song with one part exchanged for another of the same duration."""
        if part.duration != self.part(number).duration:
            raise DomainError(
                say("a part's duration"),
                part.duration,
                say("unchanged at {ticks} ticks", ticks=self.part(number).duration),
            )
        return replace(self, parts=(*self.parts[: number - 1], part, *self.parts[number:]))
