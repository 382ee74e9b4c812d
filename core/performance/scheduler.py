"""The state of playing: given the time, what is due. It has no clock of its own.

Times called *now* are seconds of any clock that the caller keeps to; *seconds* are those of the schedule. A
clock that runs back is taken as standing still. A clock that jumps ahead by more than `LONGEST_GAP` while
something plays means that the machine slept: playing stops where it was and everything is silenced.

What it guarantees, whatever it is told and in whatever order:

- every ``on`` it hands out is followed by an ``off`` of the same key on the same channel, and a pedal that went down
  comes up;
- after `stop`, `seek`, `load`, the end of a loop or of the schedule, the keys that were down, and the pedal, are handed
  out as coming up before anything else, and a key is never struck while it is down;
- the position runs back only at `seek`, `load` and `exchange`, at a loop's end, or when playing begins again
  after the end.
"""

from __future__ import annotations

from bisect import bisect_left
from typing import Final

from msgspec import Struct

from core.performance.schedule import Kind, Schedule, TimedEvent
from core.song.errors import DomainError
from core.song.wording import say

LONGEST_GAP: Final = 2.0
"""Seconds between two looks at the clock after which the machine is taken to have slept."""
SHORTEST_LOOP: Final = 0.05
"""Seconds."""
PEDAL: Final = -1
"""Stands for the pedal where keys are numbered."""
NEARLY: Final = 1e-6
"""Seconds by which an event may be taken early, so that rounding never leaves one to be asked for again."""


class Due(Struct, frozen=True):
    """An event whose time has come.

    Attributes:
        at: when it should be heard, in the caller's clock; never before an earlier one's.
        event: what happens.
    """

    at: float
    event: TimedEvent


