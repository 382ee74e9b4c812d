"""Learn the trees of core/teaching/boundaries.py from the Essen folk songs inside music21.

Run by name: ``python -m tests.benchmarks.train_boundaries``. It needs lightgbm, which is no dependency of the
project (``pip install lightgbm``), and about ten minutes. It learns from the half of the songs that
`essen_phrases` does not test on, of all regions together, and writes two modules of figures into core/teaching.

Two forests: the first sees a note and its song; the second sees also what the first says about the other notes.
So that the second learns from guesses as they will be on songs never seen, the first guesses of each third of
the songs come from trees learned on the other two thirds.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from core.teaching.boundary_features import Line, local_features, passed_on
from core.teaching.trees import Floats
from tests.benchmarks.essen_phrases import REGIONS, Tune, tunes_of
from tests.benchmarks.results import show

FIRST_TREES, SECOND_TREES = 140, 140
LEAVES, DEPTH = 14, 5
KEPT_LOCAL = 24
"""How many of the local features the second forest keeps, the most useful ones."""
ROOM = Path(__file__).parents[2] / "core" / "teaching"

HEAD = '''"""The {which} forest for phrase boundaries: figures only, written by tests/benchmarks/train_boundaries.py.

Learned from the first notes of lines (phrases) in one half of the Essen Folksong Collection (Schaffrath 1995) as
it lies in music21's corpus; no song or part of one is in it. Read by `core.teaching.trees.Forest`.
"""

from __future__ import annotations

from typing import Final

FEATURES: Final = (
{features}
)

DEPTH: Final = {depth}

TREES: Final = """
{trees}
"""
'''


class Learner(Protocol):
    """What is used of lightgbm's classifier."""

    booster_: Any

    def fit(self, features: Floats, labels: NDArray[np.bool_]) -> Learner:
        """Learn."""

    def predict_proba(self, features: Floats) -> Floats:
        """Probabilities of no and yes for each row."""


def learner(trees: int) -> Learner:
    """A fresh learner of boosted trees, small and always the same."""
    lightgbm = importlib.import_module("lightgbm")
    classifier: Learner = lightgbm.LGBMClassifier(
        n_estimators=trees, num_leaves=LEAVES, max_depth=DEPTH, learning_rate=0.11, min_child_samples=40,
        subsample=0.8, subsample_freq=1, colsample_bytree=0.5, reg_lambda=5.0, max_bin=127, n_jobs=1, verbose=-1,
        random_state=1,
    )  # fmt: skip  # settings of a run, read together
    return classifier


def written(model: Learner, names: list[str], which: str) -> str:
    """A forest as a module of figures."""

    def branch(node: dict[str, Any]) -> str:
        if "leaf_value" in node:
            return f"{round(1000 * node['leaf_value'])}"
        limit = f"{node['threshold']:.6g}"
        return f"{node['split_feature']}<{limit} {branch(node['left_child'])} {branch(node['right_child'])}"

    trees = ";\n".join(branch(tree["tree_structure"]) for tree in model.booster_.dump_model()["tree_info"])
    lines: list[str] = []
    for token in trees.replace(";\n", "; ").split():
        if not lines or len(lines[-1]) + len(token) > 117:
            lines.append(token)
        else:
            lines[-1] += f" {token}"
    features = "\n".join(f'    "{name}",' for name in names)
    return HEAD.format(which=which, features=features, depth=DEPTH, trees="\n".join(lines))


def table(tunes: list[Tune]) -> tuple[list[Line], Floats, list[str], NDArray[np.bool_], NDArray[np.int64]]:
    """Every tune's line; local features, labels and tune number of every note but the first."""
    lines = [Line.of(tune.notes, tune.bars) for tune in tunes]
    locals_ = [local_features(line) for line in lines]
    names = list(locals_[0])
    features = np.concatenate([np.column_stack([found[name] for name in names])[1:] for found in locals_])
    labels = np.concatenate([np.array(tune.starts[1:]) for tune in tunes])
    numbers = np.concatenate([np.full(len(tune.notes) - 1, number) for number, tune in enumerate(tunes)])
    return lines, features, names, labels, numbers


def main() -> int:
    """Learn both forests and write them."""
    tunes = [tune for region in REGIONS for tune in tunes_of(region) if not tune.is_test]
    lines, features, names, labels, numbers = table(tunes)
    likely = np.zeros(len(labels))
    third = np.random.default_rng(1).integers(0, 3, len(tunes))[numbers]
    for held in range(3):
        model = learner(FIRST_TREES).fit(features[third != held], labels[third != held])
        likely[third == held] = model.predict_proba(features[third == held])[:, 1]
    first = learner(FIRST_TREES).fit(features, labels)
    (ROOM / "boundary_trees_first.py").write_text(written(first, names, "first"), encoding="utf-8")

    starts = np.searchsorted(numbers, np.arange(len(tunes) + 1))
    second_features = []
    for number, line in enumerate(lines):
        found = passed_on(line, np.append(1.0, likely[starts[number] : starts[number + 1]]))
        second_names = list(found)
        second_features.append(np.column_stack(list(found.values()))[1:])
    passed = np.concatenate(second_features)
    everything = learner(SECOND_TREES).fit(np.hstack((passed, features)), labels)
    gain = everything.booster_.feature_importance("gain")[len(second_names) :]
    kept = sorted(np.argsort(-gain)[:KEPT_LOCAL])
    second = learner(SECOND_TREES).fit(np.hstack((passed, features[:, kept])), labels)
    kept_names = [*second_names, *(names[index] for index in kept)]
    (ROOM / "boundary_trees_second.py").write_text(written(second, kept_names, "second"), encoding="utf-8")
    show(f"learned from {len(tunes)} songs, {len(labels)} notes")
    return 0


if __name__ == "__main__":
    sys.exit(main())
