"""Every trouble that the engine reports can be said in another language."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from app.engine import piano_samples
from app.engine.engine import SLEPT
from app.engine.midi_system import NoMidi, cannot_be_opened
from app.engine.protocol import ChooseInput, ChooseOutputs, ChooseSoundFont, Latency, Play, Speed
from core.performance.output import Output
from core.song.errors import DeviceError
from tests.app.engine.fakes import Bench, heard_through, two_notes
from tests.app.engine.test_devices import plug_in, unplug
from tests.helpers.open_places import open_places, words_unsaid

NAMES = {"Synth", "Keyboard", "Stage", "piano"}
OF_THE_FAKES = ("The port has gone.", "No sound card answers.")
"""What the devices made for tests say themselves."""


def unsaid_troubles(bench: Bench) -> list[str]:
    text = " ".join(bench.troubles)
    for sentence in OF_THE_FAKES:
        text = text.replace(sentence, "")
    return [word for word in words_unsaid(text) if word not in NAMES]


def come_and_gone(bench: Bench) -> None:
    bench.do(heard_through("Synth"), two_notes(length=4.0), Play())
    bench.run(0.5)
    unplug(bench, "Synth")
    plug_in(bench, "Synth")
    bench.do(ChooseOutputs((Output("Keyboard"), Output("Synth"))))
    unplug(bench, "Synth")


def failing(bench: Bench) -> None:
    bench.do(ChooseOutputs((Output("Keyboard"), Output("Synth"))), two_notes(length=4.0), Play())
    bench.port("Synth").broken = True
    bench.run(2.5)
    bench.port("Keyboard").broken = True
    bench.run(2.0)


def not_there(bench: Bench) -> None:
    bench.do(heard_through("Stage piano"), ChooseInput("Stage piano"))
    bench.midi.output_names = bench.midi.input_names = ()
    bench.do(heard_through("Stage piano"), ChooseInput("Stage piano"))


def keyboard_gone(bench: Bench) -> None:
    bench.do(ChooseInput("Keyboard"))
    unplug(bench, "Keyboard")
    plug_in(bench, "Keyboard")


def card_gone(bench: Bench) -> None:
    bench.do(two_notes(length=4.0), Play())
    bench.card.answers = False
    bench.run(2.0)


def slept(bench: Bench) -> None:
    bench.do(heard_through("Synth"), two_notes(length=4.0), Play())
    bench.run(0.5)
    bench.clock.now += 9000
    bench.engine.tick()
    assert any(SLEPT in trouble for trouble in bench.troubles)


def no_sound_font(bench: Bench) -> None:
    bench.do(ChooseSoundFont("7"))


def too_fast(bench: Bench) -> None:
    bench.do(Speed(9.0), Latency(True))


@pytest.mark.parametrize(
    "happens", [come_and_gone, failing, not_there, keyboard_gone, card_gone, slept, no_sound_font, too_fast]
)
def test_a_trouble_is_said(happens: Callable[[Bench], None], make_bench: Callable[..., Bench]) -> None:
    with open_places():
        bench = make_bench()
        happens(bench)
    assert bench.troubles
    assert unsaid_troubles(bench) == []


def test_a_busy_port_is_said_whichever_way_it_goes() -> None:
    with open_places():
        assert words_unsaid(f"{cannot_be_opened('7', 'output')} {cannot_be_opened('7', 'input')}") == []
        with pytest.raises(DeviceError, match=r"^7\.$"):
            NoMidi("7.").open_output("7")


def test_missing_samples_are_said(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def gone(_name: str) -> Path:
        raise FileNotFoundError(2, os.strerror(2), str(tmp_path))

    monkeypatch.setattr(piano_samples, "asset_path", gone)
    with open_places(), pytest.raises(DeviceError) as error:
        piano_samples.piano_samples()
    assert words_unsaid(str(error.value)) == []
