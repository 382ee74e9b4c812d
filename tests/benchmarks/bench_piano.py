"""The built-in piano measured as it is heard: tuning, decay, loudness, and how fast it is mixed.

Run by name: ``python -m tests.benchmarks.bench_piano``. Decay is that of the lowest partial, from its level in
windows of sixteen periods or more: the prompt decay from the first quarter of its figure, the aftersound from after
the point where it leads. The figures beside them were fitted to measurements of two sampled grand pianos; heard whole,
a key falls more slowly at first than its prompt sound alone, since the aftersound lies under it. Speeds are processor
time of one core.
"""

from __future__ import annotations

import math
import sys
import time
from itertools import pairwise
from statistics import median

import numpy as np

from app.engine.piano_samples import piano_samples
from app.resources import demo_songs
from core.formats.registry import read_song
from core.performance.schedule import make_schedule
from core.performance.selection import Selection
from core.sound.bank import SampleBank
from core.sound.loudness import loudness_db
from core.sound.piano import MOST_VOICES, Piano, Sound, render_schedule
from core.sound.piano_model import FIGURES, RATE, figures, frequency
from tests.benchmarks.results import keep, show
from tests.helpers.listening import cents, partial_frequency

KEYS = (21, 33, 45, 57, 69, 75, 81, 87, 93, 99, 105, 108)
FITTED_PROMPT = (14.5, 7.3, 4.6, 4.0, 3.9, 2.2, 1.15, 0.8, 0.55, 0.27, 0.17, 0.15)
FITTED_AFTER = (24.0, 18.0, 17.0, 20.0, 13.0, 12.0, 11.0, 9.0, 5.0, 4.0, 2.2, 1.8)
"""Seconds of falling by 60 dB, for each of `KEYS`."""
BLOCK = RATE // 100
ROUNDS = 200
REAL_TIME_TO_REACH = 100
TUNING_TO_REACH = 2.0


def struck(bank: SampleBank, midi: int, velocity: int = 80, seconds: float = 8.0) -> Sound:
    """A key struck and held."""
    bank.prepare(midi)
    piano = Piano(bank)
    piano.note_on(midi, velocity)
    return piano.render(int(seconds * RATE))


def tuning(bank: SampleBank, midi: int, velocity: int) -> float:
    """Cents by which the power-weighted lowest eight partials lie above equal temperament."""
    sound = struck(bank, midi, velocity, min(3.0, figures(midi).length))
    hertz = frequency(midi)
    rows = [(n, *partial_frequency(sound, RATE, n * hertz)) for n in range(1, 9) if n * hertz < 16_000]
    weights = [power for _, _, power in rows]
    return float(np.average([cents(found, n * hertz) for n, found, _ in rows], weights=weights))


def level(sound: Sound, midi: int, start: float, length: float) -> float:
    """dB of the lowest partial in a stretch."""
    first = int(start * RATE)
    return 10 * math.log10(partial_frequency(sound[first : first + int(length * RATE)], RATE, frequency(midi))[1])


def decay(sound: Sound, midi: int, start: float, end: float) -> float:
    """Seconds in which the lowest partial would fall by 60 dB at its pace between two moments."""
    window = max(16 / frequency(midi), 0.04)
    fall = level(sound, midi, start, window) - level(sound, midi, end, window)
    return 60 * (end - start) / fall if fall > 0 else math.inf


def main() -> int:
    """Print and keep the tables."""
    bank = piano_samples()
    began = time.process_time()
    bank.prepare_all(range(21, 109))
    making = time.process_time() - began
    figures_kept: dict[str, object] = {"all keys made, s": round(making, 2)}

    heads = ("key", "cents at 40", "80", "112", "prompt s", "figure", "after s", "figure")
    show("{:>4} {:>12} {:>6} {:>6}   {:>9} {:>7}   {:>8} {:>7}".format(*heads))
    rows = {}
    for midi, fitted_prompt, fitted_after in zip(KEYS, FITTED_PROMPT, FITTED_AFTER, strict=True):
        figure, sound = figures(midi), struck(bank, midi)
        leads = figure.prompt_decay * -figure.after_level / 60 + 0.1
        last = figure.length * 0.85 - 0.2
        prompt = decay(sound, midi, 0.03, 0.03 + figure.prompt_decay / 5)
        after = decay(sound, midi, leads * 1.6, last) if leads * 1.6 < last - 0.2 else math.nan
        off = [tuning(bank, midi, velocity) for velocity in (40, 80, 112)]
        rows[midi] = {
            "cents": [round(one, 2) for one in off],
            "prompt": [round(prompt, 2), fitted_prompt],
            "after": [None if math.isnan(after) else round(after, 1), fitted_after],
        }
        show(
            f"{midi:4} {off[0]:12.2f} {off[1]:6.2f} {off[2]:6.2f}   {prompt:9.2f} {fitted_prompt:7.2f}   "
            f"{after:8.1f} {fitted_after:7.1f}"
        )
    figures_kept["keys"] = rows

    worst = max(abs(tuning(bank, midi, velocity)) for midi in range(21, 109) for velocity in (40, 80, 112))
    loud = [loudness_db(struck(bank, midi, 80, 0.5), RATE) for midi in range(21, 109)]
    step = max(abs(after - before) for before, after in pairwise(loud))
    show(f"worst tuning of 88 keys at three velocities: {worst:.2f} cents, to reach {TUNING_TO_REACH}")
    show(f"largest step between neighbouring keys: {step:.2f} dB")

    piano = Piano(bank)
    for midi in range(45, 45 + MOST_VOICES):
        piano.note_on(midi, 76)
    blocks = []
    for _ in range(ROUNDS):
        began = time.process_time()
        piano.render(BLOCK)
        blocks.append(time.process_time() - began)
    share = median(blocks) / (BLOCK / RATE)
    show(f"{MOST_VOICES} voices, 10 ms: {1e3 * median(blocks):.2f} ms, {100 * share:.1f} % of one core")

    speeds = {}
    for path in demo_songs():
        song = read_song(path.name, path.read_bytes()).song
        schedule = make_schedule(song, Selection(song.playing_order, count_in=True, times=4))
        began = time.process_time()
        sound = render_schedule(schedule, Piano(bank))
        speeds[path.stem] = round(len(sound) / RATE / (time.process_time() - began))
        show(f"{path.stem:24} rendered at {speeds[path.stem]} times real time, to reach {REAL_TIME_TO_REACH}")
    figures_kept |= {
        "worst tuning, cents": round(worst, 2),
        "largest step between neighbours, dB": round(step, 2),
        "block of 32 voices, ms": round(1e3 * median(blocks), 3),
        "times real time": speeds,
        "figures": {name: list(column) for name, column in FIGURES.items()},
    }
    keep("piano", figures_kept)
    return 0


if __name__ == "__main__":
    sys.exit(main())
