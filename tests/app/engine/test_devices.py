"""Ports that come and go, the keyboard that is heard, and what is kept of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.engine.midi_system import SUSTAIN
from app.engine.protocol import ChooseInput, Latency, Load, Play, Ports, Record, SentEvent
from app.engine.recorder import ENDING
from core.formats.registry import read_song
from tests.app.engine.fakes import Bench, heard_through, two_notes, wait_until


def unplug(bench: Bench, name: str) -> None:
    bench.midi.output_names = tuple(one for one in bench.midi.output_names if one != name)
    bench.midi.input_names = tuple(one for one in bench.midi.input_names if one != name)
    bench.engine.look_for_ports()


def plug_in(bench: Bench, name: str) -> None:
    bench.midi.output_names = (*bench.midi.output_names, name)
    bench.midi.input_names = (*bench.midi.input_names, name)
    bench.engine.look_for_ports()


def recordings(folder: Path) -> list[list[object]]:
    """The messages of every recording, each a list of seconds and bytes."""
    texts = (path.read_text().split("\n")[1:-1] for path in sorted(folder.glob(f"*{ENDING}")))
    return [json.loads(line) for lines in texts for line in lines]


def test_a_port_that_comes_is_reported_once(bench: Bench) -> None:
    plug_in(bench, "Stage piano")
    bench.engine.look_for_ports()
    reports = [report for report in bench.reports if isinstance(report, Ports)]
    assert reports == [Ports(("Keyboard", "Synth", "Stage piano"), ("Keyboard", "Stage piano"))]


def test_an_output_that_is_unplugged_and_plugged_in_again_is_heard_again_while_playing_went_on(bench: Bench) -> None:
    bench.do(heard_through("Synth"), two_notes(length=4.0), Play())
    bench.run(0.5)
    first = bench.port()
    unplug(bench, "Synth")
    assert first.closed
    assert "“Synth” has gone" in bench.troubles[-1]
    bench.run(1.0)
    plug_in(bench, "Synth")
    assert "“Synth” is back" in bench.troubles[-1]
    bench.run(1.0)
    assert bench.port() is not first
    assert (0x90, 62, 70) in bench.port().messages
    assert bench.positions[-1].seconds == pytest.approx(2.5, abs=0.1)


def test_an_output_chosen_before_it_is_there_is_taken_up_when_it_comes(bench: Bench) -> None:
    bench.do(heard_through("Stage piano"))
    assert "is not there" in bench.troubles[-1]
    plug_in(bench, "Stage piano")
    assert "Stage piano" in bench.midi.opened


def test_choosing_another_output_forgets_the_lost_one(bench: Bench) -> None:
    bench.do(heard_through("Synth"))
    unplug(bench, "Synth")
    bench.do(heard_through("piano"))
    plug_in(bench, "Synth")
    assert len(bench.midi.opened["Synth"]) == 1


def test_a_keyboard_is_listened_to_again_when_it_is_back(bench: Bench) -> None:
    bench.do(ChooseInput("Keyboard"))
    unplug(bench, "Keyboard")
    assert "“Keyboard” has gone" in bench.troubles[-1]
    bench.midi.heard = None
    plug_in(bench, "Keyboard")
    assert bench.midi.heard is not None


def test_a_listing_that_disturbs_is_left_alone_while_something_plays(bench: Bench) -> None:
    bench.midi.listing_disturbs = True
    bench.do(heard_through("Synth"), two_notes(length=4.0), Play())
    unplug(bench, "Synth")
    assert not bench.port().closed


def test_a_keyboard_is_heard_through_the_piano_while_a_port_plays(bench: Bench) -> None:
    bench.do(heard_through("Synth"), ChooseInput("Keyboard", heard=True))
    assert bench.midi.heard is not None
    assert not bench.run(0.1).any()
    bench.midi.heard((0x90, 60, 80))
    assert bench.run(0.1).any()


def test_the_keyboards_sustain_pedal_holds_what_is_let_go(bench: Bench) -> None:
    bench.do(ChooseInput("Keyboard", heard=True))
    heard = bench.midi.heard
    assert heard is not None
    loud = []
    for pedal in (0, 127):
        heard((0xB0, SUSTAIN, pedal))
        heard((0x90, 60, 80))
        bench.run(0.05)
        heard((0x80, 60, 64))
        loud.append(abs(bench.run(0.6)[-2000:]).max())
        heard((0xB0, SUSTAIN, 0))
        bench.run(2.0)
    assert loud[1] > 10 * loud[0]


def test_a_keyboard_that_is_not_to_be_heard_is_silent(bench: Bench) -> None:
    bench.do(ChooseInput("Keyboard"))
    assert bench.midi.heard is not None
    bench.midi.heard((0x90, 60, 80))
    assert not bench.run(0.1).any()


def test_everything_played_in_is_on_disk_at_once_with_its_time(bench: Bench, tmp_path: Path) -> None:
    bench.do(Record(str(tmp_path / "played")), ChooseInput("Keyboard"))
    heard = bench.midi.heard
    assert heard is not None
    played = [(0x90, 60, 80), (0xB0, SUSTAIN, 127), (0x80, 60, 64)]
    for message in played:
        heard(message)
    wait_until(lambda: len(recordings(tmp_path / "played")) == len(played))
    kept = recordings(tmp_path / "played")
    assert [tuple(one[1:]) for one in kept] == played
    times = [float(str(one[0])) for one in kept]
    assert times[0] == 0.0
    assert times == sorted(times)


def test_a_take_played_to_a_click_says_its_tempo_and_opens_at_it(bench: Bench, tmp_path: Path) -> None:
    bench.do(ChooseInput("Keyboard"), Record(str(tmp_path), 72.0))
    assert bench.midi.heard is not None
    for message in ((0x90, 60, 80), (0x80, 60, 64), (0x90, 62, 80), (0x80, 62, 64)):
        bench.midi.heard(message)
    wait_until(lambda: len(recordings(tmp_path)) == 4)
    bench.do(Record(str(tmp_path)))
    bench.midi.heard((0x90, 60, 80))
    wait_until(lambda: len(recordings(tmp_path)) == 5)
    heads = [json.loads(path.read_text().splitlines()[0]) for path in sorted(tmp_path.iterdir())]
    (path,) = (path for path in tmp_path.iterdir() if '"tempo": 72.0' in path.read_text())
    assert sorted("tempo" in head for head in heads) == [False, True]
    song = read_song(path.name, path.read_bytes()).song
    assert {note.pitch.midi for part in song.parts for note in part.notes} == {60, 62}


def test_a_keyboard_that_is_not_played_leaves_no_file(bench: Bench, tmp_path: Path) -> None:
    bench.do(Record(str(tmp_path)), ChooseInput("Keyboard"), ChooseInput(""))
    assert not list(tmp_path.iterdir())


def test_a_folder_that_cannot_be_written_is_said_and_the_keyboard_still_heard(bench: Bench, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    bench.do(Record(str(tmp_path / "file")), ChooseInput("Keyboard", heard=True))
    assert bench.midi.heard is not None
    bench.midi.heard((0x90, 60, 80))
    wait_until(lambda: any("cannot be written" in sentence for sentence in bench.troubles))
    assert bench.run(0.1).any()


def test_a_key_held_on_the_keyboard_is_let_go_when_everything_is_silenced(bench: Bench) -> None:
    bench.do(ChooseInput("Keyboard", heard=True), Load(1, (SentEvent(0.0, "on", 62, 70),), 1.0))
    assert bench.midi.heard is not None
    bench.midi.heard((0x90, 60, 80))
    bench.run(0.1)
    bench.engine.close()
    assert not bench.run(0.5)[-100:].any()


def test_little_sound_is_queued_where_latency_is_to_be_low_and_playing_goes_on(bench: Bench) -> None:
    bench.do(two_notes(length=4.0), Play())
    bench.run(0.5)
    bench.do(Latency(low=True))
    assert (bench.card.opened, bench.card.closed, bench.card.queued_seconds) == (2, 1, 0.01)
    bench.run(0.5)
    assert bench.positions[-1].seconds == pytest.approx(0.99, abs=0.05)
    bench.do(Latency(low=True))
    assert bench.card.opened == 2
    bench.do(Latency(low=False))
    assert bench.card.queued_seconds == 0.04


def test_the_instruments_own_keys_are_silent_while_it_is_played_through_where_that_is_wanted(bench: Bench) -> None:
    bench.do(heard_through("Synth", local_off=True))
    assert bench.port().messages[0] == (0xB0, 122, 0)
    bench.do(heard_through("piano"))
    assert bench.port().messages[-1] == (0xB0, 122, 127)
    bench.do(heard_through("Keyboard"))
    assert not any(message[1] == 122 for message in bench.port("Keyboard").messages)
