"""Looks after the sound card: takes it up, notices when it has gone, and tries now and then to have it back."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Final

from app.engine.sound_card import Fill, OpenCard, SoundCard
from core.song.errors import DeviceError

LOOK_SECONDS: Final = 0.25
"""Between two looks whether the sound card still answers."""
RETRY_SECONDS: Final = 5.0
"""Between two tries to take it up again: each costs something."""
MOST_TRIES: Final = 12


class CardKeeper:
    """Keeps at most one open sound card.

    Opening waits for the card's own thread, and that thread waits for frames, so that whoever opens must not hold
    what making frames needs; closing, likewise, is left to a thread of its own where the caller cannot wait.

    Args:
        machine: how a card is opened.
        fill: makes its frames.
        opened: called when a card has been opened, before it counts as the open one.
        clock: seconds that never run back.
    """

    def __init__(self, machine: SoundCard, fill: Fill, opened: Callable[[], None], clock: Callable[[], float]) -> None:
        self._machine = machine
        self._fill = fill
        self._opened = opened
        self._clock = clock
        self._opening = threading.Lock()
        self._tries = MOST_TRIES
        self._tried = float("-inf")
        self._quick = False
        self.card: OpenCard | None = None

    @property
    def wants_a_look(self) -> bool:
        """Whether it is worth looking again after `LOOK_SECONDS`."""
        return self.card is not None or self._tries < MOST_TRIES

    @property
    def queued_seconds(self) -> float:
        """How long after it was asked for sound is heard; 0 without a card."""
        return self.card.queued_seconds if self.card is not None else 0.0

    def take_up(self) -> None:
        """Open the card, unless it is open; raises DeviceError where none answers."""
        with self._opening:
            if self.card is None:
                self._tried = self._clock()
                card = self._machine.open(self._fill, quick=self._quick)
                self._opened()
                self.card, self._tries = card, MOST_TRIES

    def be_quick(self, quick: bool) -> None:
        """Queue little sound or much; the open card is opened anew. Raises DeviceError where it does not answer."""
        if quick == self._quick:
            return
        self._quick = quick
        card, self.card = self.card, None
        if card is not None:
            card.close()
            self.take_up()

    def try_again(self) -> None:
        """Open the card if it is time for another try."""
        if self.card is None and self._tries < MOST_TRIES and self._clock() - self._tried >= RETRY_SECONDS:
            self._tries += 1
            try:
                self.take_up()
            except DeviceError:
                return

    def has_gone(self) -> bool:
        """Whether the open card answers no more; it is let go, and tried again from now on."""
        card = self.card
        if card is None or card.answers:
            return False
        self.card, self._tries, self._tried = None, 0, self._clock()
        threading.Thread(target=card.close, name="closing sound card", daemon=True).start()
        return True
