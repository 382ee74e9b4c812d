"""The built-in piano: keys, pedal and metronome mixed to sound, sample-exact.

Everything is placed by frame: `Piano.note_on` and its fellows say at which frame something happens, and
`Piano.render` makes the next frames. What comes out is the same however many frames are asked for at a time.

Velocity: loudness follows 30·log₁₀(velocity / 80) dB (fitted to two sampled pianos), colour a cross-fade of
two layers that share their partials' frequencies and phases.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.performance.schedule import Schedule
from core.sound.bank import FULL_SCALE, HIGHEST_KEY, KeySound, Pcm, SampleBank, playable
from core.sound.click import click_sound
from core.sound.instrument import instrument_blocks
from core.sound.piano_model import RATE, REFERENCE_VELOCITY
from core.sound.planned_keys import PlannedKeys
from core.sound.release import release_sound

Sound = NDArray[np.float32]
"""Shape (frames, 2), full scale ±1."""

MOST_VOICES: Final = 32
START_LEVEL: Final = 0.06
"""A moderate level: one note at velocity 80 peaks near −17 dB, so that six together stay clear of the bend."""
CLICK_LEVEL: Final = 0.16
"""Peak of a click at velocity 80."""
DYNAMIC: Final = 1.5
"""Amplitude grows with this power of velocity: 30 dB for ten times."""
BEND: Final = 0.7
"""Above this the output bends, so that full scale is never passed."""
FIRST_UNDAMPED: Final = 89
"""The highest keys of a piano have no dampers (from memory: from about E6 to F♯6 on)."""
DAMPER_KEYS: Final = (21, 45, 60, 88)
DAMPER_SECONDS: Final = (0.8, 0.45, 0.3, 0.18)
"""Seconds in which a damped key falls by 60 dB, from low to high (from memory)."""
STRUCK_AGAIN_SECONDS: Final = 0.12
"""The same for a string that its hammer strikes again."""
ALL_OFF_SECONDS: Final = 0.15
"""The same when everything is silenced."""
STOLEN_SECONDS: Final = 0.03
"""The same for a voice that must make room."""
DAMPED_DB: Final = 80.0
RELEASE_LEVEL: Final = 0.0012
"""Peak of the noise of a damper, some 40 dB under the peak of a note at velocity 80 (from memory)."""
SYMPATHETIC: Final = (12, 19, 24)
"""With the pedal down a string wakes those whose partials are among its own: semitones above it."""
SYMPATHETIC_DB: Final = (-32.0, -36.0, -38.0)
"""How loud each of them sounds against the same key struck (from memory: some 30 to 40 dB less)."""
MOST_SYMPATHETIC: Final = 12


@dataclass(slots=True, eq=False)
class _Voice:
    midi: int
    layers: tuple[tuple[Pcm, np.float32], ...]
    frames: int
    place: int = 0
    held: bool = True
    damped: NDArray[np.float32] | None = None
    damped_place: int = 0
    level: float = 1.0

    def damp(self, seconds: float, rate: int) -> None:
        """Begin to fall silent; a voice that is falling already falls on from where it is, at least as fast."""
        curve = _damping(round(seconds * rate))
        if self.damped is not None:
            if len(curve) >= len(self.damped):
                return
            self.level *= float(self.damped[min(self.damped_place, len(self.damped) - 1)])
        self.damped, self.damped_place = curve, 0
        self.held = False

    def mix(self, out: Sound, spare: Sound, other: Sound) -> bool:
        """Add the next frames to `out`; whether anything is left after them."""
        count = min(len(out), self.frames - self.place)
        if self.damped is not None:
            count = min(count, len(self.damped) - self.damped_place)
        if count > 0:
            sound = spare[:count]
            (pcm, weight), *harder = self.layers
            np.multiply(pcm[self.place : self.place + count], weight, out=sound, dtype=np.float32)
            for pcm, weight in harder:
                more = other[:count]
                np.multiply(pcm[self.place : self.place + count], weight, out=more, dtype=np.float32)
                sound += more
            if self.damped is not None:
                fall = self.damped[self.damped_place : self.damped_place + count]
                sound *= fall[:, None] if self.level == 1.0 else (fall * np.float32(self.level))[:, None]
                self.damped_place += count
            out[:count] += sound
            self.place += count
        ended = self.damped is not None and self.damped_place >= len(self.damped)
        return self.place < self.frames and not ended


class Piano(PlannedKeys):
    """The sampled piano.

    Args:
        bank: where the sounds come from. Keys that the bank has not prepared stay silent when struck.
        sample_rate: frames a second; the bank's own.
        level: overall level; `START_LEVEL` unless the player has chosen another.
    """

    def __init__(self, bank: SampleBank, sample_rate: int = RATE, level: float = START_LEVEL) -> None:
        super().__init__()
        self.bank = bank
        self.sample_rate = sample_rate
        self.level = level
        self._frame = 0
        self._voices: list[_Voice] = []
        self._fading: list[_Voice] = []
        self._woken: list[_Voice] = []
        self._pedal_down = False
        self._spare = np.zeros((0, 2), dtype=np.float32)
        self._other = np.zeros((0, 2), dtype=np.float32)

    @property
    def frame(self) -> int:
        """The frame that is rendered next, counted from the piano's making."""
        return self._frame

    @property
    def voices(self) -> int:
        """How many voices sound."""
        return len(self._voices) + len(self._fading) + len(self._woken)

    @property
    def busy(self) -> bool:
        """Whether anything sounds or is still to happen."""
        return bool(self._voices or self._fading or self._planned)

    def click(self, accented: bool, velocity: int, at_frame: int = 0) -> None:
        """Click the metronome."""
        self.plan(at_frame, lambda: self._click(accented, velocity))

    def all_off(self) -> None:
        """Silence everything from the next frame on, without a click, and forget what was planned."""
        self._planned.clear()
        self._pedal_down = False
        for voice in (*self._voices, *self._woken):
            voice.damp(ALL_OFF_SECONDS, self.sample_rate)
        self._fading += (*self._voices, *self._woken)
        self._voices, self._woken = [], []

    def render(self, frames: int) -> Sound:
        """The next frames: shape (frames, 2), never past ±1."""
        out = np.zeros((frames, 2), dtype=np.float32)
        if len(self._spare) < frames:
            self._spare = np.zeros((frames, 2), dtype=np.float32)
            self._other = np.zeros((frames, 2), dtype=np.float32)
        for done, until in self._stretches(frames):
            self._mix(out[done:until])
            self._frame += until - done
        return bent(out)

    def _mix(self, out: Sound) -> None:
        self._voices = [voice for voice in self._voices if voice.mix(out, self._spare, self._other)]
        if self._woken:
            self._woken = [voice for voice in self._woken if voice.mix(out, self._spare, self._other)]
        if self._fading:
            self._fading = [voice for voice in self._fading if voice.mix(out, self._spare, self._other)]

    def _strike(self, midi: int, velocity: int) -> None:
        sound = self.bank.ready(midi)
        if sound is None:
            return
        for voice in [voice for voice in self._voices if voice.midi == midi]:
            self._fade(voice, STRUCK_AGAIN_SECONDS)
        if len(self._voices) >= MOST_VOICES:
            self._fade(self._least_missed(), STOLEN_SECONDS)
        self._voices.append(_Voice(midi, layer_weights(sound, velocity, self.level), sound.frames))
        if self._pedal_down:
            self._wake(midi, velocity)

    def _wake(self, midi: int, velocity: int) -> None:
        """Sound the strings that a struck one sets ringing, as far as their keys are ready."""
        for interval, quieter in zip(SYMPATHETIC, SYMPATHETIC_DB, strict=True):
            sound = self.bank.ready(midi + interval) if midi + interval <= HIGHEST_KEY else None
            if sound is not None:
                weights = layer_weights(sound, velocity, self.level * 10 ** (quieter / 20))
                self._woken.append(_Voice(midi + interval, weights, sound.frames))
        for voice in self._woken[:-MOST_SYMPATHETIC]:
            voice.damp(STOLEN_SECONDS, self.sample_rate)
            self._fading.append(voice)
        del self._woken[:-MOST_SYMPATHETIC]

    def _let_go(self, midi: int) -> None:
        for voice in self._voices:
            if voice.midi == midi and voice.held:
                voice.held = False
                if not self._pedal_down:
                    self._damp(voice)

    def _set_pedal(self, down: bool) -> None:
        self._pedal_down = down
        if not down:
            for voice in self._voices:
                if not voice.held and voice.damped is None:
                    self._damp(voice)
            for voice in self._woken:
                voice.damp(damper_seconds(playable(voice.midi)), self.sample_rate)
            self._fading += self._woken
            self._woken = []

    def _damp(self, voice: _Voice) -> None:
        if playable(voice.midi) < FIRST_UNDAMPED:
            voice.damp(damper_seconds(playable(voice.midi)), self.sample_rate)
            weight = RELEASE_LEVEL * self.level / START_LEVEL / FULL_SCALE
            pcm = release_sound(self.sample_rate)
            self._fading.append(_Voice(-1, ((pcm, np.float32(weight)),), len(pcm)))

    def _click(self, accented: bool, velocity: int) -> None:
        pcm = click_sound(accented, self.sample_rate)
        weight = CLICK_LEVEL * self.level / START_LEVEL * (velocity / REFERENCE_VELOCITY) ** DYNAMIC / FULL_SCALE
        self._fading.append(_Voice(-1, ((pcm, np.float32(weight)),), len(pcm)))

    def _fade(self, voice: _Voice, seconds: float) -> None:
        voice.damp(seconds, self.sample_rate)
        self._voices.remove(voice)
        self._fading.append(voice)

    def _least_missed(self) -> _Voice:
        """The voice to take away: one that is damped before one that is held, and of those the oldest."""
        return max(self._voices, key=lambda voice: (voice.damped is not None, not voice.held, voice.place))


