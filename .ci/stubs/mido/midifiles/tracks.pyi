from collections.abc import Iterable

from mido.messages import BaseMessage

class MidiTrack(list[BaseMessage]):
    name: str

def merge_tracks(tracks: Iterable[MidiTrack], skip_checks: bool = ...) -> MidiTrack: ...
