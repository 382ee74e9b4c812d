"""Why a file cannot be read, and what of it was left out or guessed, can be said in another language."""

import json
import random
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from msgspec.structs import replace

from core.edits.transpose_notes import transpose_notes
from core.formats.lesson_file import read_lesson, write_lesson
from core.formats.musicxml_signs import LEFT_OUT
from core.formats.registry import read_song, tunes_in, write_song
from core.song.errors import FormatError
from tests.helpers.midi_bytes import held, meta, midi_file, on, track
from tests.helpers.musicxml_text import attributes, harmony, note, packed, rest, score
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import night_ferry

NAMES = {
    "lesson",
    "musicxml",
    "mxl",
    "xml",
    "mid",
    "midi",
    "abc",
    "played",
    "html",
    "major",
    "Neapolitan",
    "true",
    "false",
}
"""Endings of files, and names and values that stand in them."""
OWN_TEXT = "phrasebench: chord ?"
WHOLE = write_lesson(night_ferry())
WRONG: tuple[object, ...] = (None, True, "?", 0.5, -1, [], {}, 10**9, "1" * 50)
HEAD = "X:1\nT:1\nM:4/4\nL:1/4\nK:C\n"


def of_formats(text: str) -> list[str]:
    """The words in a text that were never said; a place in a lesson file (``$.parts[0]``) is no word."""
    plain = " ".join(piece for piece in text.replace("⟧", "⟧ ").split() if "$" not in piece)
    return [word for word in words_unsaid(plain) if word not in NAMES]


def refused(name: str, data: bytes) -> FormatError:
    with open_places(), pytest.raises(FormatError) as error:
        read_song(name, data)
    return error.value


def assert_said(error: FormatError) -> None:
    assert of_formats(f"{error.trouble} / {error.remedy}") == []
    assert "$" in error.place or of_formats(error.place) == []


def faults() -> Iterator[bytes]:
    """Lessons with one field of the wrong kind, or left away."""
    chance = random.Random(7)

    def walk(node: Any) -> Iterator[tuple[Any, str | int]]:  # noqa: ANN401 - JSON has no narrower type
        entries = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
        for key, value in list(entries):
            yield node, key
            yield from walk(value)

    document = json.loads(WHOLE)
    places = list(walk(document))
    for node, key in chance.sample(places, min(len(places), 60)):
        before = node[key]
        for wrong in WRONG:
            node[key] = wrong
            yield json.dumps(document).encode()
        node[key] = before


def test_a_fault_of_a_lesson_is_said_wherever_it_stands() -> None:
    troubles = set()
    for data in faults():
        with open_places():
            try:
                read_lesson("1.lesson", data)
            except FormatError as error:
                assert_said(error)
                troubles.add(error.trouble)
    assert len(troubles) > 20


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"hello",
        b"{}",
        WHOLE[:400],
        b'{"format": "phrasebench lesson",\n "title": "\xff"}',
        b'{"format": "phrasebench lesson",\n "version": 1,\n "title" "x"}',
        b'{"format": "phrasebench lesson"}',
        b'{"format": "phrasebench lesson", "version": 99}',
        b'{"format": "phrasebench lesson", "version": 0}',
        b'{"format": "phrasebench lesson", "a":' + b"[" * 5000,
    ],
)
def test_no_lesson_is_said(data: bytes) -> None:
    assert_said(refused("1.lesson", data))


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("1.musicxml", b""),
        ("1.musicxml", b"hello"),
        ("1.musicxml", b"<score-partwise><part-list>"),
        ("1.musicxml", b"<html></html>"),
        ("1.musicxml", b"<opus></opus>"),
        ("1.musicxml", b'<?xml version="1.0" encoding="nowhere"?><a/>'),
        ("1.mxl", b"PK hello"),
        ("1.mxl", packed(b"", container=False, name="1.txt")),
        ("1.musicxml", score([attributes() + note("C4").replace("<octave>4</octave>", "")])),
        ("1.musicxml", score([attributes() + note("C4").replace(">4</oct", ">40</oct")])),
        ("1.musicxml", score([attributes() + note("C4").replace("<duration>4", "<duration>four")])),
        ("1.musicxml", score([attributes() + note("C4").replace("<duration>4", "<duration>-4")])),
        ("1.musicxml", score([attributes().replace("<divisions>4", "<divisions>0") + note("C4")])),
        ("1.mid", b""),
        ("1.mid", b"hello"),
        ("1.mid", b"MThd\x00\x00\x00\x06\x00\x01"),
        ("1.mid", midi_file(track(held(480, 60)), form=2)),
        ("1.abc", b"hello"),
        ("1.abc", (HEAD + "C D|\n\n" + HEAD + "E F|\n").encode()),
        ("1.abc", "\n\n".join(HEAD.replace("T:1\n", "") + "C D|" for _ in range(20)).encode()),
        ("1.abc#9", (HEAD + "C D|\n\n" + HEAD + "E F|\n").encode()),
        ("1.mid#9", midi_file(track(held(480, 60)))),
        ("1.played", b""),
        ("1.played", b"hello"),
        ("1.played", b'{"begun": "1"}\n?\n[0, 144, 60, 60]\n'),
        ("1.html", b""),
        ("1", b""),
    ],
)
def test_what_cannot_be_read_is_said(name: str, data: bytes) -> None:
    assert_said(refused(name, data))


