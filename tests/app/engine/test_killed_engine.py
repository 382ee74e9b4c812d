"""The engine killed in mid-note under a real window, on real MIDI ports."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from app.engine.midi_system import ALL_NOTES_OFF, CHANNELS, SUSTAIN
from app.listen.piece import Piece
from tests.helpers.midi_patchbay import LISTENER, Patchbay
from tests.helpers.playing_window import PlayingWindow, playing_window, wait_with_window
from tests.helpers.songs import night_ferry


@pytest.fixture
def playing(qapp: QApplication, ports: Patchbay, tmp_path: Path) -> Iterator[PlayingWindow]:
    """A window that plays through the listener, a key being down there."""
    assert qapp is not None
    with playing_window(night_ferry(), tmp_path) as opened:
        opened.settings.change(output=LISTENER)
        opened.window.player.play(Piece("song"))
        wait_with_window(lambda: bool(ports.keys_down))
        yield opened


def test_an_engine_killed_in_mid_note_is_started_again_and_first_silences_the_port(
    playing: PlayingWindow, ports: Patchbay
) -> None:
    killed = playing.engine_process
    os.kill(killed, signal.SIGKILL)
    left = len(ports.messages)
    every_channel = {(0xB0 | channel, what, 0) for channel in range(CHANNELS) for what in (SUSTAIN, ALL_NOTES_OFF)}
    wait_with_window(lambda: every_channel <= set(ports.messages[left:]))
    assert playing.engine_process != killed
    assert not [message for message in ports.messages[left:] if message[0] & 0xF0 == 0x90]
    assert playing.window.player.piece is None
    assert "started again" in playing.window.bar.text
    ports.heard.clear()
    playing.window.player.play(Piece("part", 2))
    wait_with_window(lambda: bool(ports.keys_down))
    playing.window.player.stop()
    wait_with_window(lambda: not ports.keys_down)
