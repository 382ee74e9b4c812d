"""Whole tasks with real MIDI ports: a lesson played in on a keyboard and opened again, a device pulled in mid-play."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import IO

from app.listen.piece import Piece
from app.window.header import Workspace
from tests.helpers.midi_patchbay import KEYBOARD, LISTENER, Patchbay
from tests.helpers.playing_window import PlayingWindow, wait_until_heard, wait_with_window
from tests.journeys.pictures import picture

STAGE_PIANO = "phrasebench-stage-piano"
DEVICE = f"""
import sys, rtmidi
port = rtmidi.MidiIn(rtmidi.API_UNIX_JACK, {STAGE_PIANO!r})
port.set_callback(lambda message, _: print(*message[0], flush=True))
port.open_virtual_port("in")
print("ready", flush=True)
sys.stdin.read()
"""


@contextmanager
def device() -> Iterator[subprocess.Popen[str]]:
    """A stage piano on the server that the environment names; its process says each message that it hears."""
    pipe = subprocess.PIPE
    with subprocess.Popen([sys.executable, "-c", DEVICE], stdin=pipe, stdout=pipe, text=True) as process:
        assert process.stdout is not None
        try:
            assert process.stdout.readline() == "ready\n"
            yield process
        finally:
            process.kill()


def melody(opened: PlayingWindow) -> list[str]:
    return [note.pitch.plain for note in opened.document.song.parts[0].melody]


def has_changed(opened: PlayingWindow, before: list[str]) -> bool:
    return melody(opened) != before


def test_a_lesson_is_played_in_on_a_keyboard_and_what_was_played_opens_as_another(
    playing: PlayingWindow, ports: Patchbay, tmp_path: Path
) -> None:
    window = playing.window
    window.new_lesson()
    page = window._new_lesson
    assert page is not None
    page.begin.click()
    playing.settings.change(keyboard=KEYBOARD)
    wait_until_heard(playing, ports)
    window.menus.entry.trigger()
    played = (60, 62, 64, 67)
    for midi in played:
        before = melody(playing)
        ports.press(0x90, midi, 70)
        ports.press(0x80, midi, 64)
        wait_with_window(partial(has_changed, playing, before))
    assert melody(playing) == ["C4", "D4", "E4", "G4"]
    picture(window, tmp_path, "played_in")
    playing.settings.change(keyboard="")
    (take,) = playing.settings.folder_of_playing.iterdir()
    wait_with_window(lambda: take.read_text().count("\n") > 2 * len(played))
    playing.document.undo_stack.setClean()
    opened: list[object] = []
    window.files.opened.connect(lambda: opened.append(True))
    window.files.open(take)
    wait_with_window(lambda: bool(opened))
    keys = {note.pitch.midi for part in playing.document.song.parts for note in part.notes}
    assert set(played) <= keys
    picture(window, tmp_path, "take_opened")


def test_a_device_pulled_in_the_middle_of_playing_is_said_and_playing_goes_on_elsewhere(
    playing: PlayingWindow, ports: Patchbay, tmp_path: Path
) -> None:
    window = playing.window
    with device() as stage_piano:
        wait_with_window(lambda: STAGE_PIANO in " ".join(window.player.outputs))
        name = next(name for name in window.player.outputs if STAGE_PIANO in name)
        playing.settings.change(output=name, again=True)
        window.show_workspace(Workspace.LISTEN)
        window.player.play(Piece("song"))
        assert stage_piano.stdout is not None
        wait_with_window(partial(hears_a_key, stage_piano.stdout))
        stage_piano.kill()
        stage_piano.wait()
        wait_with_window(lambda: "has gone" in window.bar.text)
        picture(window, tmp_path, "pulled")
    assert window.player.piece == Piece("song"), "time goes on"
    with device() as stage_piano:
        assert stage_piano.stdout is not None
        wait_with_window(lambda: "is back" in window.bar.text)
        wait_with_window(partial(hears_a_key, stage_piano.stdout))
        picture(window, tmp_path, "plugged_in_again")
        playing.settings.change(output=LISTENER)
        wait_with_window(lambda: bool(ports.keys_down))
    window.player.stop()
    wait_with_window(lambda: not ports.keys_down)


def hears_a_key(said: IO[str]) -> bool:
    """Whether the device says that a key went down; waits for its next message."""
    return said.readline().startswith("144 ")
