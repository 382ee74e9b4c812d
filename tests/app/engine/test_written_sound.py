"""A file holds what is heard: the sound card's blocks beside what is written, sample for sample."""

from __future__ import annotations

import random
import time
from collections.abc import Callable

import numpy as np
import pytest

from app.engine.piano_samples import piano_samples
from app.engine.protocol import Load, Play, sent_events
from core.edits.set_teaching import set_pattern, set_pedal
from core.performance.in_a_row import at_speed
from core.performance.schedule import Schedule, make_schedule
from core.performance.selection import Selection
from core.sound.bank import SampleBank
from core.sound.flac import FlacStream
from core.sound.piano import Piano, render_blocks
from core.sound.piano_model import RATE
from core.sound.wav import WavStream, whole_samples
from tests.app.engine.fakes import Bench
from tests.helpers.songs import night_ferry

AFTER_THE_LAST_NOTE = 1.0
FASTER_THAN_REAL = 100


@pytest.fixture(scope="module")
def bank() -> SampleBank:
    found = piano_samples()
    found.prepare_all(range(36, 97))
    return found


@pytest.fixture
def bench(make_bench: Callable[..., Bench], bank: SampleBank) -> Bench:
    return make_bench(bank=bank)


def everything() -> Schedule:
    """Counted in, both hands, a broken left hand under the pedal, the metronome, each of two times faster."""
    song = set_pedal(set_pattern(night_ferry(), 1, "broken"), 1, True)
    return make_schedule(song, Selection((1, 2), count_in=True, metronome=True, subdivisions=2, times=2, rise=0.2))


@pytest.mark.parametrize("factor", [1.0, 0.5])
def test_what_is_written_is_what_the_sound_card_was_given(bench: Bench, bank: SampleBank, factor: float) -> None:
    schedule = at_speed(everything(), factor)
    bench.do(Load(1, sent_events(schedule), schedule.length), Play())
    sizes, frames, blocks = random.Random(3), 0, []
    while frames < (schedule.length + AFTER_THE_LAST_NOTE) * RATE:
        size = sizes.choice((64, 137, 441, 480, 1024))
        blocks.append(bench.card.ask(size).copy())
        frames += size
        bench.clock.now += size / RATE
        bench.engine.tick()
    assert bench.ended == [1]
    heard = whole_samples(np.concatenate(blocks))
    written = whole_samples(np.concatenate(list(render_blocks(schedule, Piano(bank)))))
    length = min(len(heard), len(written))
    assert length >= schedule.length * RATE
    assert np.abs(written).max() > 1000
    assert np.array_equal(heard[:length], written[:length])


@pytest.mark.parametrize("make_stream", [WavStream, FlacStream])
def test_a_file_is_written_a_hundred_times_as_fast_as_it_is_heard(
    bank: SampleBank, make_stream: type[WavStream] | type[FlacStream]
) -> None:
    """Counted in the processor's own time, the best of several tries: a machine that tests is busy."""
    schedule = make_schedule(night_ferry(), Selection((1, 2, 3)))
    quickest = float("inf")
    for _ in range(5):
        began = time.thread_time()
        stream = make_stream(bank.rate)
        size = sum(len(stream.add(block)) for block in render_blocks(schedule, Piano(bank))) + len(stream.end())
        quickest = min(quickest, time.thread_time() - began)
    assert size > schedule.length * RATE // 10
    assert schedule.length / quickest >= FASTER_THAN_REAL
