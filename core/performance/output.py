"""An output that playing is heard through: the channel and program of each hand there, and how late it sounds.

Channels and programs are counted as a teacher reads them on the instrument: from 1 (common practice; on the wire
they count from 0).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.note import Hand
from core.song.wording import say

PIANO: Final = "piano"
"""The built-in piano as an output."""
NOTHING: Final = "none"
"""No output: time passes and nothing is heard."""
CHANNELS: Final = 16
CLICKS: Final = 10
"""The channel of percussion (General MIDI, from memory), on which the metronome clicks."""
PROGRAMS: Final = 128
MOST_MILLISECONDS: Final = 500


class HandChannel(Struct, frozen=True, omit_defaults=True):
    """How one hand is sent.

    Attributes:
        channel: 1 … 16, but not 10, where the metronome clicks.
        program: 1 … 128, or 0 to leave the instrument as it is.
    """

    channel: int = 1
    program: int = 0

    def __post_init__(self) -> None:
        if not 1 <= self.channel <= CHANNELS or self.channel == CLICKS:
            raise DomainError(
                say("the channel of a hand"),
                self.channel,
                say("from 1 to {most}, but not {clicks}, where the metronome is", most=CHANNELS, clicks=CLICKS),
            )
        if not 0 <= self.program <= PROGRAMS:
            raise DomainError(
                say("the program of a hand"),
                self.program,
                say("from 1 to {most}, or 0 to leave it as it is", most=PROGRAMS),
            )


class Output(Struct, frozen=True, omit_defaults=True):
    """An output and how it is played through.

    Attributes:
        name: ``piano`` for the built-in one, or a MIDI port's name.
        right: how the right hand is sent.
        left: how the left hand is sent.
        latency: milliseconds by which it sounds later than it is told to, -500 … 500; what is sent to it is sent so
            much earlier than to the others.
        local_off: whether the keys of the instrument are silent meanwhile.
    """

    name: str
    right: HandChannel = HandChannel()
    left: HandChannel = HandChannel()
    latency: int = 0
    local_off: bool = False

    def __post_init__(self) -> None:
        if not self.name:
            raise DomainError(say("the name of an output"), self.name, say("not empty"))
        if not -MOST_MILLISECONDS <= self.latency <= MOST_MILLISECONDS:
            raise DomainError(
                say("the latency of an output"), self.latency, say("from -{most} to {most} ms", most=MOST_MILLISECONDS)
            )
        programs = {self.right.program, self.left.program}
        if self.right.channel == self.left.channel and len(programs) > 1:
            raise DomainError(
                say("the channels of the hands"),
                say("both {channel}", channel=self.right.channel),
                say("two different ones where each hand has a program of its own"),
            )

    def hand(self, hand: Hand) -> HandChannel:
        """How a hand is sent."""
        return self.right if hand is Hand.RIGHT else self.left


def delay_seconds(output: Output, outputs: Iterable[Output]) -> float:
    """How long what is due is kept back for an output, so that it sounds together with the slowest; 0 or more."""
    slowest = max((other.latency for other in outputs), default=output.latency)
    return max(0, slowest - output.latency) / 1000


def lead_seconds(outputs: Iterable[Output]) -> float:
    """How long after it is due something is heard, through all of them at once; 0 or more."""
    return max((0, *(output.latency for output in outputs))) / 1000
