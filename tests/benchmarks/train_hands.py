"""Learn the trees of core/teaching/hand_model.py from piano pieces in two tracks, and measure by cross-validation.

Run by name: ``python -m tests.benchmarks.train_hands [--measure]``, with a folder of pieces named as
`two_hand_pieces` says. It needs lightgbm, which is no dependency of the project (``pip install lightgbm``), and some
minutes. Without ``--measure`` it learns from all pieces and writes two modules of figures into core/teaching; with
it, it keeps results/hands_learned.json: each piece judged by trees that were learned from other works only.

Every piece is learned from twice, the second time in the mirror. The second forest learns from first guesses as
they will be on pieces never seen: those of each fifth come from trees learned without it. In the cross-validation
these trees also leave out the fifth that is measured. Here and there a hand is made certain in what the second forest
sees, so that it learns what a hand that the teacher gives says of the notes around; such notes are not learned from.
"""

from __future__ import annotations

import importlib
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from core.song.note import Hand
from core.teaching.hand_features import Played, first_features
from core.teaching.hand_model import averaged, both_ways, passed_on
from core.teaching.hand_windows import Singles
from core.teaching.hands import DOUBTFUL
from core.teaching.trees import Floats
from tests.benchmarks.results import keep, show
from tests.benchmarks.two_hand_pieces import FOLDER, TwoHandPiece, two_hand_pieces

FOLDS = 5
DEPTH = 7
FIRST_TREES, SECOND_TREES = 200, 110
SHARE_GIVEN = 0.02
GIVEN = 6.0
ROOM = Path(__file__).parents[2] / "core" / "teaching"

HEAD = '''"""The {which} forest for hands: figures only, written by tests/benchmarks/train_hands.py.

Learned from {pieces} pieces of the hannds data set (piano performances, one track a hand; MIT licence); no piece or
part of one is in it. Read by `core.teaching.trees.Forest`.
"""

from __future__ import annotations

from typing import Final

FEATURES: Final = (
{features}
)  # fmt: skip  # a table, read line by line

DEPTH: Final = {depth}

TREES: Final = """
{trees}
"""
'''


class Learned(Protocol):
    """What is used of lightgbm's trees."""

    def predict(self, features: Singles, *, raw_score: bool, num_threads: int) -> Floats:
        """The logarithm of the odds for each row."""

    def dump_model(self) -> dict[str, Any]:
        """Trees and all."""


@dataclass(frozen=True, slots=True)
class Example:
    """A piece with what is seen of it, upright and in the mirror."""

    piece: TwoHandPiece
    fold: int
    right: NDArray[np.bool_]
    ways: tuple[Played, Played]
    seen: tuple[Singles, Singles]

    @property
    def answers(self) -> NDArray[np.bool_]:
        """Whether the right hand plays, of the upright notes and then of the mirrored ones, in their own orders."""
        return np.concatenate((self.right[self.ways[0].order], ~self.right[self.ways[1].order]))


def examples(pieces: list[TwoHandPiece]) -> tuple[list[Example], list[str]]:
    """All pieces, and the names of what is seen; works of one opus share a fold."""
    opuses = sorted({piece.opus for piece in pieces})
    folds = dict(zip(opuses, (np.random.default_rng(3).permutation(len(opuses)) % FOLDS).tolist(), strict=True))
    found = []
    names: list[str] = []
    for piece in pieces:
        ways = both_ways(piece.notes)
        seen = [first_features(way) for way in ways]
        names = list(seen[0])
        tables = [np.column_stack(list(features.values())).astype(np.float32) for features in seen]
        right = np.array([hand is Hand.RIGHT for hand in piece.hands])
        found.append(Example(piece, folds[piece.opus], right, ways, (tables[0], tables[1])))
    return found, names


