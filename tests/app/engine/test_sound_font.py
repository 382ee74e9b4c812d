"""A user's own SoundFont in place of the piano, tried with a file made here, where its library is installed."""

from __future__ import annotations

import sys
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from app.engine.protocol import ChooseSoundFont, Load, Play, PressKey, SentEvent, Stop
from app.engine.sound_font import SoundFont
from core.performance.schedule import Schedule, TimedEvent
from core.song.errors import DeviceError
from core.sound.instrument import instrument_blocks
from core.sound.piano import Piano
from core.sound.piano_model import RATE
from tests.app.engine.fakes import Bench, prepared_bank, two_notes
from tests.helpers.tiny_sound_font import PERIOD, ROOT, tiny_sound_font

LIBRARY = find_spec("tinysoundfont") is not None
with_library = pytest.mark.skipif(not LIBRARY, reason="the extra “soundfont” is not installed")


@pytest.fixture
def font(tmp_path: Path) -> Path:
    path = tmp_path / "tiny.sf2"
    path.write_bytes(tiny_sound_font())
    return path


def onset(sound: np.ndarray) -> int:
    """The frame at which sound begins."""
    return int(np.argmax(np.abs(sound).max(axis=1) > 1e-4))


def pitch(sound: np.ndarray) -> float:
    """Of a sine: its frequency."""
    spectrum = np.abs(np.fft.rfft(sound[:, 0] * np.hanning(len(sound))))
    return float(np.argmax(spectrum)) * RATE / len(sound)


def note(start: float, end: float, midi: int = ROOT) -> tuple[TimedEvent, TimedEvent]:
    return TimedEvent(start, "on", midi, 80), TimedEvent(end, "off", midi, 0)


def rendered(path: Path, *events: TimedEvent) -> np.ndarray:
    font = SoundFont(path, Piano(prepared_bank()))
    return np.concatenate(list(instrument_blocks(Schedule(events, events[-1].seconds), font, 1000)))


@with_library
def test_a_note_begins_at_its_frame_with_its_pitch_and_dies_away(font: Path) -> None:
    sound = rendered(font, *note(0.25, 1.25))
    assert onset(sound) == pytest.approx(0.25 * RATE, abs=PERIOD / 4)
    assert pitch(sound[round(0.3 * RATE) : round(1.2 * RATE)]) == pytest.approx(RATE / PERIOD, abs=2)
    assert np.abs(sound[-500:]).max() < 1e-4
    assert 0.02 < np.abs(sound).max() < 0.7


@with_library
def test_it_is_the_same_however_many_frames_are_asked_for_at_a_time(font: Path) -> None:
    schedule = Schedule(note(0.1013, 0.5), 0.5)
    whole, parts = (
        np.concatenate(list(instrument_blocks(schedule, SoundFont(font, Piano(prepared_bank())), block)))
        for block in (4096, 441)
    )
    assert onset(whole) == onset(parts)


@with_library
def test_the_pedal_holds_what_is_let_go(font: Path) -> None:
    held = rendered(font, TimedEvent(0.0, "pedal", 64, 127), *note(0.0, 0.2), TimedEvent(1.0, "pedal", 64, 0))
    short = rendered(font, *note(0.0, 0.2))
    at = slice(round(0.8 * RATE), round(0.9 * RATE))
    assert np.abs(held[at]).max() > 0.01
    assert len(short) < at.start or np.abs(short[at]).max() < 1e-4


@with_library
def test_a_file_whose_only_sound_has_another_number_is_heard_all_the_same(tmp_path: Path) -> None:
    path = tmp_path / "organ.sf2"
    path.write_bytes(tiny_sound_font(bank=3, preset=19))
    assert np.abs(rendered(path, *note(0.0, 0.5))).max() > 0.02


@with_library
def test_the_engine_plays_through_it_and_clicks_beside_it_until_the_piano_is_wanted_again(
    bench: Bench, font: Path
) -> None:
    bench.do(ChooseSoundFont(str(font)))
    bench.do(Load(1, (SentEvent(0.0, "on", ROOT, 80), SentEvent(1.0, "off", ROOT, 0)), 1.0), Play())
    assert pitch(bench.run(0.9)[4000:]) == pytest.approx(RATE / PERIOD, abs=2)
    bench.do(Stop())
    assert np.abs(bench.run(0.5)[-2000:]).max() < 1e-4
    bench.do(Load(2, (SentEvent(0.0, "click", 76, 110, 9),), 0.5), Play())
    assert np.abs(bench.run(0.3)).max() > 0.01
    bench.do(ChooseSoundFont(""), PressKey(60, 80, True))
    assert np.abs(bench.run(0.2)).max() > 0.01
    assert not bench.troubles


@with_library
def test_any_key_sounds_at_once_since_none_has_to_be_made(bench: Bench, font: Path) -> None:
    bench.do(ChooseSoundFont(str(font)), PressKey(30, 80, True))
    assert np.abs(bench.run(0.1)).max() > 0.01
    bench.do(PressKey(30, 0, False))
    assert np.abs(bench.run(0.5)[-2000:]).max() < 1e-4


@with_library
@pytest.mark.parametrize("content", [None, b"", b"no SoundFont at all", tiny_sound_font()[:300]])
def test_a_file_that_is_missing_or_damaged_is_said_and_the_piano_is_heard(
    bench: Bench, tmp_path: Path, content: bytes | None
) -> None:
    path = tmp_path / "bad.sf2"
    if content is not None:
        path.write_bytes(content)
    bench.do(ChooseSoundFont(str(path)), two_notes(), Play())
    assert np.abs(bench.run(0.3)).max() > 0.01
    assert len(bench.troubles) == 1
    assert str(path) in bench.troubles[0]
    assert "built-in piano is heard" in bench.troubles[0]


def test_a_library_that_is_not_installed_is_said_and_the_piano_is_heard(
    bench: Bench, font: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "tinysoundfont", None)
    with pytest.raises(DeviceError, match="phrasebench\\[soundfont\\]"):
        SoundFont(font, Piano(prepared_bank()))
    bench.do(ChooseSoundFont(str(font)), two_notes(), Play())
    assert np.abs(bench.run(0.3)).max() > 0.01
    assert len(bench.troubles) == 1
