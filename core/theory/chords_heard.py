"""The chords of a full arrangement that names none: what sounds in each half bar, read as chord symbols.

Method: every half bar (every bar where the metre has no half) is compared with each chord of nine families on twelve
roots, by how long the notes in it sound that belong to the chord and that do not, what lies in the bass, and what
belongs to the key. The cheapest way through all of them is found by dynamic programming, a change of chord costing
something, less at a bar line than inside a bar (templates and a Viterbi search, as is usual in chord recognition; the
weights come from a random search on 22 lead sheets written out for two hands, tests/benchmarks/bench_chords_heard.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from core.song.chord import ChordSymbol, Degree
from core.song.key import Key
from core.song.metre import Bar
from core.theory.chord_building import build_chord
from core.theory.chord_tones import chord_tones, interval_of
from core.theory.spelling import name_in_key

Floats = NDArray[np.float64]

_FAMILIES: Final = (
    (Degree(1), Degree(3), Degree(5)),
    (Degree(1), Degree(3, -1), Degree(5)),
    (Degree(1), Degree(3), Degree(5), Degree(7)),
    (Degree(1), Degree(3, -1), Degree(5), Degree(7)),
    (Degree(1), Degree(3), Degree(5), Degree(7, 1)),
    (Degree(1), Degree(3, -1), Degree(5, -1)),
    (Degree(1), Degree(3, -1), Degree(5, -1), Degree(7)),
    (Degree(1), Degree(3, -1), Degree(5, -1), Degree(7, -1)),
    (Degree(1), Degree(3), Degree(5, 1)),
)
_FOREIGN: Final = 1.0
"""What a note costs that is not in the chord, against what one is worth that is."""
_MISSING: Final = (0.22, 0.22, 0.10, 0.40)
"""What it costs that a root, third, fifth or seventh does not sound at all."""
_FAMILY_COST: Final = (0.0, 0.0, 0.03, 0.05, 0.09, 0.08, 0.08, 0.08, 0.12)
_ROOT_IN_BASS: Final = 0.60
_TONE_IN_BASS: Final = 0.07
_TONE_IN_KEY: Final = 0.005
_CHANGE_AT_BAR: Final = 0.06
_CHANGE_INSIDE: Final = 0.65
_STRUCK_AT_START: Final = 1.3
"""A note struck where the half bar begins weighs more than one that passes."""
_HELD_SHARE: Final = 0.2
"""A note is the bass of a half bar if it sounds for at least this share of it."""
_NONE: Final = 200


class HeardChord(Struct, frozen=True):
    """A chord, where it sounds, and how sure that is.

    Attributes:
        onset: ticks from the song's start.
        duration: ticks.
        symbol: its name, with the bass where that is another chord tone than the root.
        confidence: 0 … 1, by how much the next best chord is worse over its half bars.
    """

    onset: int
    duration: int
    symbol: ChordSymbol
    confidence: float


class _Templates(Struct, frozen=True):
    """Every chord there is to choose from: root and family, a share for each pitch class, its tones' places."""

    member: Floats
    roots: NDArray[np.intp]
    families: NDArray[np.intp]
    missing: Floats


def _templates() -> _Templates:
    rows, roots, families, missing = [], [], [], []
    for root in range(12):
        for number, degrees in enumerate(_FAMILIES):
            places = [(root + interval_of(degree).semitones) % 12 for degree in degrees]
            rows.append([1.0 if at in places else 0.0 for at in range(12)])
            cost = np.zeros(12)
            for place, price in zip(places, _MISSING, strict=False):
                cost[place] += price
            roots.append(root)
            families.append(number)
            missing.append(cost)
    return _Templates(np.array(rows), np.array(roots), np.array(families), np.array(missing))


def chords_heard(notes: Sequence[tuple[int, int, int]], bars: Sequence[Bar], key: Key) -> tuple[HeardChord, ...]:
    """The chords of an arrangement.

    Args:
        notes: onset and duration in ticks and MIDI number, in any order.
        bars: the bars of the song; a pick-up has no chord of its own.
        key: the key the song is in, which spells the chords and decides between equals.

    Returns:
        Chords one after another, none in bars before the first note; () where nothing sounds.
    """
    cells = _cells(bars)
    if not notes or not cells:
        return ()
    sounding, bass = _sounding(notes, cells)
    first = next((index for index, row in enumerate(sounding) if row.any()), None)
    if first is None:
        return ()
    cells, sounding, bass = cells[first:], sounding[first:], bass[first:]
    templates = _templates()
    scores = _scores(sounding, bass, key, templates)
    path = _best_path(scores, [is_bar_line for _, _, is_bar_line in cells])
    return _named(path, scores, cells, sounding, bass, key, templates)


def _cells(bars: Sequence[Bar]) -> list[tuple[int, int, bool]]:
    """Start, end, and whether it begins a bar, of every half bar, or bar without a half."""
    cells: list[tuple[int, int, bool]] = []
    for bar in bars:
        if bar.number == 0 or not bar.duration:
            continue
        half = bar.metre.bar_ticks // 2
        beats = bar.metre.beats
        has_half = beats % 2 == 0 and (beats >= 4 or bar.metre.is_compound) and bar.duration > half
        if has_half:
            cells += [(bar.onset, bar.onset + half, True), (bar.onset + half, bar.end, False)]
        else:
            cells.append((bar.onset, bar.end, True))
    return cells


