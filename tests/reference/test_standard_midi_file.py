"""MIDI files against the Standard MIDI File Specification 1.1 (MIDI Manufacturers Association).

The pairs of numbers and variable-length quantities are the table of the specification's section on them, seen
quoted in several public sources. The bytes of the header and the meta events are from memory of the same
specification.
"""

from __future__ import annotations

import pytest
from mido.midifiles.meta import decode_variable_int, encode_variable_int
from msgspec.structs import replace

from core.formats.midi_reader import MidiReader
from core.formats.midi_writer import MidiWriter
from core.song.key import Key, KeyChange
from core.song.metre import Metre, MetreChange
from core.song.note import Note
from core.song.part import Part
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.midi_bytes import meta, midi_file, off, on, quantity, track

TABLE = [
    (0x00000000, "00"),
    (0x00000040, "40"),
    (0x0000007F, "7F"),
    (0x00000080, "81 00"),
    (0x00002000, "C0 00"),
    (0x00003FFF, "FF 7F"),
    (0x00004000, "81 80 00"),
    (0x00100000, "C0 80 00"),
    (0x001FFFFF, "FF FF 7F"),
    (0x00200000, "81 80 80 00"),
    (0x08000000, "C0 80 80 00"),
    (0x0FFFFFFF, "FF FF FF 7F"),
]
HEADER = "4D 54 68 64 00 00 00 06 00 01 00 03 27 60"
"""Format 1, three tracks, 10,080 ticks a quarter note."""


def one_note(onset: int = 0, duration: int = TICKS_PER_QUARTER) -> Song:
    length = max(40_320, onset + duration)
    return Song("x", (Part(length, (Note(onset, duration, Pitch.parse("A4")),)),))


def written(song: Song) -> bytes:
    return MidiWriter().write("x.mid", song)


def chunks(data: bytes) -> list[tuple[bytes, bytes]]:
    found, place = [], 0
    while place < len(data):
        length = int.from_bytes(data[place + 4 : place + 8], "big")
        found.append((data[place : place + 4], data[place + 8 : place + 8 + length]))
        place += 8 + length
    assert place == len(data)
    return found


@pytest.mark.parametrize(("number", "quoted"), TABLE)
def test_the_quantities_of_the_table_are_written(number: int, quoted: str) -> None:
    assert bytes(encode_variable_int(number)) == bytes.fromhex(quoted)
    assert quantity(number) == bytes.fromhex(quoted)
    assert decode_variable_int(list(bytes.fromhex(quoted))) == number


@pytest.mark.parametrize(("number", "quoted"), TABLE[1:])
def test_a_wait_of_the_table_stands_in_our_file(number: int, quoted: str) -> None:
    """A note that begins after so many ticks; above the table's last row no song is that long."""
    data = written(one_note(onset=number))
    assert bytes.fromhex(quoted) + bytes((0x90, 69, 80)) in data


@pytest.mark.parametrize(("number", "quoted"), [row for row in TABLE if 0 < row[0] < 0x00200000])
def test_a_wait_of_the_table_is_read(number: int, quoted: str) -> None:
    events = on(0, 60) + off(480, 60) + bytes.fromhex(quoted) + bytes((0x90, 62, 64)) + off(480, 62)
    song = MidiReader().read("x.mid", midi_file(track(events))).song
    onsets = [onset for onset, _ in song.placed_notes()]
    assert onsets[1] - onsets[0] == round((480 + number) * TICKS_PER_QUARTER / 480)


def test_the_header_chunk() -> None:
    assert written(one_note())[:14] == bytes.fromhex(HEADER)


def test_every_track_chunk_ends_with_an_end_of_track() -> None:
    tracks = chunks(written(one_note()))[1:]
    assert [name for name, _ in tracks] == [b"MTrk"] * 3
    assert all(data.endswith(bytes.fromhex("FF 2F 00")) for _, data in tracks)
    assert all(data.count(bytes.fromhex("FF 2F 00")) == 1 for _, data in tracks)


def test_120_quarter_notes_a_minute_are_500000_microseconds() -> None:
    assert bytes.fromhex("FF 51 03 07 A1 20") in written(replace(one_note(), tempos=(TempoChange(0, 120.0),)))


@pytest.mark.parametrize(("metre", "quoted"), [("4/4", "FF 58 04 04 02 18 08"), ("6/8", "FF 58 04 06 03 24 08")])
def test_time_signatures(metre: str, quoted: str) -> None:
    assert bytes.fromhex(quoted) in written(replace(one_note(), metres=(MetreChange(0, Metre.parse(metre)),)))


@pytest.mark.parametrize(
    ("key", "quoted"), [("C major", "FF 59 02 00 00"), ("A minor", "FF 59 02 00 01"), ("Eb major", "FF 59 02 FD 00")]
)
def test_key_signatures(key: str, quoted: str) -> None:
    assert bytes.fromhex(quoted) in written(replace(one_note(), keys=(KeyChange(0, Key.parse(key)),)))


def test_track_names_and_markers() -> None:
    data = written(one_note())
    assert b"\xff\x03\x0aRight hand" in data
    assert b"\xff\x06\x06Part 1" in data


def test_a_status_does_not_run_on_over_a_meta_event() -> None:
    """Running status holds for channel messages and is cancelled by meta events; our files write it anew."""
    grace = Song("x", (Part(40_320, (Note(0, 10_080, Pitch.parse("C4")), Note(10_080, 0, Pitch.parse("D4")))),))
    right = chunks(written(grace))[2][1]
    after_text = right[right.index(b"grace") + len(b"grace") :]
    assert after_text[:2] == bytes((0, 0x90))


def test_middle_c_is_60_and_a4_is_69() -> None:
    song = MidiReader().read("x.mid", midi_file(track(on(0, 60), off(480, 60), on(0, 69), off(480, 69)))).song
    assert [note.pitch.plain for _, note in song.placed_notes()] == ["C4", "A4"]


def test_a_marker_of_another_program_cuts_nothing() -> None:
    data = midi_file(
        track(meta(0, 0x06, b"Part 1"), on(0, 60), off(480, 60), meta(0, 0x06, b"Part 2"), on(0, 62), off(480, 62))
    )
    assert not MidiReader().read("x.mid", data).has_cuts
