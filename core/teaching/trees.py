"""Small boosted decision trees: figures learned elsewhere, evaluated here with numpy alone.

A forest is written as text, one tree after another, separated by semicolons. A tree is written from its root in
preorder, tokens separated by blanks: ``3<1.25`` is a question (is feature 3 at most 1.25? then the first branch,
else the second), a bare whole number is a leaf in thousandths. The sum of the leaves that an example reaches,
plus the forest's base, is the logarithm of its odds.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LEAF_SCALE: Final = 1000.0
ROWS_AT_ONCE: Final = 512
"""Examples evaluated together, so that the working arrays stay in the processor's cache."""


class Forest(Struct, frozen=True):
    """Boosted trees, each spread over a full binary tree of the same depth.

    Attributes:
        depth: questions from a root to a leaf.
        feature: the feature asked for, of every node of every tree.
        threshold: what it is compared with.
        leaf: the value of every leaf of every tree.
    """

    depth: int
    feature: NDArray[np.intp]
    threshold: Floats
    leaf: Floats

    @classmethod
    def read(cls, text: str, depth: int) -> Forest:
        """Read a forest from its text; `depth` is the most questions that any of its trees asks in a row."""
        trees = text.split(";")
        nodes, leaves = 2**depth - 1, 2**depth
        feature = np.zeros((len(trees), nodes), dtype=np.intp)
        threshold = np.full((len(trees), nodes), np.inf)
        leaf = np.zeros((len(trees), leaves))
        for number, tree in enumerate(trees):
            _spread(iter(tree.split()), 0, 0, depth, feature[number], threshold[number], leaf[number])
        return cls(depth, feature, threshold, leaf)

    def log_odds(self, features: Floats) -> Floats:
        """The sum for each row of a table of features."""
        rows, (trees, nodes) = features.shape[0], self.feature.shape
        flat_feature, flat_threshold, flat_leaf = self.feature.ravel(), self.threshold.ravel(), self.leaf.ravel()
        first_node = np.arange(trees) * nodes
        sums = np.empty(rows)
        for start in range(0, rows, ROWS_AT_ONCE):
            block = np.ascontiguousarray(features[start : start + ROWS_AT_ONCE])
            row_start = (np.arange(block.shape[0]) * block.shape[1])[:, None]
            values = block.ravel()
            node = np.zeros((block.shape[0], trees), dtype=np.intp)
            for _ in range(self.depth):
                place = node + first_node
                above = values[flat_feature[place] + row_start] > flat_threshold[place]
                node = 2 * node + 1 + above
            leaves = flat_leaf[node - nodes + np.arange(trees) * (nodes + 1)]
            sums[start : start + ROWS_AT_ONCE] = leaves.sum(axis=1)
        return sums

    def probability(self, features: Floats) -> Floats:
        """The probability for each row of a table of features."""
        return np.asarray(1.0 / (1.0 + np.exp(-self.log_odds(features))), dtype=np.float64)


def _spread(
    tokens: Iterator[str],
    node: int,
    level: int,
    depth: int,
    feature: NDArray[np.intp],
    threshold: Floats,
    leaf: Floats,
) -> None:
    """Place one branch of a tree; a leaf above the last level stands for everything under it."""
    number, question, limit = next(tokens).partition("<")
    if question:
        feature[node], threshold[node] = int(number), float(limit)
        _spread(tokens, 2 * node + 1, level + 1, depth, feature, threshold, leaf)
        _spread(tokens, 2 * node + 2, level + 1, depth, feature, threshold, leaf)
        return
    width = 2 ** (depth - level)
    first = (node + 1) * width - 2**depth
    leaf[first : first + width] = int(number) / LEAF_SCALE
