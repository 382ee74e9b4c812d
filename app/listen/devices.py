"""The instruments that are played through and listened to, as they were chosen."""

from __future__ import annotations

from app.engine.midi_system import is_there
from app.engine.protocol import Ports, Ready
from app.listen.playback_engine import PlaybackEngine
from app.listen.playing_along import PlayingAlong
from app.settings.settings import Settings
from app.settings.settings_store import SettingsStore
from core.performance.output import PIANO, Output


class Devices:
    """Tells the engine which outputs and which keyboard to use, and knows which there are.

    Attributes:
        outputs: the MIDI ports that can be played to.
        keyboards: the MIDI ports that can be listened to.
    """

    def __init__(self, engine: PlaybackEngine, settings: SettingsStore, along: PlayingAlong) -> None:
        self._engine = engine
        self._settings = settings
        self._along = along
        self._missing = ""
        self._tempo = 0.0
        self.outputs: tuple[str, ...] = ()
        self.keyboards: tuple[str, ...] = ()

    @property
    def missing(self) -> str:
        """Why nothing is heard, in one sentence; empty where something is."""
        chosen = self._settings.settings.outputs
        return self._missing if any(output.name == PIANO for output in chosen) and len(chosen) == 1 else ""

    def engine_ready(self, report: Ready) -> None:
        """The engine has started: make the choices known to it."""
        self.outputs, self.keyboards = report.outputs, report.inputs
        self._along.let_go()
        self._missing = "" if report.sound else report.message
        choices = self._settings.settings
        if choices.outputs != (Output(PIANO),):
            self._engine.choose_outputs(choices.outputs)
        if choices.sound_font:
            self._engine.choose_sound_font(choices.sound_font)
        if choices.low_latency:
            self._engine.set_latency(low=True)
        if choices.keyboard:
            self._listen(choices)

    def ports_changed(self, report: Ports) -> None:
        """A port has come or gone."""
        self.outputs, self.keyboards = report.outputs, report.inputs
        if not is_there(self._settings.settings.keyboard, report.inputs):
            self._along.let_go()

    def choices_changed(self, before: Settings, after: Settings) -> None:
        """Make known what has been chosen anew."""
        if before.outputs != after.outputs:
            self._engine.choose_outputs(after.outputs)
        if before.sound_font != after.sound_font:
            self._engine.choose_sound_font(after.sound_font)
        if (before.keyboard, before.keyboard_heard) != (after.keyboard, after.keyboard_heard):
            self._listen(after)
        if (before.speed, before.metronome) != (after.speed, after.metronome):
            self.play_to_click(0.0)
        if before.low_latency != after.low_latency:
            self._engine.set_latency(low=after.low_latency)

    def play_to_click(self, tempo: float) -> None:
        """What is played in is played to a click from now on, at a tempo in quarter notes a minute; 0 for none."""
        if tempo != self._tempo:
            self._tempo = tempo
            if self._settings.settings.keyboard:
                self._engine.record(str(self._settings.folder_of_playing), tempo)

    def _listen(self, choices: Settings) -> None:
        self._along.let_go()
        self._engine.record(str(self._settings.folder_of_playing) if choices.keyboard else "", self._tempo)
        self._engine.choose_input(choices.keyboard, heard=choices.keyboard_heard)
