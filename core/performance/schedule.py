"""A song as timed events: what sounds when, for any parts in any order, one hand or both.

Conventions:

- Seconds count from the start of playing (with a count-in: from its first click). They are derived from
  score time through the tempo map and are never stored in a song.
- Ticks in events and positions count from the start of the part that they name.
- The same key is never struck while it sounds: an earlier note lets go shortly before the later one, as a
  piano's key must rise before it can be struck again. Where both hands strike one key at once it is struck
  once, by the right hand.
- A note may sound past its part's end where the next part of the sequence follows in the song; else it ends
  with its part.
- The sustain pedal comes up as a chord is struck and goes down shortly after, so that no two chords run together.
- Grace notes come just before the beat (common practice for the short grace note), each taking
  `GRACE_SECONDS` from what sounds before it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from typing import Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from core.arranging.left_hand import left_hand
from core.arranging.ornaments import ALL
from core.arranging.pedal import pedal_marks
from core.arranging.right_hand import right_hand
from core.performance.beats import Beat, beats_between, count_in_beats
from core.performance.selection import Selection
from core.performance.tempo_map import TempoMap
from core.song.errors import DomainError
from core.song.note import Hand, Note
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.wording import say

Kind = Literal["on", "off", "click", "pedal"]

VELOCITY: Final = {Hand.RIGHT: 80, Hand.LEFT: 62}
"""How hard each hand plays: the melody stands above its accompaniment."""
BAR_ACCENT: Final = 6
"""Added on the first beat of a bar."""
GRACE_SECONDS: Final = 0.07
"""Length of a grace note, shorter where several crowd before one beat (from memory: 50 to 100 ms is usual)."""
KEY_RISE_SECONDS: Final = 0.03
"""How long before a key is struck again it is let go, at most a quarter of the note."""
CLICK_ACCENTED: Final = 76
CLICK_PLAIN: Final = 77
"""High and low wood block of General MIDI's percussion map (from memory)."""
CLICK_VELOCITY_ACCENTED: Final = 96
CLICK_VELOCITY_PLAIN: Final = 72
CLICK_VELOCITY_BETWEEN: Final = 46
"""Of a click between two beats."""
SOFTER: Final = 0.6
"""By how much a hand is struck less hard where it is to be heard softer: some 7 dB less on the built-in piano."""
LARGEST_VELOCITY: Final = 127
PIANO_CHANNEL: Final = 0
SUSTAIN: Final = 64
"""Controller number of the sustain pedal (MIDI 1.0)."""
PEDAL_DOWN: Final = 127
PEDAL_AFTER_SECONDS: Final = 0.06
"""How long after a chord is struck the pedal goes down again, at most a quarter of the time until it comes up
(legato pedalling, common practice; the figure from memory)."""
CLICK_CHANNEL: Final = 9
"""Percussion is on channel 10 of General MIDI; the byte counts from 0."""
HELD_PATTERN: Final = "block"
"""The left-hand pattern that holds its chords."""
ORDER: Final = ("off", "pedal", "click", "on")
"""Of what happens at one moment."""
NO_TIME: Final = 1e-9
"""Seconds within which two moments are the same one, for all the rounding of sums."""


class TimedEvent(Struct, frozen=True):
    """One thing that happens while a schedule is played.

    Attributes:
        seconds: when, from the start of playing.
        kind: ``on`` a key goes down, ``off`` it comes up, ``click`` the metronome, ``pedal`` the sustain pedal.
        midi: MIDI number of the key (for a click: of the percussion sound; for the pedal: of its controller).
        velocity: 1 … 127; 0 for ``off`` and for a pedal that comes up.
        hand: the hand that plays, None for a click or the pedal.
        part: number of the part that it belongs to.
        tick: onset of its note or beat, from that part's start (negative in a count-in).
        channel: MIDI channel from 0.
    """

    seconds: float
    kind: Kind
    midi: int
    velocity: int
    hand: Hand | None = None
    part: int = 0
    tick: int = 0
    channel: int = PIANO_CHANNEL


