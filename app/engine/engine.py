"""The engine: commands in, notes out at their time, reports back.

Three threads meet here, each taking the one lock: the one that brings commands, the one that keeps time (it calls
`Engine.tick`, which says when to call again), and the sound card's, which asks for frames. While the built-in
piano is heard the sound card's frames are the clock, so that every note is placed to the frame; otherwise it is
the machine's.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Final, assert_never

import numpy as np
from numpy.typing import NDArray

from app.engine.card_keeper import LOOK_SECONDS, CardKeeper
from app.engine.companion import Companion
from app.engine.hearing import LINGER_SECONDS, Hearing, Nowhere, PianoHearing, PortHearing, quieten
from app.engine.key_maker import KeyMaker
from app.engine.listening import Listening
from app.engine.midi_system import CONTROL, NOTE_OFF, NOTE_ON, SUSTAIN, MidiSystem, is_there
from app.engine.priority import go_first
from app.engine.protocol import (
    NOTHING,
    PIANO,
    ChooseInput,
    ChooseOutput,
    Command,
    Ended,
    Exchange,
    Expect,
    KeyPlayed,
    Latency,
    Load,
    Loop,
    Play,
    Ports,
    Position,
    PressKey,
    Quit,
    Ready,
    Record,
    Report,
    Seek,
    Silence,
    Speed,
    Stop,
    Trouble,
    received_schedule,
)
from app.engine.sound_card import SoundCard
from core.performance.scheduler import Scheduler
from core.song.errors import DeviceError, DomainError
from core.sound.bank import HIGHEST_KEY, LOWEST_KEY, SampleBank
from core.sound.piano import Piano

POSITION_SECONDS: Final = 1 / 30
"""Between two reports of the position."""
FADE_SECONDS: Final = 0.2
"""What sounds when the engine ends may fade so long instead of breaking off with a click."""
KEYS_AHEAD_SECONDS: Final = 2.0
"""Playing begins when the piano's keys for so long are ready; the others are made meanwhile."""

SLEPT: Final = "The machine slept while something played, so playing has stopped; play it again."

PEDAL_DOWN: Final = 64
"""From this value on a switch of MIDI 1.0 is on."""

Clock = Callable[[], float]


