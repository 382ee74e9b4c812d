"""The sound that the program makes itself: the sound card, the built-in piano, and a SoundFont in its place."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from app.engine.card_keeper import CardKeeper
from app.engine.hearing import PianoHearing
from app.engine.key_maker import KeyMaker
from app.engine.own_keys import OwnKeys
from app.engine.protocol import ChooseOutputs, ChooseSoundFont, Command, Latency, Play
from app.engine.sound_card import Fill, SoundCard
from app.engine.sound_font import SoundFont
from core.performance.output import PIANO
from core.song.errors import DeviceError
from core.song.wording import say
from core.sound.bank import SampleBank
from core.sound.instrument import Instrument
from core.sound.piano import Piano


class OwnSound:
    """Looks after everything between an event and the sound card.

    Attributes:
        cards: the sound card.
        keys: makes the piano's keys ready.
        piano: what sounds, and its clock.
        single: single keys on it.

    Args:
        bank: the piano's samples.
        machine: the machine's sound card.
        fill: makes the card's frames.
        clock: seconds that never run back.
        lock: held by whoever changes what sounds.
        say: called with a sentence for the teacher.
    """

    def __init__(
        self,
        bank: SampleBank,
        machine: SoundCard,
        fill: Fill,
        clock: Callable[[], float],
        lock: threading.RLock,
        say: Callable[[str], None],
    ) -> None:
        self._clock = clock
        self._lock = lock
        self._say = say
        self._built_in = Piano(bank)
        self.cards = CardKeeper(machine, fill, self._card_opened, clock)
        self.keys = KeyMaker(bank, say)
        self.piano = PianoHearing(self._built_in)
        self.single = OwnKeys(self.piano, self.keys, lock)

    def prepare(self, command: Command, *, with_piano: bool) -> None:
        """Do what a command needs of the card, or of a file, without the lock, since both take their time.

        Raises DeviceError where the card does not answer in the way that is wanted.
        """
        match command:
            case ChooseOutputs():
                if PIANO in command.names:
                    self._take_up_card()
            case ChooseSoundFont():
                self._choose_sound_font(command.path)
            case Latency():
                self.cards.be_quick(command.low)
            case Play() if with_piano:
                with suppress(DeviceError):
                    self.cards.take_up()
            case _:
                pass

    def _take_up_card(self) -> None:
        """Its absence is said and stops nothing: other outputs may have been chosen with it."""
        try:
            self.cards.take_up()
        except DeviceError as error:
            self._say(str(error))

    def _choose_sound_font(self, path: str) -> None:
        instrument: Instrument = self._built_in
        if path:
            try:
                instrument = SoundFont(Path(path), self._built_in)
            except DeviceError as error:
                self._say(say("{error} The built-in piano is heard until then.", error=error))
        with self._lock:
            self.piano.silence()
            self.piano.piano = instrument
            self.keys.needed = instrument is self._built_in

    def _card_opened(self) -> None:
        """The card's frames are the clock from now on; what an earlier card left half played is gone."""
        with self._lock:
            self.piano.silence()
            self.piano.begin(self._clock())