def _sounding(
    notes: Sequence[tuple[int, int, int]], cells: Sequence[tuple[int, int, bool]]
) -> tuple[Floats, NDArray[np.intp]]:
    """For each cell the share of each pitch class in what sounds, and its bass as a MIDI number or `_NONE`."""
    starts = np.array([start for start, _, _ in cells])
    ends = np.array([end for _, end, _ in cells])
    sounding = np.zeros((len(cells), 12))
    bass = np.full(len(cells), _NONE, dtype=np.intp)
    for onset, duration, midi in notes:
        end = onset + max(duration, 1)
        index = int(np.searchsorted(ends, onset, side="right"))
        while index < len(cells) and starts[index] < end:
            begins, over = int(starts[index]), int(ends[index])
            length = over - begins
            share = (min(end, over) - max(onset, begins)) / length
            at_start = abs(onset - begins) * 16 < length
            sounding[index, midi % 12] += share * (_STRUCK_AT_START if at_start else 1.0)
            if (share >= _HELD_SHARE or at_start) and midi < bass[index]:
                bass[index] = midi
            index += 1
    total = sounding.sum(axis=1, keepdims=True)
    return np.divide(sounding, total, out=np.zeros_like(sounding), where=total > 0), bass


def _scores(sounding: Floats, bass: NDArray[np.intp], key: Key, templates: _Templates) -> Floats:
    """How well each chord fits each cell."""
    inside = sounding @ templates.member.T
    scores = inside - _FOREIGN * (sounding.sum(axis=1, keepdims=True) - inside)
    silent = (sounding < 1e-9).astype(np.float64)
    scores -= silent @ templates.missing.T
    scores -= np.array(_FAMILY_COST)[templates.families]
    scale = np.array([1.0 if at in {degree.pitch_class for degree in key.scale} else 0.0 for at in range(12)])
    scores += _TONE_IN_KEY * (templates.member @ scale) - _TONE_IN_KEY * templates.member.sum(axis=1)
    has_bass = bass != _NONE
    low = bass % 12
    is_root = (low[:, None] == templates.roots[None, :]) & has_bass[:, None]
    is_tone = (templates.member[:, low].T > 0) & has_bass[:, None]
    scores += np.where(is_root, _ROOT_IN_BASS, np.where(is_tone, _TONE_IN_BASS, 0.0))
    scores[~sounding.any(axis=1)] = 0.0
    return np.asarray(scores, dtype=np.float64)


def _best_path(scores: Floats, bar_lines: Sequence[bool]) -> list[int]:
    count = len(scores)
    back = np.zeros(scores.shape, dtype=np.intp)
    value = scores[0].copy()
    here = np.arange(scores.shape[1])
    for index in range(1, count):
        change = _CHANGE_AT_BAR if bar_lines[index] else _CHANGE_INSIDE
        best = int(value.argmax())
        stays = value >= value[best] - change
        back[index] = np.where(stays, here, best)
        value = np.where(stays, value, value[best] - change) + scores[index]
    path = [int(value.argmax())]
    for index in range(count - 1, 0, -1):
        path.append(int(back[index, path[-1]]))
    return path[::-1]


def _named(
    path: Sequence[int],
    scores: Floats,
    cells: Sequence[tuple[int, int, bool]],
    sounding: Floats,
    bass: NDArray[np.intp],
    key: Key,
    templates: _Templates,
) -> tuple[HeardChord, ...]:
    found: list[HeardChord] = []
    start = 0
    for index in range(1, len(path) + 1):
        if index < len(path) and path[index] == path[start] and cells[index - 1][1] == cells[index][0]:
            continue
        chosen = path[start]
        summed = scores[start:index].sum(axis=0)
        others = np.delete(summed, chosen)
        lead = float(summed[chosen] - others.max()) / (index - start)
        symbol = _symbol(int(templates.roots[chosen]), int(templates.families[chosen]), int(bass[start]), key)
        confidence = min(1.0, max(0.0, 0.5 + lead))
        if _is_borne_out(sounding[start:index].sum(axis=0), int(templates.roots[chosen])):
            found.append(
                HeardChord(cells[start][0], cells[index - 1][1] - cells[start][0], symbol, round(confidence, 3))
            )
        start = index
    return tuple(found)


def _is_borne_out(sounding: Floats, root: int) -> bool:
    """Whether the root sounds with a third or a fifth over it; a tune alone is no chord."""
    heard = {(at - root) % 12 for at in range(12) if sounding[at] > 0}
    return 0 in heard and bool(heard & {3, 4, 7})


def _symbol(root: int, family: int, bass: int, key: Key) -> ChordSymbol:
    name = name_in_key(root, key)
    degrees = frozenset(_FAMILIES[family])
    plain = build_chord(name, degrees)
    under = None if bass == _NONE or bass % 12 == root else bass % 12
    tone = next((tone for tone in chord_tones(plain) if tone.pitch_class == under), None)
    return build_chord(name, degrees, tone) if tone is not None else plain
