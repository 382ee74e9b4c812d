"""Somebody plays along: what became of each note, which one the music waits for, which keys are down.

A round begins when playing begins, when a loop begins again, and when somebody goes elsewhere in the song. What the
last round brought stays until then; where the song changes, what was said of the part that changed goes.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping
from typing import Final

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QObject, QTimer, Signal

from app.engine.protocol import KeyJudged
from core.drawing.keyboard import LitKey
from core.drawing.row_marks import bearer_at, bearer_of
from core.drawing.shapes import Subject
from core.performance.following import SAME_MOMENT, Meant, Verdict
from core.performance.schedule import Schedule, TimedEvent
from core.session.playing_told import PlayedNote, name_of_key, playing_told
from core.song.note import Hand
from core.song.song import Song
from core.teaching.naming import Names, Naming

TELLING_MILLISECONDS: Final = 250
"""How it goes is told anew at most so often: nobody reads faster."""
GONE_BACK: Final = 0.25
"""Seconds by which the position must go back for a loop to have begun again: more than it ever trembles."""
HIT: Final = frozenset({"right", "early", "late"})


class Asked(Struct, frozen=True):
    """A note that is to be played along.

    Attributes:
        seconds: its moment in what plays.
        midi: its key.
        hand: the hand that plays it.
        part: the part it is in.
        tick: its moment from the part's start.
        bearer: the bead or bar that stands for it, or None where none does.
        turn: how often its part has begun before; a part may be played several times.
        event: what the engine plays for it.
    """

    seconds: float
    midi: int
    hand: Hand
    part: int
    tick: int
    bearer: Subject | None
    turn: int
    event: TimedEvent


class Fate(Struct, frozen=True):
    """What became of a note, or a wrong key near it.

    Attributes:
        verdict: what became of it.
        asked: the note.
        midi: the key that was played or missed.
        late: seconds after its moment, negative before it.
    """

    verdict: Verdict
    asked: Asked
    midi: int
    late: float


class PlayingAlong(QObject):
    """Keeps what the engine says about whoever plays along.

    Args:
        song: gives the song that is shown.
        finger_of: the finger that plays an event, or None.
    """

    verdicts_changed = Signal(object)
    """Numbers of the parts in which something was said of a note, or is not said any more."""
    keys_changed = Signal()
    """Another key is down, or another one is wanted."""
    told_changed = Signal()
    """How it went is told otherwise."""

    def __init__(
        self, song: Callable[[], Song], finger_of: Callable[[TimedEvent], int | None], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._song = song
        self._finger_of = finger_of
        self._naming = Naming.LETTERS
        self._asked: dict[tuple[float, int], Asked] = {}
        self._in_order: list[Asked] = []
        self._moments: list[float] = []
        self._open: dict[tuple[float, int], Asked] = {}
        self._waits = False
        self._seconds = 0.0
        self._fates: dict[int, dict[Subject, tuple[Fate, ...]]] = {}
        self._down: dict[int, Asked | None] = {}
        self._told = ""
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(TELLING_MILLISECONDS)
        self._soon.timeout.connect(self._tell)

    @property
    def fates(self) -> tuple[Fate, ...]:
        """What was said in this round, or in the last one while none has begun."""
        return tuple(fate for part in self._fates.values() for fates in part.values() for fate in fates)

    def fates_in(self, part: int) -> Mapping[Subject, tuple[Fate, ...]]:
        """What was said in a part, by the bead or bar that stands for it; by the part where none does."""
        return self._fates.get(part, {})

    @property
    def told(self) -> str:
        """How this round went, or the last one while nobody has played in this; empty where nobody has."""
        return self._told

    @property
    def wanted(self) -> tuple[Asked, ...]:
        """The notes that the music waits for; none where it does not wait."""
        first = next(iter(self._open.values()), None) if self._waits else None
        if first is None:
            return ()
        return tuple(asked for asked in self._open.values() if asked.seconds - first.seconds <= SAME_MOMENT)

    def call_notes(self, naming: Naming) -> None:
        """Call notes by other names."""
        self._naming = naming
        self._tell()
        self.keys_changed.emit()

    def meant(self, schedule: Schedule, *, on_sheet: bool = True) -> tuple[Meant, ...]:
        """The notes of a schedule that somebody is to play along with, as the engine wants them; takes them up.

        Args:
            schedule: the hands that somebody plays.
            on_sheet: whether the parts that are played are those that are shown.
        """
        strikes = [event for event in schedule.events if event.kind == "on" and event.hand is not None]
        begun: dict[int, list[float]] = {}
        for seconds, part, tick in schedule.positions:
            if tick == 0:
                begun.setdefault(part, []).append(seconds)
        song = self._song()
        found = []
        for event in strikes:
            hand = event.hand or Hand.RIGHT
            turn = bisect_right(begun.get(event.part, []), event.seconds + SAME_MOMENT)
            bearer = _bearer(song, event, hand) if on_sheet and event.part <= len(song.parts) else None
            found.append(Asked(event.seconds, event.midi, hand, event.part, event.tick, bearer, turn, event))
        asked = sorted(found, key=lambda one: (one.seconds, one.midi))
        self._asked = {(one.seconds, one.midi): one for one in asked}
        self._in_order, self._moments = asked, [one.seconds for one in asked]
        return tuple(Meant(one.seconds, one.midi, one.hand) for one in asked)

    def begin(self, seconds: float, *, wait: bool) -> None:
        """A round begins at a moment of what plays."""
        self._tell()
        had, self._fates = frozenset(self._fates), {}
        self.go_on(seconds, wait=wait)
        if had:
            self.verdicts_changed.emit(had)

    def go_on(self, seconds: float, *, wait: bool) -> None:
        """What plays has been exchanged; what was said stays."""
        self._seconds, self._waits = seconds, wait
        self._open = {key: one for key, one in self._asked.items() if one.seconds >= seconds - SAME_MOMENT}
        self.keys_changed.emit()

    def go_to(self, seconds: float) -> None:
        """Playing goes on from another moment."""
        self.begin(seconds, wait=self._waits)

    def move_to(self, seconds: float) -> None:
        """Playing has come to a moment."""
        if seconds < self._seconds - GONE_BACK and self._asked:
            self.begin(seconds, wait=self._waits)
        self._seconds = seconds

    def stop(self) -> str:
        """Nothing plays any more; what was said stays. How this round went, empty where nobody has played in it."""
        self._tell()
        self._open, self._waits = {}, False
        self._down = dict.fromkeys(self._down)
        self.keys_changed.emit()
        return self.tell()

    def close(self) -> None:
        """Tell nothing any more."""
        self._soon.stop()

    def judge(self, report: KeyJudged) -> None:
        """Take what the engine says of a key or of a note."""
        if report.seconds is None:
            self._take_wrong(report)
            return
        key = (report.seconds, report.midi)
        asked = self._asked.get(key)
        if asked is None:  # it was said of what played before
            return
        if report.verdict != "apart":
            if key not in self._open:
                self.begin(report.seconds, wait=self._waits)
            self._open.pop(key, None)
        if report.verdict in HIT and report.midi in self._down:
            self._down[report.midi] = asked
        self._add(Fate(report.verdict, asked, report.midi, report.late))

    def press(self, midi: int, *, on: bool) -> None:
        """A key of the keyboard that is listened to goes down or comes up."""
        if on:
            self._down[midi] = None
        else:
            self._down.pop(midi, None)
        self.keys_changed.emit()

    def let_go(self) -> None:
        """No key is down any more: nobody listens to the keyboard, or it has gone."""
        if self._down:
            self._down = {}
            self.keys_changed.emit()

    def song_changed(self, before: Song, after: Song) -> None:
        """Keep what was said of parts that are as they were, wherever they are now."""
        places = {id(part): number for number, part in enumerate(after.parts, 1)}
        kept: dict[int, dict[Subject, tuple[Fate, ...]]] = {}
        for number, fates in self._fates.items():
            now = places.get(id(before.parts[number - 1])) if number <= len(before.parts) else None
            if now is not None:
                kept[now] = {
                    replace(subject, part=now): tuple(replace(fate, asked=_moved(fate.asked, now)) for fate in told)
                    for subject, told in fates.items()
                }
        if kept != self._fates:
            changed = frozenset(self._fates) | frozenset(kept)
            self._fates = kept
            self.verdicts_changed.emit(changed)

    def keys(self, lit: Mapping[int, LitKey]) -> dict[int, LitKey]:
        """Keys to light: those that are lit anyhow, over them what is wanted, over that what is down."""
        keys = dict(lit)
        for wanted in self.wanted:
            keys[wanted.midi] = LitKey(wanted.hand, self._finger_of(wanted.event), wanted=True)
        for midi, asked in self._down.items():
            if asked is None:
                keys[midi] = LitKey(None, letter=self._name(midi))
            else:
                keys[midi] = LitKey(asked.hand, self._finger_of(asked.event))
        return keys

    def _name(self, midi: int) -> str:
        """What a key is called in the song's key."""
        song = self._song()
        return Names.of_part(song, 1, self._naming).shown(name_of_key(song, 1, 0, midi))

    def _take_wrong(self, report: KeyJudged) -> None:
        near = self.wanted or self._nearest()
        if near:
            self._add(Fate("wrong", near[0], report.midi, 0.0))

    def _nearest(self) -> tuple[Asked, ...]:
        """The note whose moment is nearest to what is heard now."""
        if not self._asked:
            return ()
        after = bisect_left(self._moments, self._seconds)
        around = self._moments[max(0, after - 1) : after + 1]
        moment = min(around, key=lambda seconds: abs(seconds - self._seconds))
        return (self._in_order[bisect_left(self._moments, moment)],)

    def _add(self, fate: Fate) -> None:
        asked = fate.asked
        bearer = asked.bearer or Subject("part", asked.part)
        said = self._fates.setdefault(asked.part, {})
        same_turn = (one for one in said.get(bearer, ()) if one.asked.turn == asked.turn)  # else it is judged again
        said[bearer] = (*same_turn, fate)
        self.verdicts_changed.emit(frozenset({asked.part}))
        self.keys_changed.emit()
        if fate.verdict != "right" and not self._soon.isActive():
            self._soon.start()

    def tell(self) -> str:
        """How this round has gone so far; empty where nobody has played in it."""
        song = self._song()
        played = (
            PlayedNote(fate.asked.part, fate.asked.tick, fate.midi, fate.verdict, fate.asked.hand)
            for fate in self.fates
            if fate.asked.part <= len(song.parts)
        )
        return playing_told(song, tuple(played), Names.of_part(song, 1, self._naming))

    def _tell(self) -> None:
        self._soon.stop()
        told = self.tell()
        if told and told != self._told:
            self._told = told
            self.told_changed.emit()


def _bearer(song: Song, event: TimedEvent, hand: Hand) -> Subject | None:
    part = song.parts[event.part - 1]
    for index, note in enumerate(part.notes):
        if note.onset == event.tick and note.pitch.midi == event.midi and note.hand is hand:
            return bearer_of(part, index, event.part)
    return bearer_at(part, event.tick, hand, event.part)


def _moved(asked: Asked, part: int) -> Asked:
    """A note whose part has another number now."""
    if asked.part == part:
        return asked
    bearer = None if asked.bearer is None else replace(asked.bearer, part=part)
    return replace(asked, part=part, bearer=bearer)
