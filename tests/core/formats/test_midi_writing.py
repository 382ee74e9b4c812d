"""MIDI files written: a song's own notes, a track a hand, and everything found again."""

import io
from collections import Counter

import mido
import pytest
from hypothesis import HealthCheck, given, settings
from msgspec.structs import replace

from core.arranging.performed import performed
from core.formats.midi_reader import MidiReader
from core.formats.midi_writer import MidiWriter
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.golden import check_golden
from tests.helpers.songs import DEMO_SONGS, heron_at_the_sluice, night_ferry
from tests.helpers.strategies import songs

Sounding = tuple[int, int, int, Hand]


def sounding(song: Song) -> Counter[Sounding]:
    return Counter((onset, note.duration, note.pitch.midi, note.hand) for onset, note in song.placed_notes())


def written(song: Song) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(MidiWriter().write("song.mid", song)))


def read_again(song: Song) -> Song:
    return MidiReader().read("song.mid", MidiWriter().write("song.mid", song)).song


@given(songs(with_extras=False))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_note_is_read_again_exactly(song: Song) -> None:
    assert sounding(read_again(song)) == sounding(performed(song))


@given(songs(with_extras=False))
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_parts_and_their_playing_order_are_read_again(song: Song) -> None:
    again = read_again(song)
    assert again.part_onsets == song.part_onsets
    assert again.playing_order == song.playing_order


@given(songs(with_extras=False))
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_track_has_matching_ons_and_offs_and_an_end(song: Song) -> None:
    for track in written(song).tracks:
        held: Counter[tuple[int, int]] = Counter()
        for message in track:
            if message.type == "note_on":
                held[message.channel, message.note] += 1
            elif message.type == "note_off":
                held[message.channel, message.note] -= 1
                assert held[message.channel, message.note] >= 0
        assert not any(held.values())
        assert [message.type for message in track].index("end_of_track") == len(track) - 1


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_demo_song_comes_back_whole(name: str) -> None:
    song = DEMO_SONGS[name]()
    again = read_again(song)
    assert (again.title, again.keys, again.metres, again.tempos, again.pickup, again.length) == (
        song.title,
        song.keys,
        song.metres,
        song.tempos,
        song.pickup,
        song.length,
    )
    assert list(again.placed_chords()) == list(song.placed_chords())
    assert [note.pitch for _, note in again.placed_notes()] == [note.pitch for _, note in song.placed_notes()]


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_a_midi_file_looks_as_it_did(name: str) -> None:
    check_golden(f"formats/{name}.mid", MidiWriter().write(f"{name}.mid", DEMO_SONGS[name]()))


def test_it_is_format_1_with_a_track_of_facts_and_one_a_hand() -> None:
    file = written(night_ferry())
    assert (file.type, file.ticks_per_beat) == (1, TICKS_PER_QUARTER)
    assert [track.name for track in file.tracks] == ["Night Ferry", "Right hand", "Left hand"]
    facts = [message.type for message in file.tracks[0] if message.is_meta]
    assert {"set_tempo", "time_signature", "key_signature", "marker"} <= set(facts)
    assert not any(message.type.startswith("note") for message in file.tracks[0])


def test_parts_are_markers() -> None:
    now, markers = 0, []
    for message in written(night_ferry()).tracks[0]:
        now += message.time
        if message.type == "marker":
            markers.append((now // TICKS_PER_QUARTER, message.text))
    assert markers == [(0, "Part 1"), (8, "Part 2"), (20, "Part 3")]


def test_a_pick_up_is_a_short_first_bar_for_other_programs() -> None:
    now, metres = 0, []
    for message in written(heron_at_the_sluice()).tracks[0]:
        now += message.time
        if message.type == "time_signature":
            metres.append((now, message.numerator, message.denominator))
    assert metres[:2] == [(0, 1, 8), (5_040, 6, 8)]


def test_a_grace_note_is_heard_and_still_a_grace_note() -> None:
    grace, main = Note(0, 0, Pitch.parse("D5")), Note(0, 10_080, Pitch.parse("E5"))
    song = Song("Grace", (Part(40_320, (grace, main)),))
    lengths = [message.time for message in written(song).tracks[1] if message.type == "note_off"]
    assert min(lengths) > 0
    assert sounding(read_again(song)) == sounding(song)


def test_notes_together_on_one_key_end_each_at_its_own_time() -> None:
    notes = [Note(0, length, Pitch.parse("C4")) for length in (5_040, 20_160, 40_320)]
    song = Song("Unison", (Part(40_320, in_order([*notes, Note(10_080, 10_080, Pitch.parse("C4"))])),))
    assert sounding(read_again(song)) == sounding(song)


def test_the_left_hand_has_its_own_track_and_channel() -> None:
    part = Part(40_320, (Note(0, 10_080, Pitch.parse("C3"), Hand.LEFT), Note(0, 10_080, Pitch.parse("E5"))))
    file = written(Song("Both", (part,)))
    channels = [{message.channel for message in track if message.type == "note_on"} for track in file.tracks]
    assert channels == [set(), {0}, {1}]


def test_a_title_in_any_script_is_kept() -> None:
    song = replace(night_ferry(), title="Ночной паром ♭")
    assert read_again(song).title == "Ночной паром ♭"
