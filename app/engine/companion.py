"""The player who plays along: judged key by key, and waited for where that is wanted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from app.engine.protocol import Expect, KeyJudged
from core.performance.following import MATCHED_SECONDS, Follower, Judged, Meant
from core.performance.scheduler import Scheduler

AT_ONCE: Final = 0.001
"""Seconds before the moment at which music counts as standing there."""


class Companion:
    """Follows the keys of a player through what a scheduler plays.

    Args:
        scheduler: what plays.
        report: called with what became of each key and note.
    """

    def __init__(self, scheduler: Scheduler, report: Callable[[KeyJudged], None]) -> None:
        self._scheduler = scheduler
        self._report = report
        self._follower = Follower(())
        self._wait = False
        self._position = 0.0
        self._ahead: list[tuple[int, float]] = []

    def expect(self, command: Expect, now: float) -> None:
        """Take the notes that are to be played from now on."""
        self._follower = Follower(Meant(note.seconds, note.midi, note.hand) for note in command.notes)
        self._wait = command.wait
        self.start_at(now)

    def forget(self) -> None:
        """Expect nothing."""
        self._follower = Follower(())
        self._wait = False

    def start_at(self, now: float) -> None:
        """Playing has jumped: what lies before is not meant any more."""
        self._position = self._scheduler.position(now)
        self._ahead = []
        self._follower.start_at(self._position)
        self._wait_for_next(now)

    def move(self, now: float, heard: float) -> None:
        """Time has passed; `heard` is the moment that is heard now."""
        if not self._follower.meant:
            return
        position = self._scheduler.position(now)
        if position < self._position:
            self._begin_again(now)
        self._position = position
        if not self._wait:
            ended = self._scheduler.ended
            self._say(self._follower.end_at(float("inf")) if ended else self._follower.pass_by(heard))

    def press(self, midi: int, now: float, heard: float) -> None:
        """A key of the player goes down."""
        if not self._follower.meant or not self._scheduler.playing:
            return
        moment = self._follower.next_moment()
        waited = self._wait and moment is not None and self._scheduler.position(now) >= moment - AT_ONCE
        at = moment if waited and moment is not None else heard
        reach = MATCHED_SECONDS
        if self._wait and moment is not None:  # what the music goes to and will wait for may be played on the way
            reach = max(reach, moment - at + AT_ONCE)
        judged = self._follower.press(midi, at, waited=waited, reach=reach)
        ahead = self._before_loop(midi, heard) if judged[0].verdict == "wrong" else None
        if ahead is not None:
            self._ahead.append((midi, ahead))
            return
        self._say(judged)
        self._wait_for_next(now)

    def _before_loop(self, midi: int, heard: float) -> float | None:
        """The moment of a key that comes shortly before a loop begins again and is meant at its beginning."""
        end = self._scheduler.loop_end
        if end is None or not 0 <= end - heard <= MATCHED_SECONDS:
            return None
        moment = self._scheduler.loop_start - (end - heard)
        return moment if self._follower.means(midi, moment) else None

    def _begin_again(self, now: float) -> None:
        """A loop has begun again: what was not played is missed, what came shortly before is judged now."""
        if not self._wait and self._scheduler.loop_end is not None:
            self._say(self._follower.end_at(self._scheduler.loop_end))
        ahead = self._ahead
        self.start_at(now)
        for midi, moment in ahead:
            self._say(self._follower.press(midi, moment, waited=self._wait))
        self._wait_for_next(now)

    def _wait_for_next(self, now: float) -> None:
        self._scheduler.hold(now, self._follower.next_moment() if self._wait else None)

    def _say(self, judged: tuple[Judged, ...]) -> None:
        for one in judged:
            seconds = None if one.note is None else self._follower.meant[one.note].seconds
            self._report(KeyJudged(one.verdict, one.midi, seconds, one.late))
