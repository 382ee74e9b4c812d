"""Keys, pedal and metronome mixed to sound."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.performance.schedule import Schedule, TimedEvent
from core.sound.bank import SampleBank
from core.sound.piano import (
    BEND,
    MOST_SYMPATHETIC,
    MOST_VOICES,
    RELEASE_LEVEL,
    Piano,
    Sound,
    bent,
    render_blocks,
    render_schedule,
)
from core.sound.piano_model import RATE, frequency
from tests.core.sound.banks import sine_bank
from tests.helpers.listening import level_db, onset_frames, partial_frequency


@pytest.fixture(scope="module")
def bank() -> SampleBank:
    bank = sine_bank(2.0)
    bank.prepare_all(range(48, 92))
    return bank


def played(piano: Piano, seconds: float) -> Sound:
    return piano.render(int(seconds * RATE))


def largest_step(sound: Sound) -> float:
    return float(np.abs(np.diff(sound, axis=0)).max())


def test_a_key_sounds_from_its_frame_on(bank: SampleBank) -> None:
    piano = Piano(bank)
    piano.note_on(60, 80, 1000)
    sound = played(piano, 0.2)
    assert not sound[:1000].any()
    assert sound[1001:1100].any()


def test_a_key_that_is_not_prepared_is_silent(bank: SampleBank) -> None:
    piano = Piano(bank)
    piano.note_on(30, 80)
    assert not played(piano, 0.1).any()


def test_what_is_heard_does_not_depend_on_how_many_frames_are_asked_for(bank: SampleBank) -> None:
    def play(blocks: list[int]) -> Sound:
        piano = Piano(bank)
        piano.note_on(60, 90, 100)
        piano.note_on(64, 60, 777)
        piano.pedal(True, 5000)
        piano.note_off(60, 6000)
        piano.note_on(60, 100, 9000)
        piano.click(True, 90, 9500)
        piano.pedal(False, 15000)
        piano.note_off(64, 16000)
        return np.concatenate([piano.render(block) for block in blocks])

    whole = play([44100])
    pieces = play([441] * 100)
    odd = play([1, 99, 1000, 17, 2983, 40000])
    assert np.abs(whole - pieces).max() < 1e-6
    assert np.abs(whole - odd).max() < 1e-6


def test_letting_go_damps_within_its_time_and_without_a_click(bank: SampleBank) -> None:
    piano = Piano(bank)
    piano.note_on(60, 80)
    piano.note_off(60, RATE // 2)
    sound = played(piano, 1.5)
    assert level_db(sound, RATE, 0.85) < level_db(sound, RATE, 0.44) - 55
    assert largest_step(sound[RATE // 2 - 50 :]) <= largest_step(sound[: RATE // 2])
    assert not piano.busy


def test_the_pedal_holds_keys_that_are_let_go_until_it_is_lifted(bank: SampleBank) -> None:
    piano = Piano(bank)
    piano.note_on(60, 80)
    piano.pedal(True, 100)
    piano.note_off(60, RATE // 4)
    piano.pedal(False, RATE)
    sound = played(piano, 2)
    assert level_db(sound, RATE, 0.8) > level_db(sound, RATE, 0.2) - 12
    assert level_db(sound, RATE, 1.4) < level_db(sound, RATE, 0.9) - 55


def test_lifting_the_pedal_leaves_held_keys_sounding(bank: SampleBank) -> None:
    piano = Piano(bank)
    piano.note_on(60, 80)
    piano.pedal(True, 100)
    piano.pedal(False, RATE // 2)
    assert level_db(played(piano, 1), RATE, 0.8) > -50


def test_the_highest_keys_have_no_dampers(bank: SampleBank) -> None:
    piano = Piano(bank)
    piano.note_on(90, 80)
    piano.note_off(90, 1000)
    damped = Piano(bank)
    damped.note_on(88, 80)
    damped.note_off(88, 1000)
    assert level_db(played(piano, 0.4), RATE, 0.25) > level_db(played(damped, 0.4), RATE, 0.25) + 20


def test_no_more_than_32_voices_sound_and_the_newest_are_kept(bank: SampleBank) -> None:
    piano = Piano(bank)
    for step in range(40):
        piano.note_on(50 + step, 60, step * 100)
    before = played(piano, 0.2)
    assert piano.voices == MOST_VOICES
    assert largest_step(before) < 0.2
    found, _ = partial_frequency(before[-4000:], RATE, 440 * 2 ** ((89 - 69) / 12))
    assert found == pytest.approx(440 * 2 ** ((89 - 69) / 12), rel=0.01)


def test_a_voice_that_is_let_go_makes_room_before_one_that_is_held(bank: SampleBank) -> None:
    piano = Piano(bank)
    for midi in range(50, 82):
        piano.note_on(midi, 60)
    piano.note_off(60, 10)
    piano.note_on(83, 60, 20)
    played(piano, 0.05)
    sounding = {voice.midi for voice in piano._voices}
    assert sounding == {*range(50, 82), 83} - {60}


def test_silencing_everything_is_quick_and_without_a_click(bank: SampleBank) -> None:
    piano = Piano(bank)
    for midi in (60, 64, 67, 90):
        piano.note_on(midi, 100)
    piano.pedal(True)
    piano.note_on(72, 100, RATE)
    first = played(piano, 0.3)
    piano.all_off()
    after = played(piano, 1.2)
    assert largest_step(after) <= largest_step(first)
    assert not after[RATE // 4 :].any()
    assert not piano.busy


def test_a_harder_blow_is_louder_and_brighter(bank: SampleBank) -> None:
    levels, octaves = [], []
    for velocity in (20, 40, 64, 80, 100, 112, 127):
        piano = Piano(bank)
        piano.note_on(60, velocity)
        sound = played(piano, 0.5)
        levels.append(level_db(sound, RATE, 0.05, 0.4))
        hertz = 440 * 2 ** (-9 / 12)
        octaves.append(partial_frequency(sound, RATE, 2 * hertz)[1] / partial_frequency(sound, RATE, hertz)[1])
    assert levels == sorted(levels)
    assert octaves == sorted(octaves)
    assert octaves[2] > 100 * octaves[1]


def test_velocity_nought_lets_a_key_go(bank: SampleBank) -> None:
    piano = Piano(bank)
    piano.note_on(60, 80)
    piano.note_on(60, 0, 1000)
    played(piano, 1)
    assert not piano.busy


def test_full_scale_is_never_passed_and_what_is_quiet_is_left_alone(bank: SampleBank) -> None:
    piano = Piano(bank, level=1.0)
    for midi in range(50, 82):
        piano.note_on(midi, 127)
    assert 0.95 < np.abs(played(piano, 0.5)).max() <= 1.0
    quiet = np.linspace(-BEND, BEND, 101, dtype=np.float32)[:, None].repeat(2, axis=1)
    assert np.array_equal(bent(quiet.copy()), quiet)


def test_a_schedule_is_rendered_with_every_note_at_its_frame(bank: SampleBank) -> None:
    times = (0.25, 0.5, 1.003, 1.5)
    events = [
        event
        for seconds in times
        for event in (TimedEvent(seconds, "on", 60, 90), TimedEvent(seconds + 0.1, "off", 60, 0))
    ]
    sound = render_schedule(Schedule(tuple(events), 2.0), Piano(bank))
    assert len(sound) >= 2 * RATE
    found = onset_frames(sound, RATE, quiet=0.002)
    assert len(found) == len(times)
    for frame, seconds in zip(found, times, strict=True):
        assert abs(frame / RATE - seconds) < 0.001


def test_rendering_goes_on_until_the_last_note_has_died(bank: SampleBank) -> None:
    events = (TimedEvent(0.0, "on", 60, 90), TimedEvent(1.0, "off", 60, 0))
    sound = render_schedule(Schedule(events, 1.0), Piano(bank))
    assert np.abs(sound[-10:]).max() < 1e-4
    assert np.abs(sound[RATE : RATE + 1000]).max() > 1e-3


def test_clicks_are_heard_and_the_accent_is_higher(bank: SampleBank) -> None:
    accented = render_schedule(Schedule((TimedEvent(0.0, "click", 76, 96),), 0.2), Piano(bank))
    plain = render_schedule(Schedule((TimedEvent(0.0, "click", 77, 96),), 0.2), Piano(bank))
    assert partial_frequency(accented[:4000], RATE, 1760)[1] > 100 * partial_frequency(plain[:4000], RATE, 1760)[1]
    assert largest_step(plain[2000:]) < 0.01


ACTIONS = st.one_of(
    st.tuples(st.just("on"), st.integers(50, 90), st.integers(1, 127)),
    st.tuples(st.just("off"), st.integers(50, 90), st.just(0)),
    st.tuples(st.just("pedal"), st.integers(0, 1), st.just(0)),
    st.tuples(st.just("render"), st.integers(1, 5000), st.just(0)),
    st.tuples(st.just("silence"), st.just(0), st.just(0)),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(ACTIONS, max_size=60))
def test_whatever_is_played_stays_inside_full_scale_and_can_be_silenced(actions: list[tuple[str, int, int]]) -> None:
    piano = Piano(SHARED)
    for action, number, velocity in actions:
        if action == "on":
            piano.note_on(number, velocity, piano.frame)
        elif action == "off":
            piano.note_off(number, piano.frame + 10)
        elif action == "pedal":
            piano.pedal(bool(number), piano.frame)
        elif action == "render":
            assert np.abs(piano.render(number)).max() <= 1.0
            assert len(piano._voices) <= MOST_VOICES
        else:
            piano.all_off()
    piano.all_off()
    piano.render(RATE // 2)
    assert not piano.busy
    assert not piano.render(1000).any()


SHARED = sine_bank(0.5)
SHARED.prepare_all(range(50, 91))


def test_blocks_add_up_to_the_whole(bank: SampleBank) -> None:
    schedule = Schedule((TimedEvent(0.1, "on", 60, 90), TimedEvent(0.6, "off", 60, 0)), 1.0)
    whole = render_schedule(schedule, Piano(bank))
    pieces = np.concatenate(list(render_blocks(schedule, Piano(bank), 4096)))
    shorter = min(len(whole), len(pieces))
    assert np.abs(whole[:shorter] - pieces[:shorter]).max() < 1e-6


def test_a_damper_makes_a_small_noise_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    bank = sine_bank()
    bank.prepare(60)

    def played() -> Sound:
        piano = Piano(bank)
        piano.note_on(60, 80)
        piano.note_off(60, RATE // 2)
        return piano.render(RATE)

    with_noise = played()
    monkeypatch.setattr("core.sound.piano.RELEASE_LEVEL", 0.0)
    noise = with_noise - played()
    assert not noise[: RATE // 2].any()
    assert np.abs(noise).max() == pytest.approx(0.9 * RELEASE_LEVEL, rel=0.05)
    assert np.abs(noise).max() < 0.03 * np.abs(with_noise).max()


def test_the_pedal_lets_the_octave_ring_and_lifting_it_ends_that() -> None:
    bank = sine_bank()
    bank.prepare_all((60, 72))

    def octave(pedal: bool) -> tuple[float, Piano]:
        piano = Piano(bank)
        piano.pedal(pedal)
        piano.note_on(60, 40)
        sound = piano.render(RATE // 2)
        return partial_frequency(sound, RATE, frequency(72))[1], piano

    ringing, piano = octave(pedal=True)
    assert ringing > 4 * octave(pedal=False)[0]
    piano.pedal(False, piano.frame)
    piano.note_off(60, piano.frame)
    piano.render(RATE)
    assert piano.voices == 0


def test_strings_that_ring_along_are_not_more_than_their_number() -> None:
    bank = sine_bank()
    bank.prepare_all(range(48, 85))
    piano = Piano(bank)
    piano.pedal(True)
    for midi in range(48, 72):
        piano.note_on(midi, 80)
    piano.render(64)
    piano.render(RATE // 10)
    assert piano.voices <= 24 + MOST_SYMPATHETIC