class Scheduler:
    """A schedule being played."""

    def __init__(self, schedule: Schedule | None = None) -> None:
        self._schedule = schedule if schedule is not None else Schedule()
        self._next = 0
        self._playing = False
        self._ended = False
        self._now = float("-inf")
        self._heard_until = float("-inf")
        self._anchor_now = 0.0
        self._anchor = 0.0
        self._factor = 1.0
        self._loop: tuple[float, float] | None = None
        self._down: dict[tuple[int, int], TimedEvent] = {}
        self._waiting: list[Due] = []
        self._hold: float | None = None

    @property
    def schedule(self) -> Schedule:
        """What is loaded."""
        return self._schedule

    @property
    def playing(self) -> bool:
        """Whether time passes."""
        return self._playing

    @property
    def ended(self) -> bool:
        """Whether playing stopped because the schedule had come to its end."""
        return self._ended

    @property
    def speed(self) -> float:
        """How fast the schedule is played; 1.0 as it was made."""
        return self._factor

    @property
    def keys_down(self) -> frozenset[tuple[int, int]]:
        """(channel, MIDI number) of every key handed out as ``on`` and not yet as ``off``."""
        return frozenset(key for key in self._down if key[1] != PEDAL)

    @property
    def pedal_is_down(self) -> bool:
        """Whether the sustain pedal was handed out as going down and not yet as coming up."""
        return any(key[1] == PEDAL for key in self._down)

    @property
    def next_deadline(self) -> float | None:
        """When something is due next, in the caller's clock; None where nothing is until another command."""
        if not self._playing:
            return None
        seconds = max(self._turn, self._anchor)
        if self._hold is not None and self._hold <= seconds:
            if self._anchor >= self._hold:
                return None
            seconds = self._hold
        if self._next < len(self._schedule.events):
            seconds = min(seconds, self._schedule.events[self._next].seconds)
        return self._when(seconds)

    @property
    def loop_start(self) -> float:
        """Seconds to which it goes back at the loop's end; 0 where there is no loop."""
        return self._loop[0] if self._loop is not None else 0.0

    @property
    def loop_end(self) -> float | None:
        """Where what is played begins again; None where it does not."""
        return self._loop[1] if self._loop is not None else None

    def load(self, schedule: Schedule) -> None:
        """Take another schedule: stop, silence, go to its start, forget the loop."""
        self._silence(self._now)
        self._playing = self._ended = False
        self._schedule = schedule
        self._loop = self._hold = None
        self._go_to(0.0)

    def exchange(self, now: float, schedule: Schedule, seconds: float) -> None:
        """Take another schedule and go on in it at `seconds`, without a break.

        Keys that the new schedule holds down there stay down; the others are silenced.
        """
        now = self._look(now)
        held = _held_at(schedule, seconds)
        self._silence(now, frozenset(held))
        self._schedule, self._ended = schedule, False
        self._anchor_now, self._anchor = now, min(max(0.0, seconds), schedule.length)
        self._next = bisect_left(schedule.events, self._anchor, key=lambda event: event.seconds)
        if self._loop is not None and self._loop[1] > schedule.length:
            self._loop = None

    def play(self, now: float) -> None:
        """Let time pass; from the end, begin again."""
        now = self._look(now)
        if self._playing:
            return
        if self._anchor >= self._schedule.length:
            self._go_to(0.0)
        self._playing, self._ended = True, False
        self._anchor_now = now

    def stop(self, now: float) -> None:
        """Stop where it is; what sounds is silenced."""
        now = self._look(now)
        self._anchor = self.position(now)
        self._anchor_now = now
        self._playing = False
        self._next = self._index_at(self._anchor)
        self._silence(now)

    def seek(self, now: float, seconds: float) -> None:
        """Go to a moment; what sounds is silenced; playing goes on if it was playing."""
        now = self._look(now)
        self._silence(now)
        self._ended = False
        self._go_to(min(max(0.0, seconds), self._schedule.length))
        self._anchor_now = now

    def loop(self, start: float | None = None, end: float | None = None) -> None:
        """Play from `start` to `end` again and again; without arguments, no longer.

        Where playing is already past the end, it goes to the start at once. Raises DomainError for a loop
        outside the schedule or shorter than `SHORTEST_LOOP`.
        """
        self._anchor = self._running_position(self._now)
        self._anchor_now = max(self._anchor_now, self._now)
        if start is None or end is None:
            self._loop = None
            return
        end = min(end, self._schedule.length)
        if start < 0 or end - start < SHORTEST_LOOP:
            raise DomainError(
                say("a loop"),
                (start, end),
                say("inside what is played and at least {shortest} seconds", shortest=SHORTEST_LOOP),
            )
        self._loop = (start, end)

    def hold(self, now: float, seconds: float | None) -> None:
        """Let nothing at or after a moment sound, and stand still there, until the moment is moved on or taken away.

        A moment that is past counts as the present one. `load` takes it away.
        """
        now = self._look(now)
        self._anchor = self._running_position(now)
        self._anchor_now = now
        self._hold = seconds

    def set_speed(self, now: float, factor: float) -> None:
        """Play faster or slower from here on, without a jump; raises DomainError outside 0.1 … 4."""
        if not 0.1 <= factor <= 4.0:
            raise DomainError(say("the speed"), factor, say("from 0.1 to 4 times as made"))
        now = self._look(now)
        self._anchor = self._running_position(now)
        self._anchor_now = now
        self._factor = factor

    def position(self, now: float) -> float:
        """Seconds into the schedule."""
        seconds = self._running_position(self._look(now))
        return max(self._anchor, min(seconds, self._turn))

    def due(self, now: float) -> tuple[tuple[Due, ...], float | None]:
        """What has come due, in order, and when to ask again at the latest (None: not before another command)."""
        now = self._look(now)
        while self._playing:
            # Where a loop was set behind what is playing, it turns at once.
            turn = max(self._turn, self._anchor)
            target = self._running_position(now) + NEARLY
            self._hand_out(min(target, turn), turn)
            if target < turn:
                break
            turned_at = max(self._anchor_now, self._when(turn))
            self._silence(turned_at)
            if self._loop is None:
                self._playing, self._ended = False, True
                self._anchor = self._schedule.length
                break
            self._go_to(self._loop[0])
            self._anchor_now = turned_at
        handed_out, self._waiting = tuple(self._waiting), []
        return handed_out, self.next_deadline

    @property
    def _turn(self) -> float:
        """Seconds at which it goes back to the loop's start, or ends."""
        return self._loop[1] if self._loop is not None else self._schedule.length

    def _hand_out(self, until: float, turn: float) -> None:
        """Take out the events up to a moment; at the turn itself only keys coming up are taken."""
        events = self._schedule.events
        while self._next < len(events) and events[self._next].seconds <= until:
            event = events[self._next]
            if event.seconds >= turn and not _lets_go(event):
                break
            if self._hold is not None and event.seconds > self._hold - NEARLY:
                break
            self._next += 1
            self._emit(self._when(event.seconds), event)

    def _emit(self, at: float, event: TimedEvent) -> None:
        key = _key(event)
        if _lets_go(event):
            if self._down.pop(key, None) is None:
                return
        elif event.kind != "click":
            if key in self._down:
                self._put(at, _release(self._down[key]))
            self._down[key] = event
        self._put(at, event)

    def _put(self, at: float, event: TimedEvent) -> None:
        self._heard_until = max(self._heard_until, at)
        self._waiting.append(Due(self._heard_until, event))

    def _silence(self, at: float, keep: frozenset[tuple[int, int]] = frozenset()) -> None:
        for key in [key for key in self._down if key not in keep]:
            self._put(at, _release(self._down.pop(key)))

    def _look(self, now: float) -> float:
        """Take notice of the clock: never back, and a long gap stops playing where it was."""
        before, self._now = self._now, max(now, self._now)
        if self._playing and now - before > LONGEST_GAP:
            self._anchor = max(self._anchor, min(self._running_position(before), self._turn))
            self._anchor_now = now
            self._playing = False
            self._silence(now)
        return self._now

    def _running_position(self, now: float) -> float:
        if not self._playing:
            return self._anchor
        seconds = self._anchor + max(0.0, now - self._anchor_now) * self._factor
        return seconds if self._hold is None else min(seconds, max(self._hold, self._anchor))

    def _when(self, seconds: float) -> float:
        return self._anchor_now + (seconds - self._anchor) / self._factor

    def _go_to(self, seconds: float) -> None:
        self._anchor = seconds
        self._next = self._index_at(seconds)

    def _index_at(self, seconds: float) -> int:
        return bisect_left(self._schedule.events, seconds, key=lambda event: event.seconds)


def _key(event: TimedEvent) -> tuple[int, int]:
    """What goes down or up with an event: a key of a channel, or its pedal."""
    return event.channel, PEDAL if event.kind == "pedal" else event.midi


def _lets_go(event: TimedEvent) -> bool:
    """Whether a key or the pedal comes up."""
    return event.kind == "off" or (event.kind == "pedal" and not event.velocity)


def _release(event: TimedEvent) -> TimedEvent:
    kind: Kind = "pedal" if event.kind == "pedal" else "off"
    return TimedEvent(event.seconds, kind, event.midi, 0, event.hand, event.part, event.tick, event.channel)


def _held_at(schedule: Schedule, seconds: float) -> set[tuple[int, int]]:
    """Keys, and the pedal, that a schedule holds down at a moment."""
    held: set[tuple[int, int]] = set()
    for event in schedule.events:
        if event.seconds >= seconds:
            break
        if _lets_go(event):
            held.discard(_key(event))
        elif event.kind != "click":
            held.add(_key(event))
    return held
