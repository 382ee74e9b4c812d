"""Embellishing a part as it is done by hand: tried, heard, kept or left, undone; patterns drawn on a grid."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.listen.embellish_panel import EmbellishPanel
from app.listen.piece import Piece
from app.settings.settings_store import SettingsStore
from app.widgets.selection import Place
from app.window.header import Workspace
from core.arranging.embellished import chosen_words
from core.arranging.levels import neighbours
from core.edits.set_teaching import set_pattern
from core.performance.schedule import make_schedule
from core.performance.selection import one_part
from core.session.analysis import part_effort
from core.song.pattern_grid import Grid, OwnPattern
from core.teaching.left_hand_movement import part_movement_sentence
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.songs import lamplighters_waltz, night_ferry


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path) -> Iterator[OpenWindow]:
    assert qtbot is not None
    with open_window(night_ferry(), tmp_path, (1280, 720)) as found:
        found.window.show_workspace(Workspace.LISTEN)
        yield found


def panel_of(opened: OpenWindow) -> EmbellishPanel:
    return opened.window.page.listen_panel.embellish


def test_a_choice_is_tried_before_it_is_kept(opened: OpenWindow) -> None:
    panel, before = panel_of(opened), opened.song
    assert panel.keep.isHidden()
    panel.left.choose("octaves")
    assert opened.song is before
    now, then = (round(part_effort(song, 1).total) for song in (before, set_pattern(before, 1, "octaves")))
    assert panel.effect.text() == f"Effort {then} of 100; it is {now} now. Both hands reach all of it."
    panel.keep.click()
    assert opened.song == set_pattern(before, 1, "octaves")
    assert panel.keep.isHidden()
    opened.document.undo_stack.undo()
    assert opened.song is before
    assert panel.left.chosen == "block"


def test_everything_tried_is_kept_as_one_step_of_undo(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    panel.left.choose("broken")
    panel.right.choose("sixths")
    panel.rhythm.choose("late")
    panel.chords.choose("nearest")
    panel.pedal.choose("pedal")
    panel.keep.click()
    assert opened.song.parts[0].teaching.pedal
    chosen = opened.song.parts[0].teaching
    assert (chosen.pattern, chosen.harmony, chosen.rhythm, chosen.voicing) == ("broken", "sixths", "late", "nearest")
    opened.document.undo_stack.undo()
    assert opened.song.parts[0].teaching.harmony == "none"


def test_what_is_left_changes_nothing(opened: OpenWindow) -> None:
    panel, before = panel_of(opened), opened.song
    panel.right.choose("thirds")
    panel.leave.click()
    assert opened.song is before
    assert (panel.right.chosen, panel.trial) == ("none", None)


def test_choosing_another_part_leaves_what_was_tried_and_another_note_does_not(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    panel.right.choose("thirds")
    opened.window.selection.select(Place(1))
    assert panel.trial is not None
    opened.window.selection.select(Place(2))
    assert panel.trial is None


def test_what_plays_goes_on_with_what_is_tried(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    opened.window.player.play(Piece("part", 1))
    plain = opened.engine.schedule
    panel.left.choose("broken")
    assert opened.engine.playing
    tried = set_pattern(opened.song, 1, "broken")
    assert opened.engine.schedule.events == make_schedule(tried, one_part(tried, 1)).events
    panel.leave.click()
    assert opened.engine.schedule.events == plain.events


def test_what_is_tried_is_heard_at_a_press(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    panel.left.choose("octaves")
    panel.hear.click()
    tried = set_pattern(opened.song, 1, "octaves")
    assert opened.engine.playing
    assert opened.engine.schedule.events == make_schedule(tried, one_part(tried, 1)).events


def test_easier_and_harder_say_their_effort_and_go_one_step(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    _, harder = neighbours(opened.song, 1)
    assert harder is not None
    assert panel.harder.text() == f"Harder: {round(harder.effort)}"
    assert harder.title in panel.harder.accessibleName()
    panel.harder.click()
    assert (panel.left.chosen, panel.right.chosen) == (harder.pattern, harder.harmony)
    panel.keep.click()
    chosen = opened.song.parts[0].teaching
    assert (chosen.pattern, chosen.harmony) == (harder.pattern, harder.harmony)


def test_how_far_either_voicing_moves_the_hand_is_said(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    assert part_movement_sentence(opened.song, 1) in panel.about.text()


def test_what_both_hands_would_do_is_said(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    panel.right.choose("thirds")
    panel.pedal.choose("pedal")
    assert panel.trial is not None
    assert all(words in panel.about.text() for words in chosen_words(panel.trial, 1))


@pytest.mark.parametrize(("frame", "number"), [("introduction 2", 1), ("ending 4", 4)])
def test_an_introduction_or_ending_is_heard_and_added(opened: OpenWindow, frame: str, number: int) -> None:
    panel, before = panel_of(opened), opened.song
    panel.frame.choose(frame)
    assert panel.effect.text().startswith(f"It would be part {number}, effort ")
    panel.hear.click()
    assert opened.engine.playing
    opened.engine.move_to(0.5)
    panel.keep.click()
    assert len(opened.song.parts) == 4
    assert opened.song.parts[number % 4] is before.parts[0]
    opened.document.undo_stack.undo()
    assert opened.song is before


def test_a_pattern_is_drawn_heard_and_kept_for_other_lessons(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    opened.window.player.play(Piece("part", 1))
    panel.draw.click()
    QTest.keyClicks(panel.own.name, "rocking")
    for tone, column in (("R", 0), ("8", 3), ("5", 3)):
        QTest.mouseClick(panel.own.grid.cell(tone, column), Qt.MouseButton.LeftButton)
    drawn = OwnPattern("rocking", (Grid.parse("R - - 5+8 - - - -", 2),))
    assert panel.own.pattern == drawn
    assert panel.trial is not None
    assert panel.trial.patterns == (drawn,)
    tried = panel.trial
    assert opened.engine.schedule.events == make_schedule(tried, one_part(tried, 1)).events
    panel.keep.click()
    assert opened.song.patterns == (drawn,)
    assert opened.song.parts[0].teaching.pattern == "rocking"
    assert SettingsStore(opened.settings.folder / "settings.json").settings.own_patterns == (drawn,)


def test_a_pattern_of_another_lesson_is_offered_and_taken_into_this_one(qtbot: QtBot, tmp_path: Path) -> None:
    assert qtbot is not None
    drawn = OwnPattern("rocking", (Grid.parse("R 5 8"),))
    SettingsStore(tmp_path / "settings.json").change(own_patterns=(drawn,))
    with open_window(lamplighters_waltz(), tmp_path) as opened:
        opened.window.show_workspace(Workspace.LISTEN)
        panel = panel_of(opened)
        panel.left.choose("rocking")
        panel.keep.click()
        assert opened.song.patterns == (drawn,)
        panel.draw.click()
        assert panel.own.name.text() == "rocking"
        assert panel.own.grid.grid() is None or panel.own.grid.grid() == drawn.grids[0]


def test_the_grid_is_walked_and_struck_with_keys(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    opened.window.activateWindow()
    panel.draw.click()
    grid = panel.own.grid
    first = grid.cell("5", 0)
    first.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(first, Qt.Key.Key_Down)
    QTest.keyClick(grid.cell("R", 0), Qt.Key.Key_Right)
    QTest.keyClick(grid.cell("R", 1), Qt.Key.Key_Space)
    assert grid.cell("R", 1).isChecked()
    assert grid.grid() == Grid.parse(". R - - - - - -", 2)
    assert not opened.engine.playing


def test_every_cell_says_its_tone_and_place(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    panel.draw.click()
    names = [cell.accessibleName() for row in panel.own.grid.cells for cell in row]
    assert len(set(names)) == len(names) == 8 * 8
    assert panel.own.grid.cell("5", 3).accessibleName() == "fifth, beat 2, cell 2 of 2"


def test_a_rest_takes_the_place_of_tones_and_tones_of_a_rest(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    panel.draw.click()
    grid = panel.own.grid
    for tone, column in (("R", 0), ("5", 1), (".", 1)):
        grid.cell(tone, column).click()
    assert grid.grid() == Grid.parse("R . - - - - - -".replace(" -", " ."), 2)
    grid.cell("8", 1).click()
    assert not grid.cell(".", 1).isChecked()


def test_a_name_of_the_trade_is_refused_for_an_own_pattern(opened: OpenWindow) -> None:
    panel = panel_of(opened)
    panel.draw.click()
    panel.own.grid.cell("R", 0).click()
    panel.own.name.setText("")
    QTest.keyClicks(panel.own.name, "octaves")
    assert "octaves" in opened.window.bar.text
    assert panel.trial is None or all(own.name != "octaves" for own in panel.trial.patterns)


def test_nothing_is_clipped_in_a_small_window_while_a_pattern_is_drawn(opened: OpenWindow) -> None:
    panel = opened.window.page.listen_panel
    panel.embellish.draw.click()
    panel.embellish.own.division.setCurrentIndex(3)
    panel.embellish.own.division.activated.emit(3)
    room = panel.parentWidget()
    assert room is not None
    assert panel.minimumSizeHint().width() <= room.width()