class Schedule(Struct, frozen=True):
    """A whole immutable performance.

    Attributes:
        events: in order of time; at one moment keys come up before others go down.
        length: seconds until the last part ends; every event is at or before it.
        positions: (seconds, part, tick) at each part's start and end and at each tempo change, in order; between
            two of them time is straight. Before the first (count-in) nothing of the score has begun.
    """

    events: tuple[TimedEvent, ...] = ()
    length: float = 0.0
    positions: tuple[tuple[float, int, int], ...] = ()

    def place(self, seconds: float) -> tuple[int, int]:
        """The part, and the ticks from its start, that are played at a moment.

        Where one part ends and the next begins it is the next one. Raises DomainError for a schedule of nothing.
        """
        if not self.positions:
            raise DomainError(say("the positions of a schedule"), 0, say("at least one"))
        index = bisect_right(self.positions, seconds, key=lambda position: position[0]) - 1
        if index < 0:
            return self.positions[0][1:]
        here, part, tick = self.positions[index]
        if index + 1 == len(self.positions):
            return part, tick
        there, next_part, next_tick = self.positions[index + 1]
        if next_part != part or next_tick < tick:
            return part, tick
        return part, tick + round((next_tick - tick) * (seconds - here) / (there - here))

    def seconds_of(self, part: int, tick: int, after: float = 0.0) -> float | None:
        """Seconds at which a moment of a part is played, the first time not before `after`; None where it never is."""
        for (here, number, low), (there, next_number, high) in zip(self.positions, self.positions[1:], strict=False):
            if number == next_number == part and low <= tick <= high and there > here:
                seconds = here + (there - here) * (tick - low) / (high - low)
                if seconds >= after:
                    return seconds
        return None


def make_schedule(song: Song, selection: Selection) -> Schedule:
    """The timed events of a selection of a song.

    Raises DomainError where a part does not exist or the start is past the end of the sequence.
    """
    return _Performance(song, selection).schedule()


class _Stay(Struct, frozen=True):
    """One playing of one part: from which to which tick of the part, and when it begins."""

    part: int
    first: int
    last: int
    seconds: float
    faster: float = 1.0
    """How much faster than the first time through."""


class _Strike(Struct, frozen=True):
    """One key held down from one moment to another."""

    start: float
    end: float
    note: Note
    part: int
    velocity: int
    tied: bool = False
    """Whether it goes on from the same key where that is still down, as a held chord does across a cut."""


