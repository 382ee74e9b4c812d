"""The keyboard that is listened to: chosen, lost with its port, taken up again with it, and recorded."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from app.engine.midi_system import MidiIn, MidiSystem, is_there
from app.engine.recorder import Recorder
from core.song.wording import say

MESSAGE_BYTES: Final = 3
"""Of the messages that are listened to: keys and controllers."""


class Listening:
    """At most one port of the machine's that is listened to.

    Args:
        midi: the machine's MIDI ports.
        heard: called with each message, and whether the piano is to sound it, in the library's thread.
        say: called with a sentence for the teacher.
    """

    def __init__(
        self, midi: MidiSystem, heard: Callable[[Sequence[int], bool], None], say: Callable[[str], None]
    ) -> None:
        self._midi = midi
        self._heard = heard
        self._say = say
        self._name = ""
        self._through_piano = False
        self._folder = ""
        self._tempo = 0.0
        self._port: MidiIn | None = None
        self._recorder: Recorder | None = None

    def choose(self, name: str, *, heard: bool) -> None:
        """Listen to a port by name, an empty one for none; raises DeviceError where it is not there yet."""
        self._let_go()
        self._name, self._through_piano = name, heard
        if name:
            self._open()

    def record(self, folder: str, tempo: float = 0.0) -> None:
        """Keep what is played from now on in a folder, an empty one for nowhere; `tempo` is that of the click, or 0."""
        self._folder, self._tempo = folder, tempo
        self._end_recording()
        self._begin_recording()

    def match(self, names: Sequence[str]) -> None:
        """Let the port go with its keyboard, or take it up again; raises DeviceError where that fails."""
        if not self._name:
            return
        if self._port is not None and not is_there(self._name, names):
            self._let_go()
            self._say(say("The keyboard “{name}” has gone; plug it in again to go on.", name=self._name))
        elif self._port is None and is_there(self._name, names):
            self._open()
            self._say(say("The keyboard “{name}” is back.", name=self._name))

    def close(self) -> None:
        """Listen no more."""
        self._let_go()

    def _open(self) -> None:
        self._port = self._midi.open_input(self._name, self._take)
        self._begin_recording()

    def _let_go(self) -> None:
        port, self._port = self._port, None
        if port is not None:
            port.close()
        self._end_recording()

    def _begin_recording(self) -> None:
        if self._folder and self._port is not None:
            self._recorder = Recorder(Path(self._folder), self._name, self._say, self._tempo)

    def _end_recording(self) -> None:
        recorder, self._recorder = self._recorder, None
        if recorder is not None:
            recorder.close()

    def _take(self, message: Sequence[int]) -> None:
        if len(message) != MESSAGE_BYTES:
            return
        now = time.perf_counter()
        self._heard(message, self._through_piano)
        recorder = self._recorder
        if recorder is not None:
            recorder.take(now, message)
