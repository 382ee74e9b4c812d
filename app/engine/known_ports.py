"""The MIDI ports there are: looked for now and then, so that one that comes or goes is noticed."""

from __future__ import annotations

from collections.abc import Callable

from app.engine.listening import Listening
from app.engine.midi_system import MidiSystem
from app.engine.outputs import Outputs
from app.engine.protocol import Ports, Trouble
from core.song.errors import DeviceError


class KnownPorts:
    """Has outputs and the keyboard let go of ports that have gone, and take them up again.

    Args:
        midi: the machine's MIDI ports.
        outputs: what is played through.
        listening: what is listened to.
        report: called with a `Ports` report when one has come or gone, and with a sentence where one is not to be had.
    """

    def __init__(
        self, midi: MidiSystem, outputs: Outputs, listening: Listening, report: Callable[[Ports | Trouble], None]
    ) -> None:
        self._midi = midi
        self._outputs = outputs
        self._listening = listening
        self._report = report
        self._known: tuple[tuple[str, ...], tuple[str, ...]] = ((), ())

    def look(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The names of outputs and inputs; raises DeviceError where the MIDI system does not answer."""
        return self._midi.outputs(), self._midi.inputs()

    def first(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Look for the first time; the names there are."""
        self._known = self.look()
        return self._known

    def match(self, found: tuple[tuple[str, ...], tuple[str, ...]]) -> bool:
        """Act on what was found; whether there was anything to do."""
        changed = found != self._known
        if not changed and not self._outputs.waits_for(found[0]):
            return False
        self._known = found
        if changed:
            self._report(Ports(*found))
        try:
            self._outputs.match(found[0])
            if changed:
                self._listening.match(found[1])
        except DeviceError as error:
            self._report(Trouble(str(error)))
        return True
