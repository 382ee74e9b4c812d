"""Learn the weights of core/theory/harmony_weights.py from lead sheets with chord symbols.

Run by name: ``python -m tests.benchmarks.train_harmonies FOLDER`` (MusicXML lead sheets; scipy is among the extras for
tests; about a minute). It learns from the lead sheets in major whose file name has an odd SHA-256; the others are for
bench_harmonies. The model is a linear-chain conditional random field (Lafferty, McCallum and Pereira 2001) over the
cells of `core.theory.harmonising`, with square penalties, fitted by L-BFGS.
"""

from __future__ import annotations

import sys
import textwrap
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from core.song.song import Song
from core.theory.harmonising import EVIDENCE, PLACE_COUNT, Cell, cells_of, evidence, places
from tests.benchmarks.lead_sheets import family, lead_sheets, melody
from tests.benchmarks.results import show

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

RAREST = 0.0028
"""The share of the cells that a chord must have to be chosen from."""
PENALTIES = (0.3, 5.0, 2.0)
"""How strongly weights of tones, places and steps are drawn to 0."""
STEPS_OF_FITTING = 80
WIDTH = 118
MODULE = Path(__file__).parents[2] / "core" / "theory" / "harmony_weights.py"

HEAD = '''"""Weights for suggesting chords: figures only, written by tests/benchmarks/train_harmonies.py.

Learned from one half of 244 lead sheets of OpenEWLD, whose scores are stated to be in the public domain; nothing of a
song is in it. CHORDS are semitones above the tonic and the family (0 major, 1 dominant seventh, 2 minor,
3 diminished), the commonest first. TONES has a row for each family and kind of evidence, a figure for each semitone
above the root; PLACES a row for each chord (`core.theory.harmonising.places`); STEPS_AT_BAR and STEPS_INSIDE a row for
each chord, a figure for each chord that may follow.
"""

from typing import Final

# The formatter would give each of the thousands of figures a line of its own.
# fmt: off
'''


def label(song: Song, cell: Cell) -> tuple[int, int] | None:
    """The chord that sounds longest in a cell, as semitones above the tonic and family."""
    lasting: Counter[tuple[int, int]] = Counter()
    tonic = song.key_at(cell.onset).tonic.pitch_class
    for onset, chord in song.placed_chords():
        held = min(cell.end, onset + chord.duration) - max(cell.onset, onset)
        if held > 0 and not chord.symbol.is_silent:
            lasting[(chord.symbol.root.pitch_class - tonic) % 12, family(chord.symbol)] += held
    return lasting.most_common(1)[0][0] if lasting else None


def numbered(labels: Sequence[tuple[int, int] | None], chords: Sequence[tuple[int, int]]) -> list[int]:
    """Each label's number among the chords; a rare one is taken for another on its root or a fifth above it."""
    numbers: list[int] = []
    for one in labels:
        if one is None:
            numbers.append(numbers[-1] if numbers else 0)
        elif one in chords:
            numbers.append(chords.index(one))
        else:
            roots = [root for root, _ in chords]
            root = next(root for root in (one[0], (one[0] + 7) % 12, 0) if root in roots)
            numbers.append(roots.index(root))
    return numbers


