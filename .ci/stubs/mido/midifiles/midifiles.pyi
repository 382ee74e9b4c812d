from collections.abc import Iterator
from typing import IO

from mido.messages import BaseMessage
from mido.midifiles.tracks import MidiTrack

class MidiFile:
    filename: str | None
    type: int
    ticks_per_beat: int
    charset: str
    clip: bool
    tracks: list[MidiTrack]
    def __init__(
        self,
        filename: str | None = ...,
        file: IO[bytes] | None = ...,
        type: int = ...,
        ticks_per_beat: int = ...,
        charset: str = ...,
        debug: bool = ...,
        clip: bool = ...,
        tracks: list[MidiTrack] | None = ...,
    ) -> None: ...
    @property
    def merged_track(self) -> MidiTrack: ...
    @property
    def length(self) -> float: ...
    def add_track(self, name: str | None = ...) -> MidiTrack: ...
    def save(self, filename: str | None = ..., file: IO[bytes] | None = ...) -> None: ...
    def __iter__(self) -> Iterator[BaseMessage]: ...
