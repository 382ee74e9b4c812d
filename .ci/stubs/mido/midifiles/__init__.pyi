from mido.midifiles.meta import (
    KeySignatureError as KeySignatureError,
)
from mido.midifiles.meta import (
    MetaMessage as MetaMessage,
)
from mido.midifiles.meta import (
    UnknownMetaMessage as UnknownMetaMessage,
)
from mido.midifiles.midifiles import MidiFile as MidiFile
from mido.midifiles.tracks import MidiTrack as MidiTrack
from mido.midifiles.tracks import merge_tracks as merge_tracks
