"""MIDI and MusicXML files hold a song as it is performed; the lesson file keeps the plain version."""

from __future__ import annotations

import io
from collections import Counter
from xml.etree import ElementTree as ET

import mido
import pytest
from msgspec.structs import replace

from core.arranging.left_hand import PATTERNS
from core.arranging.melody_rhythm import RHYTHMS
from core.arranging.pedal import pedal_marks
from core.arranging.performed import performed
from core.arranging.right_hand import HARMONIES
from core.edits.set_teaching import set_harmony, set_pattern, set_pedal, set_rhythm
from core.formats.registry import read_song, write_song
from core.performance.schedule import make_schedule
from core.performance.selection import whole_song
from core.song.note import Hand
from core.song.song import Song
from tests.helpers.songs import DEMO_SONGS, lamplighters_waltz, night_ferry

WAYS = (
    *((pattern.name, "none", "written") for pattern in PATTERNS[1:]),
    *(("block", harmony.name, "written") for harmony in HARMONIES[1:]),
    *(("block", "none", rhythm.name) for rhythm in RHYTHMS[1:]),
    ("octaves", "sixths", "early"),
)


def chosen(song: Song, pattern: str, harmony: str, rhythm: str) -> Song:
    for number in range(1, len(song.parts) + 1):
        song = set_rhythm(set_harmony(set_pattern(song, number, pattern), number, harmony), number, rhythm)
    return song


def struck(song: Song) -> Counter[tuple[int, int, Hand]]:
    return Counter((onset, note.pitch.midi, note.hand) for onset, note in song.placed_notes())


@pytest.mark.parametrize(
    ("ending", "way"), [*(("mid", way) for way in WAYS), *(("musicxml", way) for way in WAYS[::5])]
)
def test_a_file_holds_the_notes_that_are_played(ending: str, way: tuple[str, str, str]) -> None:
    song = chosen(lamplighters_waltz(), *way)
    found = read_song(f"a.{ending}", write_song(f"a.{ending}", song)).song
    assert struck(found) == struck(performed(song))
    schedule = make_schedule(replace(song, playing_order=()), whole_song(replace(song, playing_order=())))
    keys = {(event.part, event.tick, event.midi) for event in schedule.events if event.kind == "on"}
    written = {
        (number, note.onset, note.pitch.midi)
        for number, part in enumerate(performed(song).parts, 1)
        for note in part.notes
        if not note.is_grace
    }
    assert keys <= written


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_song_without_embellishments_is_written_as_it_is(name: str) -> None:
    song = DEMO_SONGS[name]()
    plain = chosen(song, "block", "none", "written")
    assert performed(plain) is plain


def test_the_plain_version_is_kept_by_the_lesson_file() -> None:
    song = set_pedal(chosen(night_ferry(), "octaves", "thirds", "late"), 2, True)
    found = read_song("a.lesson", write_song("a.lesson", song)).song
    assert [part.notes for part in found.parts] == [part.notes for part in night_ferry().parts]
    assert [part.teaching for part in found.parts] == [part.teaching for part in song.parts]


def test_what_is_written_out_is_fingered() -> None:
    notes = performed(chosen(night_ferry(), "octaves", "thirds", "written")).parts[0].notes
    assert all(note.finger for note in notes if note.hand is Hand.LEFT)


def test_one_embellished_part_writes_out_the_chords_of_all() -> None:
    song = performed(set_pattern(night_ferry(), 2, "octaves"))
    assert all(part.hand(Hand.LEFT) for part in song.parts)


def test_the_pedal_is_in_the_midi_file_and_up_at_its_end() -> None:
    song = set_pedal(night_ferry(), 2, True)
    file = mido.MidiFile(file=io.BytesIO(write_song("a.mid", song)))
    down: dict[int, int] = {}
    changes = 0
    for track in file.tracks:
        for message in track:
            if message.type == "control_change" and message.control == 64:
                down[message.channel] = message.value
                changes += 1
    assert changes == 2 * 2 * len(pedal_marks(song, 2))
    assert set(down.values()) == {0}


def test_the_pedal_is_written_with_changes_and_a_stop_in_musicxml() -> None:
    song = night_ferry()
    for number in (1, 2, 3):
        song = set_pedal(song, number, True)
    root = ET.fromstring(write_song("a.musicxml", song))
    signs = [pedal.get("type") for pedal in root.iter("pedal")]
    marks = [mark for number in (1, 2, 3) for mark in pedal_marks(song, number)]
    assert signs[0] == "start"
    assert signs[-1] == "stop"
    assert signs.count("start") == signs.count("stop")
    assert signs.count("start") + signs.count("change") == len(marks)
