"""What the program and its engine say to each other.

The engine is a process of its own, started as ``python -m app.engine``. Each message is one line of JSON in
UTF-8, commands on its standard input, reports on its standard output. Commands carry ``do``, reports ``is``;
fields that a side does not know are ignored, so that both may learn new ones.

Commands
    ``load``      a whole schedule and its generation, a number that later reports carry; stops what plays
    ``exchange``  a changed schedule to go on in at once, from ``seconds`` of it
    ``play``      let it run; from the end, begin again
    ``stop``      stop where it is and silence everything
    ``seek``      go to ``seconds``
    ``loop``      play from ``start`` to ``end`` again and again; without them, no longer
    ``speed``     play ``factor`` times as fast as the schedule says, 0.1 to 4
    ``note``      press a key now, or let it go
    ``silence``   let everything go and forget it; each port named in ``ports`` is silenced too
    ``output``    ``piano``, ``none`` or a MIDI port's name
    ``input``     the MIDI port that is listened to, by name, an empty name for none; with ``heard``, the built-in
                  piano sounds what is played there, its sustain pedal too
    ``latency``   whether little sound is queued, for a keyboard heard through the built-in piano
    ``expect``    notes that the player is to play, and whether the music waits for each
    ``record``    a folder: everything that is played in is written into it as it comes
    ``quit``      silence everything and end; the end of standard input means the same

Reports
    ``ready``     once, at the start: the ports there are, whether the piano can be heard, and if not, why
    ``ports``     a port has come or gone: the ports there are now
    ``position``  about 30 times a second while it plays, and at once where that changes
    ``ended``     the schedule has been played to its end, or playing broke off: the machine slept, something failed
    ``key``       a key of the MIDI keyboard that is listened to, as it comes
    ``judged``    what became of a key that was played, or of a note that was not
    ``trouble``   one sentence for the teacher; whatever can go on goes on

The engine's state: loaded or not, playing or not, one output, at most one input. It starts loaded with nothing,
stopped, with the piano as its output. Times are seconds of the schedule; the time of a key is that of the
engine's clock (`time.perf_counter`).
"""

from __future__ import annotations

from typing import Final

import msgspec

from core.performance.following import Verdict
from core.performance.output import Output
from core.performance.schedule import Kind, Schedule, TimedEvent
from core.song.note import Hand


class SentEvent(msgspec.Struct, array_like=True, frozen=True):
    """An event of a schedule on its way: ``[seconds, kind, midi, velocity, channel, hand]``."""

    seconds: float
    kind: Kind
    midi: int
    velocity: int
    channel: int = 0
    hand: Hand | None = None


class Load(msgspec.Struct, tag_field="do", tag="load", frozen=True):
    """A whole schedule."""

    generation: int
    events: tuple[SentEvent, ...]
    length: float


class Exchange(msgspec.Struct, tag_field="do", tag="exchange", frozen=True):
    """A changed schedule to go on in at once."""

    generation: int
    events: tuple[SentEvent, ...]
    length: float
    seconds: float


class Play(msgspec.Struct, tag_field="do", tag="play", frozen=True):
    """Let it run."""


class Stop(msgspec.Struct, tag_field="do", tag="stop", frozen=True):
    """Stop where it is and silence everything."""


class Seek(msgspec.Struct, tag_field="do", tag="seek", frozen=True):
    """Go to a moment."""

    seconds: float


class Loop(msgspec.Struct, tag_field="do", tag="loop", frozen=True, omit_defaults=True):
    """Play a stretch again and again, or no longer."""

    start: float | None = None
    end: float | None = None


class Speed(msgspec.Struct, tag_field="do", tag="speed", frozen=True):
    """Play faster or slower."""

    factor: float


class PressKey(msgspec.Struct, tag_field="do", tag="note", frozen=True):
    """Press a key now, or let it go."""

    midi: int
    velocity: int
    on: bool


class Silence(msgspec.Struct, tag_field="do", tag="silence", frozen=True, omit_defaults=True):
    """Let everything go."""

    ports: tuple[str, ...] = ()


