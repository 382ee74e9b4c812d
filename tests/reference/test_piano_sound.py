"""The built-in piano's rendered sound against outside figures.

- A4 = 440 Hz = MIDI number 69, equal temperament: ISO 16; MIDI 1.0.
- Full scale: no sample of a 16-bit recording may reach it.
- Loudness: K weighting of ITU-R BS.1770.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from msgspec.structs import replace
from numpy.typing import NDArray

from app.engine.piano_samples import piano_samples
from app.resources import demo_songs
from core.formats.registry import read_song
from core.performance.schedule import Schedule, TimedEvent, make_schedule
from core.performance.selection import run_through
from core.song.note import Hand
from core.sound.bank import SampleBank
from core.sound.loudness import loudness_db
from core.sound.piano import Piano, Sound, render_schedule
from core.sound.piano_model import RATE
from tests.helpers.listening import cents, onset_frames, partial_frequency


@pytest.fixture(scope="module")
def bank() -> SampleBank:
    return piano_samples()


def key(bank: SampleBank, midi: int, velocity: int = 80, seconds: float = 1.5) -> Sound:
    bank.prepare(midi)
    piano = Piano(bank)
    piano.note_on(midi, velocity)
    return piano.render(int(seconds * RATE))


def test_a4_sounds_at_440_hertz(bank: SampleBank) -> None:
    found, _ = partial_frequency(key(bank, 69, seconds=3.0), RATE, 440.0)
    assert abs(cents(found, 440.0)) < 2


@pytest.mark.parametrize("velocity", [40, 80, 112])
@pytest.mark.parametrize("midi", [43, 50, 57, 60, 64, 71, 76, 81, 88])
def test_keys_are_in_tune_within_two_cents(bank: SampleBank, midi: int, velocity: int) -> None:
    """By the lowest partial alone and by the lowest eight weighted by their power."""
    nominal = 440 * 2 ** ((midi - 69) / 12)
    sound = key(bank, midi, velocity)
    rows = [(number, *partial_frequency(sound, RATE, number * nominal)) for number in range(1, 9)]
    deviations = [cents(hertz, number * nominal) for number, hertz, _ in rows]
    powers = [power for _, _, power in rows]
    assert abs(deviations[0]) < 2
    assert abs(np.average(deviations, weights=powers)) < 2


def test_neighbouring_keys_are_alike_in_loudness(bank: SampleBank) -> None:
    levels = [loudness_db(key(bank, midi, seconds=0.5), RATE) for midi in range(55, 77)]
    assert max(abs(after - before) for before, after in pairwise(levels)) < 0.6


def test_ten_fingers_at_full_force_stay_below_full_scale(bank: SampleBank) -> None:
    keys = (36, 43, 48, 52, 55, 60, 64, 67, 72, 76)
    events = tuple(TimedEvent(0.0, "on", midi, 127) for midi in keys)
    sound = render_schedule(Schedule(events, 1.0), Piano(bank))
    assert 0.5 < np.abs(sound).max() < 32_766.5 / 32_767


def test_notes_are_found_in_the_sound_at_their_times_to_a_millisecond(bank: SampleBank) -> None:
    times = (0.2, 0.7, 1.2345, 1.6, 2.25)
    events = [
        event
        for seconds, midi in zip(times, (60, 64, 67, 72, 76), strict=True)
        for event in (TimedEvent(seconds, "on", midi, 90), TimedEvent(seconds + 0.2, "off", midi, 0))
    ]
    sound = render_schedule(Schedule(tuple(sorted(events, key=lambda event: event.seconds)), 2.6), Piano(bank))
    found = onset_frames(sound, RATE, quiet=0.002)
    assert len(found) == len(times)
    assert max(abs(frame / RATE - seconds) for frame, seconds in zip(found, times, strict=True)) < 0.001


def test_no_key_clicks_when_it_is_struck_let_go_or_ends(bank: SampleBank) -> None:
    """A click is a step that the note does not make while it is held, or a start that is not from nothing."""
    for midi in (48, 60, 72):
        bank.prepare(midi)
        piano = Piano(bank)
        piano.note_on(midi, 80)
        held = piano.render(RATE // 4)
        piano.note_off(midi, piano.frame)
        after = piano.render(RATE)
        steepest = np.abs(np.diff(held, axis=0)).max()
        assert np.abs(held[: RATE // 5000]).max() < 0.03 * np.abs(held).max()
        assert np.abs(np.diff(np.concatenate((held[-2:], after)), axis=0)).max() <= steepest


@pytest.mark.parametrize("hand", list(Hand))
def test_the_notes_of_a_rendered_run_through_are_found_at_their_times(bank: SampleBank, hand: Hand) -> None:
    """Parts 1 and 2 of a demo lesson: the attack of each note, heard alone, fits the render best within a millisecond.

    Attacks are compared by what is bright in them, which what rings on from before has lost; any place 20 ms either
    way is tried.
    """
    path = demo_songs()[0]
    song = read_song(path.name, path.read_bytes()).song
    schedule = make_schedule(song, replace(run_through(song, 2), hands=frozenset({hand})))
    around, attack = RATE // 50, RATE // 25
    silence = np.zeros((around, 2), dtype=np.float32)
    sound = bright(np.concatenate((silence, render_schedule(schedule, Piano(bank)))))
    strikes = [event for event in schedule.events if event.kind == "on"]
    assert len(strikes) > 8
    for event in strikes:
        alone = bright(key(bank, event.midi, event.velocity, seconds=0.1))[:attack]
        frame = round(event.seconds * RATE)
        fit = np.correlate(sound[frame : frame + 2 * around + attack], alone, "valid")
        assert abs(int(np.argmax(fit)) - around) / RATE < 0.001


def bright(sound: Sound) -> NDArray[np.float64]:
    """Both channels together, twice differenced: high tones stand out by 12 dB an octave."""
    return np.diff(sound.mean(axis=1, dtype=np.float64), n=2, prepend=(0.0, 0.0))
