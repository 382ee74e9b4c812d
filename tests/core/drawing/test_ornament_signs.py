"""Ornaments of the melody are drawn above their beads, and belong to their notes."""

from __future__ import annotations

from itertools import pairwise

import pytest

from core.drawing.ornament_signs import ornament_sign
from core.drawing.shapes import Circle, Line, Subject
from core.song.note import GRACE_ABOVE, GRACE_BELOW, TURN

NOTE = Subject("note", 2, 3)


def test_a_turn_is_a_wave_above_the_bead() -> None:
    shapes = ornament_sign(TURN, 100.0, 50.0, NOTE)
    assert len(shapes) > 4
    lines = [shape for shape in shapes if isinstance(shape, Line)]
    assert len(lines) == len(shapes)
    assert all(line.subject == NOTE and max(line.y1, line.y2) <= 50.0 for line in lines)
    for one, after in pairwise(lines):
        assert (one.x2, one.y2) == (after.x1, after.y1)


@pytest.mark.parametrize(("ornament", "rises"), [(GRACE_ABOVE, False), (GRACE_BELOW, True)])
def test_a_grace_note_is_a_small_dot_with_a_stroke_to_its_note(ornament: str, rises: bool) -> None:
    dot, stroke = ornament_sign(ornament, 100.0, 50.0, NOTE)
    assert isinstance(dot, Circle)
    assert isinstance(stroke, Line)
    assert dot.x < 100.0
    assert (stroke.y2 < stroke.y1) is rises


def test_no_ornament_draws_nothing() -> None:
    assert ornament_sign("", 100.0, 50.0, NOTE) == []