def test_what_cannot_be_written_is_said() -> None:
    song = night_ferry()
    every = tuple((1, index) for index in range(len(song.parts[0].notes)))
    low = transpose_notes(song, every, semitones=-36)
    notes = tuple(replace(one, pitch=one.pitch.in_octave(-1)) for one in low.parts[0].notes)
    deep = low.with_part(1, replace(low.parts[0], notes=notes))
    for name, written in (("1.html", song), ("1.musicxml", deep)):
        with open_places(), pytest.raises(FormatError) as error:
            write_song(name, written)
        assert_said(error.value)


def takes(*starts: float) -> bytes:
    lines = [json.dumps({"begun": "1", "keyboard": "1"})]
    for start in starts:
        lines += [json.dumps([start, 144, 60, 60]), json.dumps([start + 0.5, 176, 64, 127])]
        lines += [json.dumps([start + 1, 128, 60, 0])]
    return "\n".join(lines).encode() + b"\n"


def test_takes_are_said() -> None:
    assert_said(refused("1.played", takes(0, 60)))
    assert_said(refused("1.played#9", takes(0, 60)))
    with open_places():
        assert [of_formats(title) for title in tunes_in("1.played", takes(0, 60))] == [[], []]
        reading = read_song("1.played", takes(0) + b"[1, 2")
    assert len(reading.warnings) >= 3
    assert of_formats(" ".join(reading.warnings)) == []


FULL_BAR = "".join(f"<direction><direction-type><{tag}/></direction-type></direction>" for tag in LEFT_OUT)
FULL_NOTE = "<notations>" + "".join(f"<{tag}/>" for tag in LEFT_OUT) + "</notations><lyric/>"
SCORES: tuple[bytes, ...] = (
    score([attributes() + FULL_BAR + note("C4", 16, inside=FULL_NOTE)]),
    score([attributes(fifths=None, mode="") + "<harmony><kind>major</kind></harmony>" + note("C4", 16)]),
    score([attributes(mode="") + harmony("C", "Neapolitan") + note("C4", 16)]),
    score([attributes() + harmony("C") + harmony("G") + note("C4", 16)]),
    score([attributes() + harmony("C", inside="<kind>minor</kind>") + note("C4").replace("C", "C", 1)]),
    score([attributes() + rest(16), harmony("C") + rest(16), note("C4", 16)]),
    score([attributes() + note("C4", 16, inside="<cue/>") + note("D4", 16)]),
    score([attributes() + note("C4", 16).replace("<alter>0", "<alter>0.5")]),
    score([attributes(metre="0/4") + note("C4", 16)]),
    score([attributes(fifths=19) + note("C4", 16)]),
    score([attributes() + rest(16)]),
)


@pytest.mark.parametrize("data", SCORES)
def test_what_is_left_out_of_a_score_is_said(data: bytes) -> None:
    with open_places():
        reading = read_song("1.musicxml", data)
    assert reading.warnings
    assert of_formats(" ".join(reading.warnings)) == []


FILES: tuple[bytes, ...] = (
    midi_file(track(held(480, 60, 64)), division=0),
    midi_file(track(held(480, 60, 64)), division=-25 << 8 | 40),
    midi_file(track(on(0, 60), on(0, 36, channel=9), meta(0, 0x05, b"la"))),
    midi_file(track(meta(0, 0x59, b"\x0f\x00"), meta(0, 0x51, b"\x00\x00\x00"), held(480, 60))),
    midi_file(track(meta(0, 0x58, b"\x00"), meta(0, 0x54, b"\x00"), meta(0, 0x21, b""), held(480, 60))),
    midi_file(track(held(480, 60), b"\x00\xf9"))[:-6],
    midi_file(track(meta(0, 0x58, b"\x05\x09\x18\x08"), meta(0, 0x01, OWN_TEXT.encode()), held(480, 60))),
    midi_file(track(held(480, 60), b"\x00\xe0\x00\x00", b"\x00\xb0\x40\x7f", b"\x00\xa0\x3c\x01", b"\x00\xf0\x01\xf7")),
)


@pytest.mark.parametrize("data", FILES)
def test_what_is_left_out_of_a_midi_file_is_said(data: bytes) -> None:
    with open_places():
        reading = read_song("1.mid", data)
    assert reading.warnings
    assert of_formats(" ".join(reading.warnings).replace(OWN_TEXT, "")) == []


TUNES: tuple[Callable[[], str], ...] = (
    lambda: HEAD + '"^slow" "huh?" (C D) !trill! E & F |\nw: la la\n',
    lambda: HEAD.replace("K:C", "P:AABB\nK:C exp ^f") + "C D E F|\nK:D exp ^g\nC|",
    lambda: HEAD + '"C" "G" C D E F|z4|"A"',
    lambda: HEAD + "|: C D E F :|1 G4 :|2 A4 !D.C.! !D.S.!|",
    lambda: HEAD.replace("K:C", "Q:1/4=9000\nK:C") + "C D E F|",
    lambda: HEAD + "z4|",
    lambda: HEAD + "C,,,,,,,,,,, D|",
)


@pytest.mark.parametrize("tune", TUNES)
def test_what_is_left_out_of_a_tune_is_said(tune: Callable[[], str]) -> None:
    with open_places():
        reading = read_song("1.abc", tune().encode())
    assert reading.warnings
    assert [word for word in of_formats(" ".join(reading.warnings)) if word != "huh"] == []