class _Performance:
    """The making of one schedule."""

    def __init__(self, song: Song, selection: Selection) -> None:
        self.song = song
        self.selection = selection
        changes = song.tempos if selection.tempo is None else (TempoChange(0, selection.tempo),)
        self.tempo_map = TempoMap.of(changes, selection.speed)
        self.onsets = song.part_onsets
        self.followers = set(zip(song.playing_order, song.playing_order[1:], strict=False))
        self.followers |= {(number, number + 1) for number in range(1, len(song.parts))}
        self.downbeats = frozenset(bar.onset for bar in song.bars if bar.number)
        self.hand_notes: dict[int, tuple[Note, ...]] = {}

    def schedule(self) -> Schedule:
        stays = self._stays()
        strikes = sorted(
            (strike for index in range(len(stays)) for strike in self._strikes(stays, index)),
            key=lambda strike: (strike.start, strike.note.hand is Hand.LEFT, -strike.end),
        )
        clicks = [*self._count_in(stays[0]), *self._metronome(stays)]
        first = min((strikes[0].start if strikes else 0.0), (clicks[0].seconds if clicks else 0.0), 0.0)
        events = [*clicks, *_key_events(strikes), *self._pedal(stays)]
        last = stays[-1]
        length = last.seconds + self._along(last, last.first, last.last)
        moved = [replace(event, seconds=event.seconds - first) for event in events]
        moved.sort(key=lambda event: (event.seconds, ORDER.index(event.kind), event.midi))
        positions = tuple((seconds - first, part, tick) for seconds, part, tick in self._positions(stays))
        return Schedule(tuple(moved), length - first, positions)

    def _along(self, stay: _Stay, first: int, last: int) -> float:
        """Seconds between two moments of a part, at the speed of one playing of it."""
        onset = self.onsets[stay.part - 1]
        return self.tempo_map.between(onset + first, onset + last) / stay.faster

    def _stays(self) -> list[_Stay]:
        stays: list[_Stay] = []
        begin, end = self.selection.start or 0, self.selection.end
        seconds = 0.0
        for time in range(self.selection.times):
            gone = 0
            for number in self.selection.parts:
                duration = self.song.part(number).duration
                first = max(0, begin - gone)
                last = duration if end is None else min(duration, end - gone)
                gone += duration
                if first < last:
                    stay = _Stay(number, first, last, seconds, 1 + time * self.selection.rise)
                    stays.append(stay)
                    seconds += self._along(stay, first, last)
        if not stays:
            raise DomainError(say("where to start"), self.selection.start, say("before the end of what is played"))
        return stays

    def _positions(self, stays: list[_Stay]) -> Iterator[tuple[float, int, int]]:
        for stay in stays:
            onset = self.onsets[stay.part - 1]
            inside = self.tempo_map.changes_inside(onset + stay.first, onset + stay.last)
            for tick in (stay.first, *(change - onset for change in inside), stay.last):
                yield stay.seconds + self._along(stay, stay.first, tick), stay.part, tick

    def _notes(self, number: int) -> tuple[Note, ...]:
        if number not in self.hand_notes:
            notes: list[Note] = []
            left = left_hand(self.song, number, self.selection.pattern)
            if Hand.RIGHT in self.selection.hands:
                played = ALL if self.selection.ornaments else ()
                choices = self.selection.harmony, left, self.selection.rhythm, played
                notes.extend(right_hand(self.song, number, *choices))
            if Hand.LEFT in self.selection.hands:
                notes.extend(left)
            self.hand_notes[number] = tuple(notes)
        return self.hand_notes[number]

    def _strikes(self, stays: list[_Stay], index: int) -> Iterator[_Strike]:
        stay = stays[index]
        notes = [note for note in self._notes(stay.part) if stay.first <= note.onset < stay.last]
        onset = self.onsets[stay.part - 1]
        graces: list[Note] = []
        for note in notes:
            if note.is_grace:
                graces.append(note)
                continue
            start = stay.seconds + self._along(stay, stay.first, note.onset)
            accent = BAR_ACCENT if onset + note.onset in self.downbeats else 0
            tied = note.hand is Hand.LEFT and note.onset == 0 and self._begins_held(stay.part)
            velocity = self._velocity(note.hand, accent)
            yield _Strike(start, self._end(stays, index, note), note, stay.part, velocity, tied)
        for hand in Hand:
            yield from self._grace_strikes(stay, [note for note in graces if note.hand is hand], notes)

    def _velocity(self, hand: Hand, accent: int = 0) -> int:
        full = VELOCITY[hand] + accent
        return round(full * SOFTER) if hand is self.selection.softer else full

    def _begins_held(self, number: int) -> bool:
        """Whether a part begins inside a chord that the left hand holds: a cut went through it."""
        part = self.song.part(number)
        held = bool(part.chords) and part.chords[0].continued and part.chords[0].onset == 0
        return held and (self.selection.pattern or part.teaching.pattern) == HELD_PATTERN and not part.hand(Hand.LEFT)

    def _grace_strikes(self, stay: _Stay, graces: list[Note], notes: list[Note]) -> Iterator[_Strike]:
        """Grace notes of one hand, each group crowded in before the beat that it leads to."""
        for onset in sorted({note.onset for note in graces}):
            group = [note for note in graces if note.onset == onset]
            beat = stay.seconds + self._along(stay, stay.first, onset)
            before = [note.onset for note in notes if note.hand is group[0].hand and note.onset < onset]
            room = self._along(stay, max(before), onset) / 2 if before else GRACE_SECONDS * len(group)
            each = min(GRACE_SECONDS, room / len(group))
            for place, note in enumerate(group):
                start = beat - each * (len(group) - place)
                yield _Strike(start, start + each, note, stay.part, self._velocity(note.hand))

    def _end(self, stays: list[_Stay], index: int, note: Note) -> float:
        """When a note ends: in its own part, or in those that follow it without a jump."""
        stay = stays[index]
        left = note.end - stay.last
        if left <= 0:
            return stay.seconds + self._along(stay, stay.first, note.end)
        end = stay.seconds + self._along(stay, stay.first, stay.last)
        for before, after in zip(stays[index:], stays[index + 1 :], strict=False):
            whole = before.last == self.song.part(before.part).duration and after.first == 0
            if left <= 0 or not whole or (before.part, after.part) not in self.followers:
                break
            sounding = min(left, after.last)
            end = after.seconds + self._along(after, 0, sounding)
            left -= sounding
        return end

    def _count_in(self, stay: _Stay) -> list[TimedEvent]:
        if not self.selection.count_in:
            return []
        beats = count_in_beats(self.song, self.onsets[stay.part - 1] + stay.first, self.selection.count_in_bars)
        return [self._click(beat, stay, held_tempo=True) for beat in beats]

    def _pedal(self, stays: list[_Stay]) -> Iterator[TimedEvent]:
        """The pedal down and up in the parts that ask for it, up at the end of each at the latest."""
        if not self.selection.pedal or Hand.LEFT not in self.selection.hands:
            return
        for stay in stays:
            if not self.song.part(stay.part).teaching.pedal:
                continue
            for mark in pedal_marks(self.song, stay.part):
                down, up = max(mark.down, stay.first), min(mark.up, stay.last)
                if down < up:
                    start = stay.seconds + self._along(stay, stay.first, down)
                    end = stay.seconds + self._along(stay, stay.first, up)
                    after = min(PEDAL_AFTER_SECONDS, (end - start) / 4)
                    pressed = TimedEvent(start + after, "pedal", SUSTAIN, PEDAL_DOWN, None, stay.part, down)
                    yield pressed
                    yield replace(pressed, seconds=end, velocity=0)

    def _metronome(self, stays: list[_Stay]) -> list[TimedEvent]:
        if not self.selection.metronome:
            return []
        return [
            self._click(beat, stay)
            for stay in stays
            for beat in beats_between(
                self.song,
                self.onsets[stay.part - 1] + stay.first,
                self.onsets[stay.part - 1] + stay.last,
                self.selection.subdivisions,
            )
        ]

    def _click(self, beat: Beat, stay: _Stay, held_tempo: bool = False) -> TimedEvent:
        tick = beat.onset - self.onsets[stay.part - 1]
        if held_tempo:  # a count-in gives the tempo of what follows, whatever came before it in the song
            here = bisect_right(self.tempo_map.onsets, self.onsets[stay.part - 1] + stay.first) - 1
            after = (tick - stay.first) * self.tempo_map.seconds_per_tick[here]
        else:
            after = self._along(stay, stay.first, tick)
        if beat.between:
            velocity = CLICK_VELOCITY_BETWEEN
        else:
            velocity = CLICK_VELOCITY_ACCENTED if beat.accented else CLICK_VELOCITY_PLAIN
        return TimedEvent(
            seconds=stay.seconds + after,
            kind="click",
            midi=CLICK_ACCENTED if beat.accented else CLICK_PLAIN,
            velocity=min(LARGEST_VELOCITY, max(1, round(velocity * self.selection.click_level))),
            part=stay.part,
            tick=tick,
            channel=CLICK_CHANNEL,
        )


def _key_events(strikes: list[_Strike]) -> Iterator[TimedEvent]:
    """Key-downs and key-ups of strikes in order of time, no key struck while it is down."""
    by_key: dict[int, list[_Strike]] = {}
    for strike in strikes:
        same_key = by_key.setdefault(strike.note.pitch.midi, [])
        goes_on = strike.tied and same_key and same_key[-1].end >= strike.start - NO_TIME
        if same_key and (goes_on or strike.start <= same_key[-1].start + NO_TIME):
            same_key[-1] = replace(same_key[-1], end=max(same_key[-1].end, strike.end))
        else:
            same_key.append(strike)
    for midi, same_key in by_key.items():
        for index, strike in enumerate(same_key):
            end = strike.end
            if index + 1 < len(same_key) and end > (following := same_key[index + 1].start) - KEY_RISE_SECONDS:
                end = min(end, following - min(KEY_RISE_SECONDS, (following - strike.start) / 4))
            down = TimedEvent(
                strike.start, "on", midi, strike.velocity, strike.note.hand, strike.part, strike.note.onset
            )
            yield down
            yield replace(down, seconds=end, kind="off", velocity=0)