class Engine:
    """Plays what it is told to.

    Args:
        report: called with each report, from any thread; must not wait.
        midi: the machine's MIDI ports.
        card: the machine's sound card.
        bank: the piano's samples.
        clock: seconds that never run back.
        rest: lets seconds pass.
    """

    def __init__(
        self,
        report: Callable[[Report], None],
        midi: MidiSystem,
        card: SoundCard,
        bank: SampleBank,
        clock: Clock = time.perf_counter,
        rest: Callable[[float], None] = time.sleep,
    ) -> None:
        self._report = report
        self._midi = midi
        self._clock = clock
        self._rest = rest
        self._lock = threading.RLock()
        self._wake = threading.Condition(self._lock)
        self._woken = False
        self._cards = CardKeeper(card, self.fill, self._card_opened, clock)
        self._scheduler = Scheduler()
        self._companion = Companion(self._scheduler, report)
        self._generation = 0
        self._piano = PianoHearing(Piano(bank))
        self._keys = KeyMaker(bank, lambda sentence: self._report(Trouble(sentence)))
        self._hearing: Hearing = self._piano
        self._started_from = 0.0
        self._listening = Listening(midi, self._heard, lambda sentence: self._report(Trouble(sentence)))
        self._output = PIANO
        self._lost_output = ""
        self._local_off = False
        self._ports: tuple[tuple[str, ...], tuple[str, ...]] = ((), ())
        self._waiting_for_keys = False
        self._pressed: set[int] = set()
        self._reported = float("-inf")
        self._over = False

    def start(self) -> None:
        """Take up the sound card and say what there is."""
        missing = [self._midi.missing] if self._midi.missing else []
        try:
            self._cards.take_up()
        except DeviceError as error:
            missing.insert(0, str(error))
        sound = self._cards.card is not None
        self._ports = (self._midi.outputs(), self._midi.inputs())
        self._report(Ready(*self._ports, sound, " ".join(missing)))

    def look_for_ports(self) -> None:
        """Notice ports that have come or gone: what was chosen is let go with its port and taken up again with it."""
        if self._scheduler.playing and self._midi.listing_disturbs:
            return
        try:
            ports = (self._midi.outputs(), self._midi.inputs())
        except DeviceError:
            return
        with self._wake:
            if ports == self._ports or self._over:
                return
            self._ports = ports
            self._report(Ports(*ports))
            try:
                self._match_output(ports[0])
                self._listening.match(ports[1])
            except DeviceError as error:
                self._report(Trouble(str(error)))
            self._woken = True
            self._wake.notify_all()

    def _match_output(self, names: tuple[str, ...]) -> None:
        if isinstance(self._hearing, PortHearing) and not is_there(self._output, names):
            self._lost_output = self._output
            self._report(
                Trouble(f"The MIDI output “{self._output}” has gone; playing goes on unheard until it is back.")
            )
            self._change_hearing(Nowhere())
        elif self._lost_output and is_there(self._lost_output, names):
            name = self._lost_output
            self._choose_output(name)
            self._report(Trouble(f"The MIDI output “{name}” is back."))

    def handle(self, command: Command) -> None:
        """Do what a command says; what cannot be done is reported in a sentence."""
        try:
            if isinstance(command, ChooseOutput) and command.name == PIANO:
                self._cards.take_up()
            elif isinstance(command, Latency):
                self._cards.be_quick(command.low)
            elif isinstance(command, Play) and self._hearing is self._piano:
                with suppress(DeviceError):
                    self._cards.take_up()
            with self._wake:
                if not self._card_drives:  # a machine that slept is noticed before anything else is done
                    self._advance(self._clock())
                self._obey(command)
        except (DeviceError, DomainError) as error:
            self._report(Trouble(str(error)))
        with self._wake:
            self._woken = True
            self._wake.notify_all()

    def tick(self) -> float | None:
        """Send what has come due, report, look after the devices; seconds until it is to be called again."""
        with self._lock:
            if not self._card_drives:
                self._advance(self._clock())
            if self._cards.has_gone():
                self._report(Trouble("The sound card does not answer any more; playing goes on unheard until it does."))
        self._cards.try_again()
        with self._lock:
            return self._seconds_to_wait()

    def keep_time(self) -> None:
        """Tick until the engine is closed, before other threads where the system allows it."""
        go_first()
        while True:
            wait = self.tick()
            with self._wake:
                if self._over:
                    return
                if not self._woken:
                    self._wake.wait(wait)
                self._woken = False

    def close(self) -> None:
        """Let everything go, then the devices."""
        with self._wake:
            if self._over:
                return
            self._stop()
            self._over = self._woken = True
            self._wake.notify_all()
            card, self._cards.card = self._cards.card, None
            self._hearing.close()
        self._keys.close()
        self._listening.close()
        self._midi.close()
        if card is not None:
            if self._piano.piano.busy:
                self._rest(FADE_SECONDS)
            card.close()

    def fill(self, frames: int) -> NDArray[np.float32]:
        """The next frames for the sound card, with everything in them that comes due."""
        with self._lock:
            piano = self._piano.piano
            if self._card_drives:
                try:
                    self._advance(self._now() + frames / piano.sample_rate)
                except Exception as error:  # whatever it is, the card must go on being served
                    self._scheduler.stop(self._now())
                    self._scheduler.due(self._now())
                    self._hearing.silence()
                    self._report_position()
                    self._report(Trouble(f"Playing stopped because of a fault in the program: {error}."))
                    self._report(Ended(self._generation))
            return piano.render(frames)

    def _obey(self, command: Command) -> None:
        match command:
            case Load():
                self._companion.forget()
                self._flush_after(lambda: self._scheduler.load(received_schedule(command)))
                self._generation, self._waiting_for_keys = command.generation, False
                self._hearing.silence()
                self._make_keys_later(0.0)
                self._report_position()
            case Exchange():
                self._exchange(command)
            case Play():
                self._play()
            case Stop():
                self._stop()
                self._report_position()
            case Seek():
                self._flush_after(lambda: self._scheduler.seek(self._now(), command.seconds))
                self._jumped()
            case Loop():
                self._scheduler.loop(command.start, command.end)
            case Speed():
                self._scheduler.set_speed(self._now(), command.factor)
            case PressKey():
                self._press(command)
            case Silence():
                self._silence(command.ports)
            case ChooseOutput():
                self._local_off = command.local_off
                self._choose_output(command.name)
            case ChooseInput():
                self._listening.choose(command.name, heard=command.heard)
                if command.heard:
                    self._keys.want_later(range(LOWEST_KEY, HIGHEST_KEY + 1))
            case Expect():
                self._companion.expect(command, self._now())
            case Latency():
                pass  # it was for the sound card alone
            case Record():
                self._listening.record(command.folder)
            case Quit():
                self._stop()
            case _:
                assert_never(command)

    def _play(self) -> None:
        first = self._keys_from(self._scheduler.position(self._now()), KEYS_AHEAD_SECONDS)
        if self._card_drives and not self._keys.has(first):
            self._waiting_for_keys = True
            self._keys.want(first, self._keys_made)
            return
        self._begin()

    def _keys_made(self) -> None:
        with self._wake:
            if self._waiting_for_keys:
                self._waiting_for_keys = False
                self._begin()
                self._woken = True
                self._wake.notify_all()

    def _begin(self) -> None:
        self._scheduler.play(self._now())
        self._jumped()

    def _jumped(self) -> None:
        """The position is a new one: report it, and nothing before it from now on."""
        self._companion.start_at(self._now())
        self._started_from = self._scheduler.position(self._now())
        self._report_position()

    def _stop(self) -> None:
        self._waiting_for_keys = False
        self._flush_after(lambda: self._scheduler.stop(self._now()))
        self._hearing.silence()

    def _exchange(self, command: Exchange) -> None:
        schedule = received_schedule(command)
        self._companion.forget()
        self._generation = command.generation
        self._flush_after(lambda: self._scheduler.exchange(self._now(), schedule, command.seconds))
        self._make_keys_later(command.seconds)
        self._jumped()

    def _press(self, command: PressKey) -> None:
        if self._hearing is self._piano and self._cards.card is None:
            return
        if command.on and self._card_drives and not self._keys.has((command.midi,)):
            self._pressed.add(command.midi)
            self._keys.want((command.midi,), lambda: self._press_made(command))
            return
        if not command.on:
            self._pressed.discard(command.midi)
        self._hearing.press(command.midi, command.velocity, on=command.on)

    def _press_made(self, command: PressKey) -> None:
        """Strike a key that had to be made first, if it is still held."""
        with self._lock:
            if command.midi in self._pressed and self._card_drives:
                self._pressed.discard(command.midi)
                self._hearing.press(command.midi, command.velocity, on=True)

    def _silence(self, ports: Sequence[str]) -> None:
        self._pressed.clear()
        self._stop()
        self._report_position()
        for name in ports:
            with suppress(DeviceError):
                port = self._midi.open_output(name)
                quieten(port)
                self._rest(LINGER_SECONDS)
                port.close()

    def _choose_output(self, name: str) -> None:
        self._lost_output = "" if name in (PIANO, NOTHING) else name
        hearing: Hearing
        if name == PIANO:
            hearing = self._piano
        elif name == NOTHING:
            hearing = Nowhere()
        else:
            hearing = PortHearing(self._midi.open_output(name), self._rest, local_off=self._local_off)
        self._change_hearing(hearing)
        self._output, self._lost_output = name, ""

    def _change_hearing(self, hearing: Hearing) -> None:
        """Let go of everything in the old place; what is played goes on in the new one."""
        now = self._now()
        self._flush_after(lambda: self._scheduler.seek(now, self._scheduler.position(now)))
        if hearing is not self._hearing:
            self._hearing.close()
        self._hearing = hearing
        self._make_keys_later(self._scheduler.position(now))

    def _heard(self, message: Sequence[int], heard: bool) -> None:
        """A message of the keyboard that is listened to; called in the library's thread."""
        kind = message[0] & 0xF0
        if kind in (NOTE_ON, NOTE_OFF):
            on = kind == NOTE_ON and message[2] > 0
            self._report(KeyPlayed(message[1], message[2] if on else 0, on, self._clock()))
            if on:
                with self._wake:
                    self._companion.press(message[1], self._now(), self._heard_seconds())
                    self._woken = True
                    self._wake.notify_all()
            if heard:
                self._sound_key(message[1], message[2] if on else 0)
        elif heard and kind == CONTROL and message[1] == SUSTAIN:
            with self._lock:
                if self._cards.card is not None:
                    self._piano.piano.pedal(message[2] >= PEDAL_DOWN, self._piano.piano.frame)

    def _sound_key(self, midi: int, velocity: int) -> None:
        """A key of the keyboard on the built-in piano, whatever the schedule is heard through."""
        with self._lock:
            if self._cards.card is None:
                return
            if not velocity or self._keys.has((midi,)):
                self._piano.press(midi, velocity, on=velocity > 0)
                return
        self._keys.want((midi,), lambda: None)

    @property
    def _card_drives(self) -> bool:
        return self._cards.card is not None and self._hearing is self._piano

    def _now(self) -> float:
        if self._card_drives:
            return self._piano.zero + self._piano.piano.frame / self._piano.piano.sample_rate
        return self._clock()

    def _make_keys_later(self, seconds: float) -> None:
        """Have the piano's keys made in the order in which they are struck, if it is heard at all."""
        self._keys.want_later(self._keys_from(seconds) if self._card_drives else ())

    def _keys_from(self, seconds: float, ahead: float = float("inf")) -> tuple[int, ...]:
        """The keys that are struck from a moment on, in order; then, without a limit ahead, those before it."""
        strikes = [event for event in self._scheduler.schedule.events if event.kind == "on"]
        keys = [event.midi for event in strikes if seconds <= event.seconds < seconds + ahead]
        if ahead == float("inf"):
            keys += [event.midi for event in strikes]
        return tuple(dict.fromkeys(keys))

    def _advance(self, until: float) -> None:
        was_playing = self._scheduler.playing
        due, _ = self._scheduler.due(until)
        try:
            if self._hearing is not self._piano or self._cards.card is not None:
                self._hearing.play(due)
        except DeviceError as error:
            self._report(Trouble(f"{error} Playing goes on unheard."))
            self._hearing.close()
            self._hearing, self._lost_output = Nowhere(), self._output
        if was_playing:
            self._companion.move(until, self._heard_seconds())
        if was_playing and not self._scheduler.playing:
            if not self._scheduler.ended:
                self._hearing.silence()
                self._report(Trouble(SLEPT))
            self._report(Ended(self._generation))
            self._report_position()

    def _flush_after(self, change: Callable[[], None]) -> None:
        """Make a change to what is played and send at once what it lets go."""
        change()
        self._advance(self._now())

    def _report_position(self) -> None:
        self._reported = self._clock()
        seconds = self._heard_seconds()
        self._report(Position(self._generation, seconds, self._scheduler.playing))

    def _heard_seconds(self) -> float:
        """The moment that is heard now: what was asked for is heard only when what is queued before it has been."""
        seconds = self._scheduler.position(self._now())
        if not self._card_drives or not self._scheduler.playing:
            return seconds
        first = self._scheduler.loop_start if seconds < self._started_from else self._started_from
        return max(first, seconds - self._cards.queued_seconds * self._scheduler.speed)

    def _seconds_to_wait(self) -> float | None:
        waits = []
        now = self._clock()
        if self._scheduler.playing:
            if now - self._reported >= POSITION_SECONDS:
                self._report_position()
            waits.append(self._reported + POSITION_SECONDS - now)
            if not self._card_drives:
                deadline = self._scheduler.next_deadline
                waits.append(deadline - now if deadline is not None else POSITION_SECONDS)
        if self._cards.wants_a_look:
            waits.append(LOOK_SECONDS)
        return max(0.0, min(waits)) if waits else None

    def _card_opened(self) -> None:
        """The card's frames are the clock from now on; what an earlier card left half played is gone."""
        with self._lock:
            piano = self._piano.piano
            piano.all_off()
            self._piano.zero = self._clock() - piano.frame / piano.sample_rate
