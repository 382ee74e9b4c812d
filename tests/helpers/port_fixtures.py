"""Fixtures for tests that play through real MIDI ports."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from tests.helpers.midi_patchbay import Patchbay, patchbay
from tests.helpers.playing_window import PlayingWindow, playing_window
from tests.helpers.songs import night_ferry


@pytest.fixture
def ports(monkeypatch: pytest.MonkeyPatch) -> Iterator[Patchbay]:
    """Ports of its own, which this test and the engines it starts can reach; the sound card is left alone."""
    with patchbay() as found:
        for name, value in found.environment.items():
            monkeypatch.setenv(name, value)
        monkeypatch.setenv("PHRASEBENCH_SOUND", "null")
        yield found


@pytest.fixture
def playing(qapp: QApplication, ports: Patchbay, tmp_path: Path) -> Iterator[PlayingWindow]:
    """The real window on a demo lesson, with a real engine on those ports."""
    assert qapp is not None
    assert ports.environment
    with playing_window(night_ferry(), tmp_path) as opened:
        yield opened
