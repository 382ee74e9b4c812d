"""Writing a song as a Standard MIDI File: format 1, one track of facts and one track a hand.

The division is 10,080 ticks a quarter note, our own, so that every time is exact. Notes that sound together on one
key go to channels of their own, so that each note-off finds its note.

A song is written as it is performed: with the embellishments and the pedal that were chosen for its parts.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Final

from core.arranging.pedal import pedal_marks
from core.arranging.performed import performed
from core.formats.midi_conventions import (
    GRACE_TICKS,
    LEFT_TRACK,
    MICROSECONDS_A_MINUTE,
    PART_MARKER,
    PREFIX,
    RIGHT_TRACK,
)
from core.song.key import Key, Mode
from core.song.metre import Metre
from core.song.note import Hand, Note
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER, quarters
from core.theory.chord_symbols import write_chord

if TYPE_CHECKING:
    from mido import MetaMessage, MidiTrack
    from mido.messages import BaseMessage

VELOCITY: Final = {Hand.RIGHT: 80, Hand.LEFT: 64}
"""Moderate, the melody a little above what accompanies it (common practice)."""
CHANNELS: Final = {Hand.RIGHT: (0, 2, 4, 6, 8, 11, 13), Hand.LEFT: (1, 3, 5, 7, 10, 12, 14)}
"""The first is the hand's own; the others take notes on a key that already sounds. 9 is percussion's (General MIDI)."""

PEDAL_AFTER: Final = TICKS_PER_QUARTER // 16
"""How long after a chord the pedal goes down, in ticks (legato pedalling, common practice; the figure from memory)."""
SUSTAIN: Final = 64
"""Controller number of the sustain pedal (MIDI 1.0)."""

Event = tuple[int, int, "BaseMessage"]
"""Tick, order among events of one tick (facts, note-offs, note-ons), message."""


class MidiWriter:
    """Writes Standard MIDI Files."""

    endings: Final = (".mid", ".midi")

    def write(self, name: str, song: Song) -> bytes:  # noqa: ARG002 - nothing to say about the name
        """The MIDI file of a song: its notes as they are performed, repeats not unfolded."""
        from mido import MidiFile

        song = performed(song)
        tracks = [_track(song.title, _facts(song), song.length)]
        for hand, track_name in ((Hand.RIGHT, RIGHT_TRACK), (Hand.LEFT, LEFT_TRACK)):
            notes = _notes(song, hand)
            tracks.append(_track(track_name, [*notes, *_pedal(song, notes)], song.length))
        file = MidiFile(type=1, ticks_per_beat=TICKS_PER_QUARTER, charset="utf-8", tracks=tracks)
        written = io.BytesIO()
        file.save(file=written)
        return written.getvalue()


def _facts(song: Song) -> list[Event]:
    from mido import MetaMessage

    events: list[Event] = []

    def add(tick: int, message: MetaMessage) -> None:
        events.append((tick, 0, message))

    def write(tick: int, text: str) -> None:
        add(tick, MetaMessage("text", text=PREFIX + text))

    if song.rights:
        add(0, MetaMessage("copyright", text=song.rights))
    if song.pickup:
        write(0, f"pick-up {quarters(song.pickup)}")
    write(0, "playing order " + " ".join(str(number) for number in song.playing_order))
    for tempo in song.tempos:
        add(tempo.onset, MetaMessage("set_tempo", tempo=min(0xFFFFFF, round(MICROSECONDS_A_MINUTE / tempo.bpm))))
    for metre in song.metres:
        short = _metre_of_length(song.pickup) if metre.onset == 0 and song.pickup else None
        if short is not None:
            # A MIDI file knows no pick-up; a first bar of its length puts the bar lines where they belong.
            add(0, _time_signature(short))
        add(song.pickup if short is not None else metre.onset, _time_signature(metre.metre))
    for key in song.keys:
        add(key.onset, MetaMessage("key_signature", key=_signature(key.key)))
        write(key.onset, f"key {key.key.plain}")
    for onset, chord in song.placed_chords():
        if not chord.continued:
            write(onset, f"chord {write_chord(chord.symbol)}")
    for number, onset in enumerate(song.part_onsets, start=1):
        add(onset, MetaMessage("marker", text=f"{PART_MARKER}{number}"))
    return events


def _notes(song: Song, hand: Hand) -> list[Event]:
    from mido import Message, MetaMessage

    events: list[Event] = [(0, 0, Message("program_change", channel=CHANNELS[hand][0], program=0))]
    free_from: dict[tuple[int, int], int] = {}
    for onset, note in sorted(song.placed_notes(), key=lambda placed: (placed[0], placed[1].order)):
        if note.hand is not hand:
            continue
        end = onset + (note.duration or GRACE_TICKS)
        channel = _free_channel(hand, note, onset, free_from)
        free_from[channel, note.pitch.midi] = end
        if note.is_grace:
            events.append((onset, 2, MetaMessage("text", text=PREFIX + "grace")))
        start = Message("note_on", channel=channel, note=note.pitch.midi, velocity=VELOCITY[hand])
        events.append((onset, 2, start))
        events.append((end, 1, Message("note_off", channel=channel, note=note.pitch.midi, velocity=64)))
    return events


def _pedal(song: Song, notes: list[Event]) -> list[Event]:
    """The pedal on every channel that a hand's notes are on: up with each chord, and down shortly after."""
    from mido import Message

    channels = sorted({message.channel for _, _, message in notes if message.type == "note_on"})
    events: list[Event] = []
    for number, start in enumerate(song.part_onsets, start=1):
        marks = pedal_marks(song, number) if song.part(number).teaching.pedal else ()
        for mark in marks:
            down = mark.down + min(PEDAL_AFTER, (mark.up - mark.down) // 4)
            for channel in channels:
                for tick, value in ((down, 127), (mark.up, 0)):
                    message = Message("control_change", channel=channel, control=SUSTAIN, value=value)
                    events.append((start + tick, 1, message))
    return events


def _free_channel(hand: Hand, note: Note, onset: int, free_from: dict[tuple[int, int], int]) -> int:
    """The first channel on which the note's key is free; the one that is free soonest where none is."""
    channels = CHANNELS[hand]
    for channel in channels:
        if free_from.get((channel, note.pitch.midi), 0) <= onset:
            return channel
    return min(channels, key=lambda channel: free_from[channel, note.pitch.midi])


def _track(name: str, events: list[Event], length: int) -> MidiTrack:
    from mido import MetaMessage, MidiTrack

    track = MidiTrack([MetaMessage("track_name", name=name, time=0)])
    now = 0
    for tick, _, message in sorted(events, key=lambda event: (event[0], event[1])):
        track.append(message.copy(time=tick - now))
        now = tick
    track.append(MetaMessage("end_of_track", time=max(0, length - now)))
    return track


def _time_signature(metre: Metre) -> MetaMessage:
    from mido import MetaMessage

    clocks = min(255, 24 * metre.beat_ticks // TICKS_PER_QUARTER)
    return MetaMessage(
        "time_signature",
        numerator=metre.count,
        denominator=metre.unit,
        clocks_per_click=max(1, clocks),
        notated_32nd_notes_per_beat=8,
    )


def _metre_of_length(duration: int) -> Metre | None:
    """A metre whose bar has a length, or None where there is none (a pick-up of triplets, say)."""
    for unit in (4, 8, 16, 32, 64):
        count, rest = divmod(duration, Metre(1, unit).unit_ticks)
        if not rest and count <= 64:
            return Metre(count, unit)
    return None


def _signature(key: Key) -> str:
    """A key as mido names its signature, by its major or minor key; seven signs at most."""
    fifths = key.fifths
    while abs(fifths) > 7:
        fifths -= 12 if fifths > 0 else -12
    written = Key.of_signature(fifths, Mode.MINOR if key.is_minor_like else Mode.MAJOR)
    return written.tonic.plain + ("m" if key.is_minor_like else "")
