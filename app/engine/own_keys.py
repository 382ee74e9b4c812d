"""Single keys on the built-in piano: those of the keyboard that is listened to, and those that are tried out."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from typing import Final

from app.engine.hearing import PianoHearing
from app.engine.key_maker import KeyMaker
from app.engine.midi_system import CONTROL, NOTE_OFF, NOTE_ON, SUSTAIN

PEDAL_DOWN: Final = 64
"""From this value on a switch of MIDI 1.0 is on."""


class OwnKeys:
    """Sounds single keys at once; one that has to be made first sounds when it is ready, if it is still held.

    Args:
        piano: the piano.
        keys: makes its keys ready.
        lock: held by whoever changes what sounds.
    """

    def __init__(self, piano: PianoHearing, keys: KeyMaker, lock: threading.RLock) -> None:
        self._piano = piano
        self._keys = keys
        self._lock = lock
        self._pressed: set[int] = set()

    def press(self, midi: int, velocity: int, *, on: bool) -> None:
        """Press a key, or let it go."""
        if on and not self._keys.has((midi,)):
            self._pressed.add(midi)
            self._keys.want((midi,), lambda: self._made(midi, velocity))
            return
        if not on:
            self._pressed.discard(midi)
        self._piano.press(midi, velocity, on=on)

    def sound(self, message: Sequence[int]) -> None:
        """Sound a message of a keyboard: its keys, except those that are not ready yet, and its sustain pedal."""
        pressed = key_of(message)
        if pressed is not None:
            midi, velocity = pressed
            if not velocity or self._keys.has((midi,)):
                self._piano.press(midi, velocity, on=velocity > 0)
            else:
                self._keys.want((midi,), lambda: None)
        elif message[0] & 0xF0 == CONTROL and message[1] == SUSTAIN:
            self._piano.piano.pedal(message[2] >= PEDAL_DOWN, self._piano.piano.frame)

    def forget(self) -> None:
        """Sound none of those that are being made."""
        self._pressed.clear()

    def _made(self, midi: int, velocity: int) -> None:
        with self._lock:
            if midi in self._pressed:
                self._pressed.discard(midi)
                self._piano.press(midi, velocity, on=True)


def key_of(message: Sequence[int]) -> tuple[int, int] | None:
    """The MIDI number and the velocity, 0 for a key let go, of a message about a key; None for another message."""
    kind = message[0] & 0xF0
    if kind not in (NOTE_ON, NOTE_OFF):
        return None
    return message[1], message[2] if kind == NOTE_ON else 0