def learned(tables: list[Singles], answers: list[NDArray[np.bool_]], trees: int) -> Learned:
    """Boosted trees, small and always the same; long pieces count a little less than their length."""
    lightgbm = importlib.import_module("lightgbm")
    settings = {
        "objective": "binary", "num_leaves": 18, "max_depth": DEPTH, "learning_rate": 0.1, "min_data_in_leaf": 80,
        "bagging_fraction": 0.6, "bagging_freq": 1, "feature_fraction": 0.2, "lambda_l2": 20.0, "max_bin": 63,
        "num_threads": 1, "verbose": -1, "seed": 1,
    }  # fmt: skip  # a table, read line by line
    weights = np.concatenate([np.full(len(one), len(one) ** -0.2) for one in answers])
    weights /= weights.mean()
    data = lightgbm.Dataset(np.concatenate(tables), np.concatenate(answers).astype(float), weight=weights)
    model: Learned = lightgbm.train(settings, data, trees)
    return model


def learn_first(chosen: list[Example]) -> Learned:
    """The first forest of some pieces."""
    return learned([np.concatenate(one.seen) for one in chosen], [one.answers for one in chosen], FIRST_TREES)


def odds_of(model: Learned, one: Example, tables: tuple[Singles, Singles]) -> Floats:
    """What a forest says of a piece, both ways averaged."""
    upright, mirrored = (model.predict(table, raw_score=True, num_threads=1) for table in tables)
    return averaged(one.ways, (upright, mirrored))


def second_tables(one: Example, odds: Floats, kept: list[int]) -> tuple[tuple[Singles, Singles], list[str]]:
    """What the second forest sees of a piece, and its names of what is only its own."""
    ways = passed_on(one.ways, odds)
    tables: list[Singles] = [
        np.hstack((np.column_stack(list(way.values())), seen[:, kept])).astype(np.float32)
        for way, seen in zip(ways, one.seen, strict=True)
    ]
    return (tables[0], tables[1]), list(ways[0])


def learn_second(chosen: list[Example], odds: list[Floats], kept: list[int]) -> Learned:
    """The second forest of some pieces, from what the first says of them without having seen them."""
    random = np.random.default_rng(5)
    tables, answers = [], []
    for one, said in zip(chosen, odds, strict=True):
        certain = random.random(len(said)) < SHARE_GIVEN
        known = np.where(certain, np.where(one.right, GIVEN, -GIVEN), said)
        ways, _ = second_tables(one, known, kept)
        learn = ~np.concatenate([certain[way.order] for way in one.ways])
        tables.append(np.concatenate(ways)[learn])
        answers.append(one.answers[learn])
    return learned(tables, answers, SECOND_TREES)


def kept_of(names: list[str]) -> list[int]:
    """Which of the first forest's features the second sees too: what sounds together and near by."""
    wanted = ("struck", "held", "sounding", "within 0.5", "within 1.0", "length", "widest", "chords away", "goes on")
    return [index for index, name in enumerate(names) if any(word in name for word in wanted)]


def measure(found: list[Example], names: list[str]) -> None:
    """Cross-validate and keep the figures."""
    kept = kept_of(names)
    firsts: dict[frozenset[int], Learned] = {}

    def first_without(*folds: int) -> Learned:
        key = frozenset(folds)
        if key not in firsts:
            firsts[key] = learn_first([one for one in found if one.fold not in key])
        return firsts[key]

    said: dict[str, Floats] = {}
    first_said: dict[str, Floats] = {}
    for fold in range(FOLDS):
        others = [one for one in found if one.fold != fold]
        odds = [odds_of(first_without(fold, one.fold), one, one.seen) for one in others]
        second = learn_second(others, odds, kept)
        for one in (one for one in found if one.fold == fold):
            first_said[one.piece.name] = odds_of(first_without(fold), one, one.seen)
            said[one.piece.name] = odds_of(second, one, second_tables(one, first_said[one.piece.name], kept)[0])
        show(f"fold {fold + 1} of {FOLDS}")
    keep("hands_learned", figures(found, first_said, said))


