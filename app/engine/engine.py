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
from typing import Final, assert_never

import numpy as np
from numpy.typing import NDArray

from app.engine.card_keeper import LOOK_SECONDS
from app.engine.companion import Companion
from app.engine.key_maker import keys_from
from app.engine.known_ports import KnownPorts
from app.engine.listening import Listening
from app.engine.midi_system import MidiSystem
from app.engine.outputs import Outputs
from app.engine.own_keys import key_of
from app.engine.own_sound import OwnSound
from app.engine.priority import go_first
from app.engine.protocol import (
    ChooseInput,
    ChooseOutputs,
    ChooseSoundFont,
    Command,
    Ended,
    Exchange,
    Expect,
    KeyPlayed,
    Latency,
    Load,
    Loop,
    Play,
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
from app.engine.whereabouts import POSITION_SECONDS, Whereabouts
from core.performance.output import Output
from core.performance.scheduler import Scheduler
from core.song.errors import DeviceError, DomainError
from core.song.wording import say, to_say
from core.sound.bank import HIGHEST_KEY, LOWEST_KEY, SampleBank

FADE_SECONDS: Final = 0.2
"""What sounds when the engine ends may fade so long instead of breaking off with a click."""
KEYS_AHEAD_SECONDS: Final = 2.0
"""Playing begins when the piano's keys for so long are ready; the others are made meanwhile."""

SLEPT: Final = to_say("The machine slept while something played, so playing has stopped; play it again.")

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
        self._own = OwnSound(bank, card, self.fill, clock, self._lock, self._say)
        self._cards, self._piano, self._keys = self._own.cards, self._own.piano, self._own.keys
        self._scheduler = Scheduler()
        self._where = Whereabouts(self._scheduler, report, self._now, self._late)
        self._companion = Companion(self._scheduler, report)
        self._generation = 0
        self._outputs = Outputs(midi, self._piano, rest, self._say)
        self._listening = Listening(midi, self._heard, self._say)
        self._ports = KnownPorts(midi, self._outputs, self._listening, report)
        self._waiting_for_keys = False
        self._over = False

    def start(self) -> None:
        """Take up the sound card and say what there is."""
        missing = [self._midi.missing] if self._midi.missing else []
        try:
            self._cards.take_up()
        except DeviceError as error:
            missing.insert(0, str(error))
        sound = self._cards.card is not None
        self._report(Ready(*self._ports.first(), sound, " ".join(missing)))

    def look_for_ports(self) -> None:
        """Notice ports that have come or gone: what was chosen is let go with its port and taken up again with it."""
        if self._scheduler.playing and self._midi.listing_disturbs:
            return
        try:
            found = self._ports.look()
        except DeviceError:
            return
        with self._wake:
            if not self._over and self._ports.match(found):
                self._wake_up()

    def handle(self, command: Command) -> None:
        """Do what a command says; what cannot be done is reported in a sentence."""
        try:
            self._own.prepare(command, with_piano=self._outputs.with_piano)
            with self._wake:
                if not self._card_drives:  # a machine that slept is noticed before anything else is done
                    self._advance(self._clock())
                self._obey(command)
        except (DeviceError, DomainError) as error:
            self._say(str(error))
        with self._wake:
            self._wake_up()

    def tick(self) -> float | None:
        """Send what has come due, report, look after the devices; seconds until it is to be called again."""
        with self._lock:
            if not self._card_drives:
                self._advance(self._clock())
            self._outputs.send_until(self._clock())
            if self._cards.has_gone():
                self._say(say("The sound card does not answer any more; playing goes on unheard until it does."))
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

    def _wake_up(self) -> None:
        """Have the thread that keeps time look again at once; the lock is held."""
        self._woken = True
        self._wake.notify_all()

    def close(self) -> None:
        """Let everything go, then the devices."""
        with self._wake:
            if self._over:
                return
            self._stop()
            self._over = self._woken = True
            self._wake.notify_all()
            card, self._cards.card = self._cards.card, None
            self._outputs.close()
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
                self._piano.asked(self._clock())
                try:
                    self._advance(self._now() + frames / piano.sample_rate)
                except Exception as error:  # whatever it is, the card must go on being served
                    self._scheduler.stop(self._now())
                    self._scheduler.due(self._now())
                    self._outputs.silence()
                    self._report_position()
                    self._say(say("Playing stopped because of a fault in the program: {error}.", error=error))
                    self._report(Ended(self._generation))
                if self._outputs.next_at is not None:  # the thread that keeps time sends it
                    self._wake_up()
            return piano.render(frames)

    def _obey(self, command: Command) -> None:
        match command:
            case Load():
                self._companion.forget()
                self._flush_after(lambda: self._scheduler.load(received_schedule(command)))
                self._generation, self._waiting_for_keys = command.generation, False
                self._outputs.silence()
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
            case ChooseOutputs():
                self._choose_outputs(command.outputs)
            case ChooseInput():
                self._listening.choose(command.name, heard=command.heard)
                if command.heard:
                    self._keys.want_later(range(LOWEST_KEY, HIGHEST_KEY + 1))
            case Expect():
                self._companion.expect(command, self._now())
            case ChooseSoundFont():
                self._make_keys_later(self._scheduler.position(self._now()))
            case Latency():
                pass  # it was for the sound card alone
            case Record():
                self._listening.record(command.folder, command.tempo)
            case Quit():
                self._stop()
            case _:
                assert_never(command)

    def _play(self) -> None:
        first = keys_from(self._scheduler.schedule, self._scheduler.position(self._now()), KEYS_AHEAD_SECONDS)
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
                self._wake_up()

    def _begin(self) -> None:
        self._outputs.begin()
        self._scheduler.play(self._now())
        self._jumped()

    def _jumped(self) -> None:
        """The position is a new one: report it, and nothing before it from now on."""
        self._companion.start_at(self._now())
        self._where.jumped()
        self._report_position()

    def _stop(self) -> None:
        self._waiting_for_keys = False
        self._flush_after(lambda: self._scheduler.stop(self._now()))
        self._outputs.silence()

    def _exchange(self, command: Exchange) -> None:
        schedule = received_schedule(command)
        self._companion.forget()
        self._generation = command.generation
        self._flush_after(lambda: self._scheduler.exchange(self._now(), schedule, command.seconds))
        self._make_keys_later(command.seconds)
        self._jumped()

    def _press(self, command: PressKey) -> None:
        self._outputs.press(command.midi, command.velocity, on=command.on)
        if self._card_drives:
            self._own.single.press(command.midi, command.velocity, on=command.on)

    def _silence(self, ports: Sequence[str]) -> None:
        self._own.single.forget()
        self._stop()
        self._report_position()
        self._outputs.silence_others(ports)

    def _choose_outputs(self, outputs: Sequence[Output]) -> None:
        """Let go of everything in the places that are left; what is played goes on in the others and the new ones."""
        position = self._scheduler.position(self._now())
        try:
            self._outputs.choose(outputs)
        finally:
            self._make_keys_later(position)

    def _heard(self, message: Sequence[int], heard: bool) -> None:
        """A message of the keyboard that is listened to; called in the library's thread."""
        pressed = key_of(message)
        if pressed is not None:
            midi, velocity = pressed
            self._report(KeyPlayed(midi, velocity, velocity > 0, self._clock()))
            if velocity:
                with self._wake:
                    self._companion.press(midi, self._now(), self._where.seconds)
                    self._wake_up()
        if heard:
            with self._lock:
                if self._cards.card is not None:
                    self._own.single.sound(message)

    @property
    def _card_drives(self) -> bool:
        return self._cards.card is not None and self._outputs.with_piano

    def _now(self) -> float:
        if self._card_drives:
            return self._piano.now
        return self._clock()

    def _make_keys_later(self, seconds: float) -> None:
        """Have the piano's keys made in the order in which they are struck, if it is heard at all."""
        self._keys.want_later(keys_from(self._scheduler.schedule, seconds) if self._card_drives else ())

    def _advance(self, until: float) -> None:
        was_playing = self._scheduler.playing
        due, _ = self._scheduler.due(until)
        self._outputs.play(due, self._heard_at, piano=self._cards.card is not None)
        self._outputs.send_until(self._clock())
        if was_playing:
            self._companion.move(until, self._where.seconds)
        if was_playing and not self._scheduler.playing:
            if not self._scheduler.ended:
                self._outputs.silence()
                self._say(say(SLEPT))
            self._report(Ended(self._generation))
            self._report_position()

    def _heard_at(self, at: float) -> float:
        """When, by the machine's clock, what is due at a moment is heard: with the card's frames, as these are."""
        return self._piano.asked_at(at) + self._cards.queued_seconds if self._card_drives else at

    def _flush_after(self, change: Callable[[], None]) -> None:
        """Make a change to what is played and send at once what it lets go."""
        change()
        self._advance(self._now())

    def _say(self, sentence: str) -> None:
        self._report(Trouble(sentence))

    def _report_position(self) -> None:
        self._where.report(self._clock(), self._generation)

    def _late(self) -> float:
        """Seconds after it is due at which something is heard."""
        return self._outputs.lead + (self._cards.queued_seconds if self._card_drives else 0.0)

    def _seconds_to_wait(self) -> float | None:
        waits = []
        now = self._clock()
        if self._scheduler.playing:
            waits.append(self._where.wait(now, self._generation))
            if not self._card_drives:
                deadline = self._scheduler.next_deadline
                waits.append(deadline - now if deadline is not None else POSITION_SECONDS)
        if (at := self._outputs.next_at) is not None:
            waits.append(at - now)
        if self._cards.wants_a_look:
            waits.append(LOOK_SECONDS)
        return max(0.0, min(waits)) if waits else None