class ChooseOutputs(msgspec.Struct, tag_field="do", tag="outputs", frozen=True):
    """All outputs at once, each with its channels, its programs and how late it sounds; none to be heard nowhere."""

    outputs: tuple[Output, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The outputs' names."""
        return tuple(output.name for output in self.outputs)


class ChooseSoundFont(msgspec.Struct, tag_field="do", tag="soundfont", frozen=True):
    """The file of a SoundFont that sounds in place of the built-in piano; an empty name for the piano itself."""

    path: str


class ChooseInput(msgspec.Struct, tag_field="do", tag="input", frozen=True, omit_defaults=True):
    """What is listened to, and whether it is heard through the built-in piano."""

    name: str = ""
    heard: bool = False


class SentNote(msgspec.Struct, array_like=True, frozen=True):
    """A note that the player is to play: ``[seconds, midi, hand]``."""

    seconds: float
    midi: int
    hand: Hand


class Expect(msgspec.Struct, tag_field="do", tag="expect", frozen=True):
    """What the player is to play in the schedule that is loaded; none where there is no player.

    Attributes:
        notes: in any order.
        wait: whether the music holds at each of them until it is played.
    """

    notes: tuple[SentNote, ...]
    wait: bool = False


class Latency(msgspec.Struct, tag_field="do", tag="latency", frozen=True):
    """Whether little sound is queued, so that a key is heard at once."""

    low: bool


class Record(msgspec.Struct, tag_field="do", tag="record", frozen=True, omit_defaults=True):
    """The folder in which what is played in is kept, an empty one for none; each time a file of its own.

    Attributes:
        folder: the folder.
        tempo: of the click it is played to, in quarter notes a minute; 0 for none.
    """

    folder: str
    tempo: float = 0.0


class Quit(msgspec.Struct, tag_field="do", tag="quit", frozen=True):
    """Silence everything and end."""


Command = (
    Load
    | Exchange
    | Play
    | Stop
    | Seek
    | Loop
    | Speed
    | PressKey
    | Silence
    | ChooseOutputs
    | ChooseSoundFont
    | ChooseInput
    | Expect
    | Latency
    | Record
    | Quit
)


class Ready(msgspec.Struct, tag_field="is", tag="ready", frozen=True):
    """The engine has started.

    Attributes:
        outputs: names of the MIDI ports that can be played to.
        inputs: names of the MIDI ports that can be listened to.
        sound: whether the built-in piano can be heard.
        message: what is missing, in one sentence; empty where nothing is.
    """

    outputs: tuple[str, ...]
    inputs: tuple[str, ...]
    sound: bool
    message: str = ""


class Ports(msgspec.Struct, tag_field="is", tag="ports", frozen=True):
    """The ports there are, now that one has come or gone."""

    outputs: tuple[str, ...]
    inputs: tuple[str, ...]


class Position(msgspec.Struct, tag_field="is", tag="position", frozen=True):
    """Where it is."""

    generation: int
    seconds: float
    playing: bool


class Ended(msgspec.Struct, tag_field="is", tag="ended", frozen=True):
    """The schedule has been played to its end, or playing broke off."""

    generation: int = 0


class KeyPlayed(msgspec.Struct, tag_field="is", tag="key", frozen=True):
    """A key of the keyboard that is listened to."""

    midi: int
    velocity: int
    on: bool
    time: float


class KeyJudged(msgspec.Struct, tag_field="is", tag="judged", frozen=True):
    """What became of a key or of a note, as `core.performance.following.Judged` says it."""

    verdict: Verdict
    midi: int
    seconds: float | None
    late: float


class Trouble(msgspec.Struct, tag_field="is", tag="trouble", frozen=True):
    """One sentence for the teacher."""

    message: str


Report = Ready | Ports | Position | Ended | KeyPlayed | KeyJudged | Trouble

_encoder: Final = msgspec.json.Encoder()
_commands: Final = msgspec.json.Decoder(Command)
_reports: Final = msgspec.json.Decoder(Report)


def line_of(message: Command | Report) -> bytes:
    """A message as one line."""
    return _encoder.encode(message) + b"\n"


def command_of(line: bytes) -> Command:
    """Read a command; raises msgspec.DecodeError for anything else."""
    command: Command = _commands.decode(line)
    return command


def report_of(line: bytes) -> Report:
    """Read a report; raises msgspec.DecodeError for anything else."""
    report: Report = _reports.decode(line)
    return report


def sent_events(schedule: Schedule) -> tuple[SentEvent, ...]:
    """The events of a schedule, ready to be sent."""
    return tuple(
        SentEvent(event.seconds, event.kind, event.midi, event.velocity, event.channel, event.hand)
        for event in schedule.events
    )


def received_schedule(message: Load | Exchange) -> Schedule:
    """The schedule that a message carries, its events in order of time."""
    events = (TimedEvent(e.seconds, e.kind, e.midi, e.velocity, e.hand, channel=e.channel) for e in message.events)
    return Schedule(tuple(sorted(events, key=lambda event: event.seconds)), message.length)