def figures(found: list[Example], first_said: dict[str, Floats], said: dict[str, Floats]) -> dict[str, object]:
    """Shares of notes whose hand is right: pooled, flagged and not, piece by piece."""
    rows: dict[str, object] = {}
    for one in found:
        rows[one.piece.name] = {
            "notes": len(one.right),
            "right": round(float(((said[one.piece.name] > 0) == one.right).mean()), 4),
        }
    odds = np.concatenate([said[one.piece.name] for one in found])
    first = np.concatenate([first_said[one.piece.name] for one in found])
    right = np.concatenate([one.right for one in found])
    correct, sure = (odds > 0) == right, np.abs(np.tanh(odds / 2))
    flagged = sure < DOUBTFUL
    strictest = float(np.quantile(sure, 0.15))
    calibration = {
        f"{low / 10:.1f} to {low / 10 + 0.1:.1f}": round(float(correct[chosen].mean()), 4)
        for low in range(10)
        if (chosen := (sure >= low / 10) & (sure < low / 10 + 0.1)).any()
    }
    kept: dict[str, object] = {
        "pieces": len(found),
        "notes": len(right),
        "right, first forest alone": round(float(((first > 0) == right).mean()), 4),
        "right": round(float(correct.mean()), 4),
        "right, mean over pieces": round(
            float(np.mean([((said[one.piece.name] > 0) == one.right).mean() for one in found])), 4
        ),
        "flagged": round(float(flagged.mean()), 4),
        "right where not flagged": round(float(correct[~flagged].mean()), 4),
        "errors flagged": round(float((flagged & ~correct).sum() / max(1, (~correct).sum())), 4),
        "confidence that flags 15 %": round(strictest, 4),
        "right where that flags nothing": round(float(correct[sure >= strictest].mean()), 4),
        "right by confidence": calibration,
    }
    for title, value in kept.items():
        show(f"{title:34} {value}")
    return {**kept, "by piece": rows}


def written(model: Learned, names: list[str], which: str, pieces: int) -> str:
    """A forest as a module of figures."""

    def branch(node: dict[str, Any]) -> str:
        if "leaf_value" in node:
            return f"{round(1000 * node['leaf_value'])}"
        limit = f"{node['threshold']:.6g}"
        return f"{node['split_feature']}<{limit} {branch(node['left_child'])} {branch(node['right_child'])}"

    trees = ";\n".join(branch(tree["tree_structure"]) for tree in model.dump_model()["tree_info"])
    lines = filled(trees.replace(";\n", "; ").split(), 117)
    features = "\n".join(f"    {line}" for line in filled([f'"{name}",' for name in names], 112))
    return HEAD.format(which=which, pieces=pieces, features=features, depth=DEPTH, trees="\n".join(lines))


def filled(tokens: list[str], width: int) -> list[str]:
    """Tokens in lines of up to a width."""
    lines: list[str] = []
    for token in tokens:
        if not lines or len(lines[-1]) + len(token) > width:
            lines.append(token)
        else:
            lines[-1] += f" {token}"
    return lines


def main(arguments: list[str]) -> int:
    """Learn both forests and write them, or measure."""
    pieces = two_hand_pieces()
    if not pieces:
        show(f"{FOLDER} names no folder of pieces; nothing done")
        return 0
    found, names = examples(pieces)
    if "--measure" in arguments:
        measure(found, names)
        return 0
    kept = kept_of(names)
    firsts = [learn_first([one for one in found if one.fold != fold]) for fold in range(FOLDS)]
    second = learn_second(found, [odds_of(firsts[one.fold], one, one.seen) for one in found], kept)
    own = second_tables(found[0], np.zeros(len(found[0].right)), kept)[1]
    kept_names = [*own, *(names[index] for index in kept)]
    first = learn_first(found)
    (ROOM / "hand_trees_first.py").write_text(written(first, names, "first", len(found)), encoding="utf-8")
    (ROOM / "hand_trees_second.py").write_text(written(second, kept_names, "second", len(found)), encoding="utf-8")
    show(f"learned from {len(found)} pieces, {sum(len(one.right) for one in found)} notes")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