class Field:
    """Lead sheets as arrays, and what weights make of them."""

    def __init__(self, songs: Sequence[Song]) -> None:
        """Take the songs' cells and labels apart."""
        rows = []
        for song in songs:
            cells = cells_of(song.bars)
            seen = evidence(melody(song), cells, [song.key_at(cell.onset).tonic.pitch_class for cell in cells])
            where = places(cells, [not share.any() for share in seen[:, 0]])
            rows.append((cells, seen, where, [label(song, cell) for cell in cells]))
        counted = Counter(one for *_, labels in rows for one in labels if one is not None)
        whole = sum(counted.values())
        self.chords = [chord for chord, count in counted.most_common() if count > RAREST * whole]
        size, longest = len(rows), max(len(row[0]) for row in rows)
        self.seen: Floats = np.zeros((size, longest, len(EVIDENCE) * 12))
        self.where: Floats = np.zeros((size, longest, PLACE_COUNT))
        self.right: Ints = np.zeros((size, longest), dtype=np.int64)
        self.there: Floats = np.zeros((size, longest))
        self.inside: Ints = np.zeros((size, longest), dtype=np.int64)
        for row, (cells, seen, where, labels) in enumerate(rows):
            count = len(cells)
            self.seen[row, :count] = seen.reshape(count, -1)
            self.where[row, :count] = where
            self.right[row, :count] = numbered(labels, self.chords)
            self.there[row, :count] = 1.0
            self.inside[row, :count] = [cell.inside for cell in cells]
        many = len(self.chords)
        self.sizes = (4 * len(EVIDENCE) * 12, many * PLACE_COUNT, 2 * many * many)
        self.said = np.eye(many)[self.right] * self.there[:, :, None]
        self.steps: Floats = np.zeros((2, many, many))
        both = self.there[:, 1:] > 0
        np.add.at(self.steps, (self.inside[:, 1:][both], self.right[:, :-1][both], self.right[:, 1:][both]), 1.0)
        self.penalty = np.repeat(PENALTIES, self.sizes)

    def apart(self, flat: Floats) -> tuple[Floats, Floats, Floats]:
        """Weights of tones, places and steps."""
        many = len(self.chords)
        tones, by_place, steps = np.split(flat, np.cumsum(self.sizes)[:-1])
        return tones.reshape(4, -1, 12), by_place.reshape(many, -1), steps.reshape(2, many, many)

    def loss(self, flat: Floats) -> tuple[float, Floats]:
        """How unlikely the labels are, with the penalty, and its slope."""
        tones, by_place, steps = self.apart(flat)
        turned = np.stack([np.roll(tones[kind], root, axis=1).ravel() for root, kind in self.chords])
        scores = self.seen @ turned.T + self.where @ by_place.T
        total, chances, expected = self.sums(scores, steps)
        likely = (scores * self.said).sum() + (self.steps * steps).sum() - total
        slope = (self.said - chances).reshape(-1, len(self.chords))
        by_tone = (slope.T @ self.seen.reshape(len(slope), -1)).reshape(len(self.chords), -1, 12)
        tone_slope = np.zeros_like(tones)
        for (root, kind), found in zip(self.chords, by_tone, strict=True):
            tone_slope[kind] += np.roll(found, -root, axis=1)
        place_slope = slope.T @ self.where.reshape(len(slope), -1)
        gained = np.concatenate([tone_slope.ravel(), place_slope.ravel(), (self.steps - expected).ravel()])
        return float(-likely + (self.penalty * flat**2).sum() / 2), -gained + self.penalty * flat

    def sums(self, scores: Floats, steps: Floats) -> tuple[float, Floats, Floats]:
        """The sum over all ways through the songs (its logarithm), each chord's chance, and each step's."""
        highest = scores.max(axis=2, keepdims=True)
        likely, going = np.exp(scores - highest), np.exp(steps)
        forward = likely.copy()
        total = 0.0
        for moment in range(scores.shape[1]):
            if moment:
                forward[:, moment] *= self._moved(forward[:, moment - 1], going, moment)
            whole = forward[:, moment].sum(axis=1)
            forward[:, moment] /= whole[:, None]
            total += float(((np.log(whole) + highest[:, moment, 0]) * self.there[:, moment]).sum())
        backward = np.ones_like(scores)
        expected = np.zeros_like(steps)
        for moment in range(scores.shape[1] - 2, -1, -1):
            coming = likely[:, moment + 1] * backward[:, moment + 1]
            behind = self._moved(coming, going.transpose(0, 2, 1), moment + 1)
            share = self.there[:, moment + 1] / (forward[:, moment] * behind).sum(axis=1)
            for kind in (0, 1):
                counts = share * (self.inside[:, moment + 1] == kind)
                expected[kind] += ((forward[:, moment] * counts[:, None]).T @ coming) * going[kind]
            behind /= behind.sum(axis=1, keepdims=True)
            backward[:, moment] = np.where(self.there[:, moment + 1, None] > 0, behind, 1.0)
        chances = forward * backward
        chances /= chances.sum(axis=2, keepdims=True)
        return total, chances * self.there[:, :, None], expected

    def _moved(self, chances: Floats, going: Floats, moment: int) -> Floats:
        is_inside = self.inside[:, moment, None] == 1
        return np.asarray(np.where(is_inside, chances @ going[1], chances @ going[0]), dtype=np.float64)


def table(name: str, rows: Floats) -> str:
    """A table as it stands in a module."""
    lines = [
        textwrap.fill(
            "(" + ", ".join(f"{value:.1f}" for value in row) + "),",
            width=WIDTH,
            initial_indent="    ",
            subsequent_indent="     ",
        )
        for row in rows + 0.0
    ]
    return f"{name}: Final = (\n" + "\n".join(lines) + "\n)\n"


def main() -> int:
    """Learn and write the module."""
    if len(sys.argv) < 2 or not Path(sys.argv[1]).is_dir():
        show("Name a folder of lead sheets; nothing was learned.")
        return 0
    songs = [song for song, is_test in lead_sheets(Path(sys.argv[1])) if not is_test]
    field = Field([song for song in songs if not any(change.key.is_minor_like for change in song.keys)])
    start: Any = np.zeros(sum(field.sizes))
    best: Any = minimize(field.loss, start, jac=True, method="L-BFGS-B", options={"maxiter": STEPS_OF_FITTING})
    tones, by_place, steps = field.apart(np.asarray(best.x))
    chords = textwrap.fill(
        ", ".join(map(str, field.chords)), width=WIDTH, initial_indent="    ", subsequent_indent="    "
    )
    text = HEAD + f"CHORDS: Final = (\n{chords},\n)\n" + table("TONES", tones.reshape(-1, 12))
    text += table("PLACES", by_place) + table("STEPS_AT_BAR", steps[0]) + table("STEPS_INSIDE", steps[1])
    MODULE.write_text(text, encoding="utf-8")
    show(f"{len(songs)} lead sheets, {len(field.chords)} chords, loss {best.fun:.0f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
