"""The outputs that are played through: chosen together, lost one by one, taken up again by name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress

from app.engine.hearing import LINGER_SECONDS, PianoHearing, PortHearing, quieten
from app.engine.midi_system import MidiSystem, is_there
from core.performance.output import NOTHING, PIANO, Output, delay_seconds, lead_seconds
from core.performance.scheduler import Due
from core.song.errors import DeviceError
from core.song.wording import say


class Outputs:
    """Any number of MIDI ports, and the built-in piano; one that fails leaves the others as they are.

    Args:
        midi: the machine's MIDI ports.
        piano: the built-in piano.
        rest: lets seconds pass.
        say: called with a sentence for the teacher.
    """

    def __init__(
        self, midi: MidiSystem, piano: PianoHearing, rest: Callable[[float], None], say: Callable[[str], None]
    ) -> None:
        self._midi = midi
        self._piano = piano
        self._rest = rest
        self._say = say
        self._wanted: tuple[Output, ...] = (Output(PIANO),)
        self._open: dict[str, PortHearing] = {}
        self._missing: set[str] = set()
        self._refused: set[str] = set()
        self.with_piano = True

    @property
    def lead(self) -> float:
        """Seconds after it is due at which something is heard, the slowest output being waited for."""
        return lead_seconds(self._wanted)

    @property
    def next_at(self) -> float | None:
        """When a port is to be sent something next, in the engine's clock; None where nothing waits."""
        return min((at for port in self._open.values() if (at := port.next_at) is not None), default=None)

    def choose(self, outputs: Sequence[Output]) -> None:
        """Play through these from now on; what is there already goes on without a break.

        Raises:
            DeviceError: one is not there or busy. It is taken up when it comes, and the others are played through;
                where none is left, those from before.
        """
        wanted = tuple({output.name: output for output in outputs if output.name != NOTHING}.values())
        ports = [output for output in wanted if output.name != PIANO]
        troubles = []
        found: dict[str, PortHearing] = {}
        for output in ports:
            try:
                found[output.name] = self._taken_up(output)
            except DeviceError as error:
                self._close(output.name)
                troubles.append(str(error))
        self._wanted = wanted
        self._missing = {output.name for output in ports} - found.keys()
        self._refused = set(self._missing)
        with_piano = any(output.name == PIANO for output in wanted)
        if found or with_piano or not troubles:
            for name in self._open.keys() - found.keys():
                self._close(name)
            if self.with_piano and not with_piano:
                self._piano.silence()
            self.with_piano = with_piano
        self._open.update(found)
        self._set_delays()
        if troubles:
            raise DeviceError(" ".join(troubles))

    @property
    def heard_through(self) -> bool:
        """Whether anything at all is played through."""
        return self.with_piano or bool(self._open)

    def waits_for(self, names: Sequence[str]) -> bool:
        """Whether one of these ports is wanted and was not to be had."""
        return any(is_there(name, names) for name in self._missing)

    def match(self, names: Sequence[str]) -> None:
        """Let go of the ports that are not among those there are; take up again those that are.

        One that is busy is tried again each time, and said to be once.
        """
        for name in [name for name in self._open if not is_there(name, names)]:
            self._lose(name)
            if self.heard_through:
                self._say(
                    say(
                        "The MIDI output “{name}” has gone; playing goes on through the others until it is back.",
                        name=name,
                    )
                )
            else:
                self._say(
                    say("The MIDI output “{name}” has gone; playing goes on unheard until it is back.", name=name)
                )
        for output in self._wanted:
            if output.name not in self._missing:
                continue
            if not is_there(output.name, names):
                self._refused.discard(output.name)
                continue
            try:
                self._take_up_again(output)
            except DeviceError as error:
                if output.name not in self._refused:
                    self._say(str(error))
                self._refused.add(output.name)

    def begin(self) -> None:
        """Playing begins: say at each port which sounds it is to have."""
        self._each(PortHearing.choose_programs)

    def play(self, due: Sequence[Due], moment: Callable[[float], float], *, piano: bool) -> None:
        """Make events heard.

        Args:
            due: what has come due.
            moment: when, by the machine's clock, what is due at a time of the schedule is heard without a delay.
            piano: whether the piano is heard at all.
        """
        if not due:
            return
        if piano and self.with_piano:
            self._piano.play(due)
        shift = {output.name: delay_seconds(output, self._wanted) for output in self._wanted}
        timed = [Due(moment(one.at), one.event) for one in due] if self._open else []
        for name, port in self._open.items():
            port.plan(timed, shift.get(name, 0.0))

    def send_until(self, now: float) -> None:
        """Send the ports what has come due by the machine's clock."""
        self._each(lambda port: port.send_until(now))

    def press(self, midi: int, velocity: int, *, on: bool) -> None:
        """Press a key on every port at once, or let it go."""
        self._each(lambda port: port.press(midi, velocity, on=on))

    def silence(self) -> None:
        """Let go of everything that sounds; never fails."""
        for port in self._open.values():
            port.silence()
        if self.with_piano:
            self._piano.silence()

    def silence_others(self, names: Sequence[str]) -> None:
        """Let go of everything on ports that an earlier engine may have left sounding; never fails."""
        for name in names:
            with suppress(DeviceError):
                port = self._midi.open_output(name)
                quieten(port)
                self._rest(LINGER_SECONDS)
                port.close()

    def close(self) -> None:
        """Silence everything and let the ports go; never fails."""
        for name in list(self._open):
            self._close(name)
        self._piano.silence()

    def _taken_up(self, output: Output) -> PortHearing:
        port = self._open.get(output.name)
        if port is None:
            return PortHearing(self._midi.open_output(output.name), output, self._rest)
        port.take_up(output)
        return port

    def _take_up_again(self, output: Output) -> None:
        self._open[output.name] = self._taken_up(output)
        self._missing.discard(output.name)
        for name in self._open.keys() - {one.name for one in self._wanted}:
            self._close(name)
        if self.with_piano and all(one.name != PIANO for one in self._wanted):
            self._piano.silence()
            self.with_piano = False
        self._say(say("The MIDI output “{name}” is back.", name=output.name))

    def _each(self, do: Callable[[PortHearing], None]) -> None:
        for name, port in list(self._open.items()):
            try:
                do(port)
            except DeviceError as error:
                self._lose(name)
                self._refused.add(name)
                if self.heard_through:
                    self._say(say("{trouble} Playing goes on through the others.", trouble=error))
                else:
                    self._say(say("{trouble} Playing goes on unheard.", trouble=error))

    def _lose(self, name: str) -> None:
        """A port has gone: playing goes on where it can."""
        self._close(name)
        self._missing.add(name)

    def _close(self, name: str) -> None:
        port = self._open.pop(name, None)
        if port is not None:
            port.close()

    def _set_delays(self) -> None:
        own = next((output for output in self._wanted if output.name == PIANO), None)
        self._piano.delay = delay_seconds(own, self._wanted) if own is not None else 0.0
