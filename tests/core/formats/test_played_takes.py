"""What was played in, read back as a song."""

from __future__ import annotations

import json
import random
from collections.abc import Iterable, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.formats.played_reader import BARS_GUESSED, CUT_SHORT, PEDAL_LEFT_OUT, SILENCE
from core.formats.played_times import Played, written_take
from core.formats.registry import read_song, tunes_in
from core.song.errors import BrokenFileError, ForeignFileError, FormatError, SeveralTunesError
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import lamplighters_waltz, night_ferry

HEAD = {"begun": "2026-11-25T17:41:02+00:00", "keyboard": "Stage piano"}
HUMAN_SPREAD = 0.02
"""Seconds by which onsets and releases scatter (standard deviation), those of a practised player at a click."""
NAME = "2026-11-25 17.41.02.played"

Written = tuple[float, float, int]
"""Onset and length in quarter notes, and the key."""


def take(messages: Iterable[Sequence[float]], **head: object) -> bytes:
    lines = [json.dumps({**HEAD, **head}), *(json.dumps(list(message)) for message in messages)]
    return "\n".join(lines).encode() + b"\n"


def messages_of(notes: Iterable[Written], bpm: float, start: float = 0.0, channel: int = 0) -> list[list[float]]:
    """Notes played exactly, every key let go a little before its end."""
    beat = 60 / bpm
    found: list[list[float]] = []
    for onset, length, midi in notes:
        found.append([round(start + onset * beat, 6), 0x90 | channel, midi, 70])
        found.append([round(start + (onset + 0.9 * length) * beat, 6), 0x80 | channel, midi, 64])
    return sorted(found)


def notes_of(song: Song) -> list[Written]:
    return [
        (onset / TICKS_PER_QUARTER, note.duration / TICKS_PER_QUARTER, note.pitch.midi)
        for onset, note in song.placed_notes()
        if note.duration
    ]


SCALE = [(float(beat), 1.0, 60 + step) for beat, step in enumerate((0, 2, 4, 5, 7, 9, 11, 12))]


@pytest.mark.parametrize("song", [night_ferry(), lamplighters_waltz()], ids=lambda song: song.title)
def test_a_song_played_on_a_keyboard_opens_with_its_notes_and_tempo(song: Song) -> None:
    reading = read_song(NAME, take(messages_of(notes_of(song), song.tempo)))
    assert notes_of(reading.song) == notes_of(song)
    assert reading.song.tempo == pytest.approx(song.tempo, abs=0.3)
    assert reading.song.title == "2026-11-25 17.41.02"
    assert BARS_GUESSED in reading.warnings
    assert len(reading.song.parts) > 1


def rhythms(rng: random.Random, *, triplets: bool) -> list[Written]:
    """Sixteen bars of beats divided in the ways that songs divide them, straight or in three."""
    straight = ((1.0,), (0.5, 0.5), (0.5, 0.5), (0.25,) * 4, (0.75, 0.25), (0.5, 0.25, 0.25))
    ways = ((1.0,), (1 / 3,) * 3, (1 / 3,) * 3, (2 / 3, 1 / 3)) if triplets else straight
    found: list[Written] = []
    for beat in range(64):
        at = float(beat)
        for length in rng.choice(ways):
            found.append((at, length, 60 + rng.randrange(12)))
            at += length
    return found


def ticks(notes: Iterable[Written]) -> dict[tuple[int, int], int]:
    return {
        (round(onset * TICKS_PER_QUARTER), midi): round(length * TICKS_PER_QUARTER) for onset, length, midi in notes
    }


@pytest.mark.parametrize("triplets", [False, True])
@pytest.mark.parametrize("bpm", [60, 80, 100])
def test_note_values_are_told_from_a_human_player_at_a_click(bpm: int, triplets: bool) -> None:
    rng = random.Random(bpm)
    onsets = lengths = total = 0
    for _ in range(8):
        notes = rhythms(rng, triplets=triplets)
        beat = 60 / bpm
        played = [
            Played(at * beat + rng.gauss(0, HUMAN_SPREAD), (at + long) * beat + rng.gauss(0, HUMAN_SPREAD), midi, 70)
            for at, long, midi in notes
        ]
        found = {(note.onset, note.midi): note.duration for note in written_take(played, bpm).notes}
        wanted = ticks(notes)
        onsets += sum(place in found for place in wanted)
        lengths += sum(found.get(place) == length for place, length in wanted.items())
        total += len(wanted)
    assert onsets / total >= 0.99
    assert lengths / total >= 0.97


