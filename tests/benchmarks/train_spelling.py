"""Learn the weights of core/theory/spelling_weights.py from works whose notes have names.

Run by name: ``python -m tests.benchmarks.train_spelling``. It needs scipy (among the extras for tests) and some ten
minutes, most of it reading scores. It learns from the half of the chorales that is not tested on and from string
quartets. Each note is a choice between its two names, the names of all others being known; the model is a logistic
regression over the evidence of `core.theory.spelling`. Half of the works are seen under a signature one or three
fifths off, since the key of bare numbers is a guess.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from core.theory import spelling_weights
from core.theory.spelling import NOTES_AFTER, NOTES_BEFORE, Setting, place
from tests.benchmarks.results import show
from tests.benchmarks.spelled_works import SpelledWork, chorale_paths, is_here, is_test, quartet_paths, read_works

Floats = NDArray[np.float64]

NEAREST, DISTANCES = -6, 25
MOST_NOTES = 600
"""How many notes of one work are learned from, so that long works do not outweigh the others."""
SHRINKAGE = 0.3
MODULE = Path(__file__).parents[2] / "core" / "theory" / "spelling_weights.py"

HEAD = '''"""Weights for naming notes: figures only, written by tests/benchmarks/train_spelling.py.

Learned from one half of Bach's chorales and from string quartets in music21's corpus; no work or part of one is in
it. Each row has a kind of evidence (`core.theory.spelling.EVIDENCE`), each of its figures a distance in fifths from
the other name to the sharper one of two, from NEAREST up; above 0 it speaks for the sharper name.
"""

from typing import Final

'''


def examples(work: SpelledWork, shift: int, generator: np.random.Generator) -> list[Floats]:
    """The evidence at some notes of a work, turned so that the true name is the one to choose."""
    truth = [fifths for _, _, _, fifths in work.notes]
    size = len(truth)
    midis, onsets = [note[2] for note in work.notes], [note[0] for note in work.notes]
    setting = Setting(midis, [work.fifths + shift] * size, onsets)
    setting.names = list(truth)
    taken = set(range(size)) if size <= MOST_NOTES else set(generator.choice(size, MOST_NOTES, replace=False).tolist())
    found: list[Floats] = []
    for (start, end), before, after in setting.around():
        for index in taken.intersection(range(start, end)):
            flatter, sharper = setting.choices(index)
            if truth[index] not in (flatter, sharper):
                continue
            seen = np.zeros((6, DISTANCES))
            seen[0, place(sharper - setting.signatures[index])] = 1
            for other in range(start, end):
                seen[1, place(sharper - truth[other])] += other != index
            for name, count in before.items():
                seen[2, place(sharper - name)] += count / NOTES_BEFORE
            for name, count in after.items():
                seen[3, place(sharper - name)] += count / NOTES_AFTER
            for row, neighbour in ((4, setting.sources[index]), (5, setting.goals[index])):
                if neighbour >= 0:
                    seen[row, place(sharper - truth[neighbour])] = 1
            found.append(seen.ravel() if truth[index] == sharper else -seen.ravel())
    return found


def learn(seen: Floats) -> Floats:
    """Weights that make the true names likeliest."""

    def loss(weights: Floats) -> tuple[float, Floats]:
        leads = seen @ weights
        cost = np.logaddexp(0, -leads).sum() + SHRINKAGE * (weights**2).sum() / 2
        return float(cost), -seen.T @ (1 / (1 + np.exp(leads))) + SHRINKAGE * weights

    start: Any = np.zeros(seen.shape[1])
    return np.asarray(minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 500}).x)


def main() -> int:
    """Learn, and write the module."""
    if not is_here():
        show("music21 and its corpus are not installed.")
        return 1
    assert (spelling_weights.NEAREST, len(spelling_weights.WEIGHTS[0])) == (NEAREST, DISTANCES)
    generator = np.random.default_rng(0)
    seen: list[Floats] = []
    works = 0
    for work in read_works([path for path in chorale_paths() if not is_test(path)] + quartet_paths()):
        shift = int(generator.choice((-3, -1, 1, 3))) if generator.random() < 0.5 else 0
        seen += examples(work, shift, generator)
        works += 1
    weights = learn(np.array(seen)).reshape(6, DISTANCES)
    rows = "".join("    (" + ", ".join(f"{value:.2f}" for value in row) + "),\n" for row in weights)
    MODULE.write_text(f"{HEAD}NEAREST: Final = {NEAREST}\nWEIGHTS: Final = (\n{rows})\n", encoding="utf-8")
    show(f"{len(seen)} notes of {works} works: {MODULE.name} written")
    return 0


if __name__ == "__main__":
    sys.exit(main())
