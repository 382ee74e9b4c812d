"""Whole tasks with real MIDI ports: a lesson played in on a keyboard, and what was played opened as another."""

from __future__ import annotations

import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from tests.helpers.midi_patchbay import KEYBOARD, Patchbay, patchbay
from tests.helpers.playing_window import PlayingWindow, playing_window, wait_with_window
from tests.helpers.songs import night_ferry
from tests.journeys.pictures import picture

KNOCK_SECONDS = 0.1


@pytest.fixture
def ports(monkeypatch: pytest.MonkeyPatch) -> Iterator[Patchbay]:
    with patchbay() as found:
        for name, value in found.environment.items():
            monkeypatch.setenv(name, value)
        monkeypatch.setenv("PHRASEBENCH_SOUND", "null")
        yield found


@pytest.fixture
def playing(qapp: QApplication, ports: Patchbay, tmp_path: Path) -> Iterator[PlayingWindow]:
    assert qapp is not None
    assert ports.environment
    with playing_window(night_ferry(), tmp_path) as opened:
        yield opened


def wait_until_heard(opened: PlayingWindow, ports: Patchbay) -> None:
    """A port that has just been opened hears nothing of its first periods: knock until it does."""
    heard: list[int] = []
    opened.engine.key.connect(lambda midi, *_: heard.append(midi))

    knocked = [float("-inf")]

    def knock() -> bool:
        if time.monotonic() - knocked[0] > KNOCK_SECONDS:
            knocked[0] = time.monotonic()
            ports.press(0x90, 108, 1)
            ports.press(0x80, 108, 0)
        return 108 in heard

    wait_with_window(knock)
    ports.press(0x90, 21, 1)
    ports.press(0x80, 21, 0)
    wait_with_window(lambda: heard[-2:] == [21, 21])


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
