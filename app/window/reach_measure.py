"""The reach of a hand measured: the widest chord that is comfortable, played on the keyboard that is listened to."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from core.song.note import Hand


class ReachMeasure(QObject):
    """Listens for one chord; what was widest while its keys were down counts once all are let go."""

    changed = Signal()
    """It listens for another hand now, or no longer, or a wider chord lies under the fingers."""
    measured = Signal(object, int)
    """A hand, and the semitones that it reached."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._hand: Hand | None = None
        self._down: set[int] = set()
        self._widest = 0

    @property
    def hand(self) -> Hand | None:
        """The hand that is being measured, or None."""
        return self._hand

    @property
    def widest(self) -> int:
        """Semitones between the outer keys of the widest chord so far; 0 before there are two."""
        return self._widest

    def listen(self, hand: Hand) -> None:
        """Begin to listen for a hand."""
        self._take(hand)

    def stop(self) -> None:
        """Listen no longer; nothing is measured."""
        if self._hand is not None:
            self._take(None)

    def key(self, midi: int, velocity: int, on: bool, seconds: float) -> None:  # noqa: ARG002 - the engine's report
        """A key went down or up; one that was down before this began to listen does not count."""
        if self._hand is None:
            return
        if on:
            self._down.add(midi)
            width = max(self._down) - min(self._down)
            if width > self._widest:
                self._widest = width
                self.changed.emit()
        elif midi in self._down:
            self._down.remove(midi)
            if not self._down and self._widest:
                hand, widest = self._hand, self._widest
                self._take(None)
                self.measured.emit(hand, widest)

    def _take(self, hand: Hand | None) -> None:
        self._hand = hand
        self._down.clear()
        self._widest = 0
        self.changed.emit()
