"""Forests are read from text and give the leaf that the questions lead to."""

from __future__ import annotations

import numpy as np
import pytest

from core.teaching.trees import Forest


def test_a_question_leads_to_the_first_branch_up_to_its_limit_and_to_the_second_above() -> None:
    forest = Forest.read("0<1.5 -1000 2000", depth=1)
    assert forest.log_odds(np.array([[1.5], [1.6]])).tolist() == [-1.0, 2.0]


def test_leaves_of_all_trees_are_added() -> None:
    forest = Forest.read("0<0 100 1<5 200 300;1<1 10 20", depth=2)
    assert forest.log_odds(np.array([[-1.0, 9.0], [1.0, 0.0], [1.0, 9.0]])) == pytest.approx([0.12, 0.21, 0.32])


def test_a_leaf_above_the_last_level_is_reached_whatever_else_is_asked() -> None:
    forest = Forest.read("0<0 -7 1<0 5 6", depth=3)
    rows = np.array([[-1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [1.0, 1.0]])
    assert forest.log_odds(rows) == pytest.approx([-0.007, -0.007, 0.005, 0.006])


def test_many_rows_give_the_same_as_each_alone() -> None:
    forest = Forest.read("0<0.5 1<0.25 1 2 3;1<0.75 4 0<0.1 5 6", depth=2)
    rows = np.random.default_rng(0).random((1300, 2))
    alone = [float(forest.log_odds(row[None, :])[0]) for row in rows[::100]]
    assert forest.log_odds(rows)[::100] == pytest.approx(alone)


def test_probability_is_the_logistic_of_the_log_odds() -> None:
    assert Forest.read("0", depth=1).probability(np.zeros((1, 1)))[0] == pytest.approx(0.5)
