# What Phrasebench uses of mido 1.3, typed from its source.
from collections.abc import Callable, Iterable
from typing import Any

from mido import backends as backends
from mido import ports as ports
from mido.backends.backend import Backend as Backend
from mido.messages import BaseMessage as BaseMessage
from mido.messages import Message as Message
from mido.midifiles import (
    KeySignatureError as KeySignatureError,
)
from mido.midifiles import (
    MetaMessage as MetaMessage,
)
from mido.midifiles import (
    MidiFile as MidiFile,
)
from mido.midifiles import (
    MidiTrack as MidiTrack,
)
from mido.midifiles import (
    UnknownMetaMessage as UnknownMetaMessage,
)
from mido.ports import BaseInput, BaseOutput

def bpm2tempo(bpm: float, time_signature: tuple[int, int] = ...) -> int: ...
def tempo2bpm(tempo: float, time_signature: tuple[int, int] = ...) -> float: ...
def tick2second(tick: float, ticks_per_beat: int, tempo: float) -> float: ...
def second2tick(second: float, ticks_per_beat: int, tempo: float) -> int: ...
def merge_tracks(tracks: Iterable[MidiTrack], skip_checks: bool = ...) -> MidiTrack: ...
def parse(data: Iterable[int]) -> Message | None: ...
def parse_all(data: Iterable[int]) -> list[Message]: ...
def set_backend(name: str | None = ..., load: bool = ...) -> None: ...
def get_output_names(**options: Any) -> list[str]: ...
def get_input_names(**options: Any) -> list[str]: ...
def open_output(name: str | None = ..., virtual: bool = ..., autoreset: bool = ..., **options: Any) -> BaseOutput: ...
def open_input(
    name: str | None = ..., virtual: bool = ..., callback: Callable[[Message], object] | None = ..., **options: Any
) -> BaseInput: ...
