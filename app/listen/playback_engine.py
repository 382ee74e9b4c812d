"""What the window needs of the process that plays: a port, met by the real engine and by a fake under tests."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from PySide6.QtCore import SignalInstance

from core.performance.following import Meant
from core.performance.output import Output
from core.performance.schedule import Schedule


class PlaybackEngine(Protocol):
    """Plays a schedule, and sounds single keys."""

    @property
    def ready(self) -> SignalInstance:
        """The engine has started: a report of its outputs, and of what is missing (`app.engine.protocol.Ready`)."""

    @property
    def ports(self) -> SignalInstance:
        """A MIDI port has come or gone: the ports there are (`app.engine.protocol.Ports`)."""

    @property
    def judged(self) -> SignalInstance:
        """What became of a key that was played, or of a note that was not (`app.engine.protocol.KeyJudged`)."""

    @property
    def key(self) -> SignalInstance:
        """A key of the keyboard that is listened to: MIDI number, velocity, whether it went down, engine's seconds."""

    @property
    def position(self) -> SignalInstance:
        """Generation (int), seconds into the schedule (float), whether it plays (bool); some 30 times a second."""

    @property
    def ended(self) -> SignalInstance:
        """The schedule has been played to its end; carries the generation (int)."""

    @property
    def trouble(self) -> SignalInstance:
        """One sentence (str): what sound is missing, or that it broke off."""

    def load(self, schedule: Schedule) -> int:
        """Take a whole schedule in the place of the one before, which stops; its generation."""

    def exchange(self, schedule: Schedule, seconds: float) -> int:
        """Go on in a changed schedule at once, at a moment of it; its generation."""

    def play(self) -> None:
        """Play on from where it is."""

    def stop(self) -> None:
        """Stop where it is; everything that sounds is let go."""

    def seek(self, seconds: float) -> None:
        """Go to a moment of the schedule."""

    def loop(self, start: float, end: float) -> None:
        """Play a stretch again and again."""

    def loop_off(self) -> None:
        """Play on to the end."""

    def set_speed(self, factor: float) -> None:
        """Play faster or slower than the schedule says."""

    def note(self, midi: int, velocity: int, *, on: bool) -> None:
        """Press a single key, or let it go."""

    def silence(self) -> None:
        """Stop and let everything go that sounds, whoever struck it."""

    def choose_outputs(self, outputs: Iterable[Output]) -> None:
        """Be heard through all of these at once: the built-in piano and MIDI ports by their names; none for nothing."""

    def choose_sound_font(self, path: str) -> None:
        """Have a SoundFont sound in place of the built-in piano; an empty path for the piano itself."""

    def choose_input(self, name: str, *, heard: bool = False) -> None:
        """Listen to a MIDI keyboard by name, an empty one for none; heard through the built-in piano or not."""

    def expect(self, notes: Iterable[Meant], *, wait: bool = False) -> None:
        """Follow a player through what is loaded; with `wait` the music holds at each note until it is played."""

    def set_latency(self, *, low: bool) -> None:
        """Queue little sound, so that a key is heard at once, or enough for a busy machine."""

    def record(self, folder: str, tempo: float = 0.0) -> None:
        """Write what is played in into a folder as it comes; `tempo` is that of the click it is played to, or 0."""

    def close(self) -> None:
        """End the process; nothing sounds any more."""