@pytest.mark.parametrize("triplets", [False, True])
@pytest.mark.parametrize("bpm", [84, 100, 120])
def test_the_tempo_is_told_where_there_was_no_click(bpm: int, triplets: bool) -> None:
    rng = random.Random(bpm)
    notes = rhythms(rng, triplets=triplets)
    played = [
        Played(at * 60 / bpm + rng.gauss(0, HUMAN_SPREAD), (at + 0.9 * long) * 60 / bpm, midi, 70)
        for at, long, midi in notes
    ]
    assert written_take(played).bpm == pytest.approx(bpm, rel=0.01)


def test_a_player_who_drifts_is_followed() -> None:
    at, played = 0.0, []
    for beat in range(64):
        for half in (0, 1):
            played.append(Played(at, at + 0.25, 60 + (beat + half) % 8, 70))
            at += 0.3 * (1 + 0.002 * beat)
    found = written_take(played)
    assert [note.onset for note in found.notes] == [number * TICKS_PER_QUARTER // 2 for number in range(128)]


def test_the_tempo_of_the_click_is_taken_where_it_was_kept() -> None:
    notes = [(beat / 2, 0.5, 60 + beat % 5) for beat in range(32)]
    found = read_song(NAME, take(messages_of(notes, 50), tempo=50)).song
    assert found.tempo == pytest.approx(50, abs=0.1)
    assert notes_of(found) == notes


def test_takes_with_silence_between_them_are_chosen_one_by_one() -> None:
    later = messages_of(SCALE[:4], 100, start=5 + SILENCE + 2)
    data = take([*messages_of(SCALE, 100), *later])
    assert len(tunes_in(NAME, data)) == 2
    with pytest.raises(SeveralTunesError, match="2 takes"):
        read_song(NAME, data)
    assert notes_of(read_song(f"{NAME}#1", data).song) == SCALE
    second = read_song(f"{NAME}#2", data).song
    assert notes_of(second) == SCALE[:4]
    assert second.title.endswith("take 2")
    with pytest.raises(FormatError, match="2 takes"):
        read_song(f"{NAME}#3", data)


def test_a_file_that_was_broken_off_is_read_up_to_there() -> None:
    data = take(messages_of(SCALE, 100))
    reading = read_song(NAME, data[:-9])
    assert CUT_SHORT in reading.warnings
    assert [note[:1] + note[2:] for note in notes_of(reading.song)] == [note[:1] + note[2:] for note in SCALE]


def test_the_pedal_is_left_out_and_said_to_be() -> None:
    pedal = [[0.1, 0xB0, 64, 127], [2.0, 0xB0, 64, 0]]
    reading = read_song(NAME, take(sorted([*messages_of(SCALE, 100), *pedal])))
    assert PEDAL_LEFT_OUT in reading.warnings
    assert notes_of(reading.song) == SCALE


def test_nothing_but_the_pedal_is_a_song_without_a_note() -> None:
    assert not notes_of(read_song(NAME, take([[0.0, 0xB0, 64, 127]])).song)


@pytest.mark.parametrize(
    "data", [b"", b"\n", b"{}", b"[1, 2]\n", b"MThd\0\0", b'{"keyboard": "K"}\n[0, 144, 60, 70]\n']
)
def test_what_the_recorder_has_not_written_is_refused(data: bytes) -> None:
    with pytest.raises(ForeignFileError):
        read_song(NAME, data)


@pytest.mark.parametrize(
    "line", [b"nonsense", b"[0]", b'["a", 144, 60, 70]', b"[-1, 144, 60, 70]", b"[0, 144, 200, 1]"]
)
def test_a_damaged_line_in_the_middle_is_named(line: bytes) -> None:
    first, second, rest = take(messages_of(SCALE, 100)).split(b"\n", 2)
    with pytest.raises(BrokenFileError, match="line 3"):
        read_song(NAME, b"\n".join((first, second, line, rest)))


@given(st.lists(st.tuples(st.floats(0, 30), st.floats(0.01, 4), st.integers(21, 108)), min_size=1, max_size=30))
def test_whatever_is_played_makes_a_song_with_every_key_in_it(keys: list[tuple[float, float, int]]) -> None:
    messages: list[list[float]] = []
    for down, long, midi in keys:
        messages += [[down, 0x90, midi, 70], [down + long, 0x80, midi, 0]]
    data = take(sorted(messages, key=lambda message: message[0]))
    count = len(tunes_in(NAME, data))
    heard: set[int] = set()
    for number in range(1, count + 1):
        song = read_song(f"{NAME}#{number}" if count > 1 else NAME, data).song
        heard |= {midi for _, _, midi in notes_of(song)}
    assert heard == {midi for _, _, midi in keys}