def damper_seconds(midi: int) -> float:
    """Seconds in which a key that is let go falls by 60 dB."""
    return float(np.interp(midi, DAMPER_KEYS, DAMPER_SECONDS))


def layer_weights(sound: KeySound, velocity: int, level: float) -> tuple[tuple[Pcm, np.float32], ...]:
    """The layers to mix for a velocity, each with its factor from PCM to output."""
    loud = level * (velocity / REFERENCE_VELOCITY) ** DYNAMIC / FULL_SCALE
    layers = sound.layers
    if velocity <= layers[0].velocity:
        return ((layers[0].pcm, np.float32(loud * layers[0].gain)),)
    for softer, harder in pairwise(layers):
        if velocity < harder.velocity:
            share = (velocity - softer.velocity) / (harder.velocity - softer.velocity)
            return (
                (softer.pcm, np.float32(loud * softer.gain * (1 - share))),
                (harder.pcm, np.float32(loud * harder.gain * share)),
            )
    return ((layers[-1].pcm, np.float32(loud * layers[-1].gain)),)


def bent(sound: Sound) -> Sound:
    """The sound with its peaks bent below full scale; what lies under `BEND` is left as it is."""
    peak = np.abs(sound)
    over = peak > BEND
    if over.any():
        room = 1 - BEND
        sound[over] = np.sign(sound[over]) * (BEND + room * np.tanh((peak[over] - BEND) / room))
    return sound


def render_blocks(schedule: Schedule, piano: Piano, block: int = RATE) -> Iterator[Sound]:
    """A schedule as sound, block by block, until the last note has died away.

    The keys that it needs are prepared first.
    """
    piano.bank.prepare_all(event.midi for event in schedule.events if event.kind == "on")
    yield from instrument_blocks(schedule, piano, block)


def render_schedule(schedule: Schedule, piano: Piano) -> Sound:
    """A schedule as sound: shape (frames, 2), full scale ±1, from its start until the last note has died away."""
    blocks = list(render_blocks(schedule, piano))
    return np.concatenate(blocks) if blocks else np.zeros((0, 2), dtype=np.float32)


@lru_cache(maxsize=256)
def _damping(frames_to_60_db: int) -> NDArray[np.float32]:
    """How a damped string falls: exponentially, and to nothing at the end."""
    length = max(2, int(frames_to_60_db * DAMPED_DB / 60))
    place = np.arange(length)
    fall = np.exp(-np.log(1000) * place / frames_to_60_db)
    return np.asarray((fall - fall[-1]) / (1 - fall[-1]), dtype=np.float32)
