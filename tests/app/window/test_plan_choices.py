"""How a lesson is given is said on the page of settings, and kept under a name to be taken up again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.window.plan_choices import PlanChoices
from core.session.lesson_settings import LessonSettings, Preset
from core.session.running_order import running_order
from core.song.pattern_grid import Grid, OwnPattern

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tests.helpers.open_window import OpenWindow

SLOW = Preset("Slow", LessonSettings(right_hand_times=4, first_play_percent=60))
SHORT = Preset("Short", LessonSettings(together_times=1, segments=("right_hand", "together")))


@pytest.fixture
def choices(opened: OpenWindow) -> PlanChoices:
    opened.settings.change(presets=(SHORT, SLOW))
    opened.window.show_settings()
    found = opened.window.findChild(PlanChoices)
    assert found is not None
    return found


def names(choices: PlanChoices) -> list[str]:
    return [choices.presets.itemText(place) for place in range(choices.presets.count())]


def test_a_kind_of_segment_is_left_out_of_every_plan(opened: OpenWindow, choices: PlanChoices) -> None:
    choices.segments["left_hand"].setChecked(False)
    choices.segments["embellishment"].setChecked(False)
    kinds = {segment.kind for segment in running_order(opened.song, opened.window.lesson_settings())}
    assert kinds == {"opening", "right_hand", "together", "run_through", "closing"}
    choices.segments["left_hand"].setChecked(True)
    assert opened.window.lesson_settings().segments.index("left_hand") == 2


def test_a_lesson_that_teaches_nothing_is_refused_in_a_sentence(opened: OpenWindow, choices: PlanChoices) -> None:
    for kind in ("right_hand", "left_hand", "together", "run_through", "embellishment"):
        choices.segments[kind].setChecked(False)
    assert "at least one that teaches" in opened.window.bar.text
    assert choices.segments["embellishment"].isChecked()
    assert opened.window.lesson_settings().segments == ("opening", "embellishment", "closing")


def test_how_often_and_how_fast_things_are_played_is_chosen(opened: OpenWindow, choices: PlanChoices) -> None:
    choices.numbers["embellishment_times"].setValue(3)
    choices.numbers["first_play_percent"].setValue(70)
    choices.numbers["last_play_percent"].setValue(110)
    choices.opening.choose("end")
    choices.by_difference.setChecked(False)
    assert opened.window.lesson_settings() == LessonSettings(
        embellishment_times=3, first_play_percent=70, last_play_percent=110, opening="end", by_difference=False
    )


def test_a_tempo_out_of_range_is_refused_in_a_sentence(opened: OpenWindow, choices: PlanChoices) -> None:
    choices.numbers["first_play_percent"].setValue(10)
    assert "the tempo of the first play" in opened.window.bar.text
    assert choices.numbers["first_play_percent"].value() == 100


def test_a_preset_gives_all_its_values_at_once(opened: OpenWindow, choices: PlanChoices) -> None:
    assert names(choices) == ["Values of no preset", "Short", "Slow"]
    choices.presets.choose("Slow")
    assert opened.window.lesson_settings() == SLOW.settings
    assert choices.numbers["right_hand_times"].value() == 4
    assert names(choices) == ["Short", "Slow"]
    assert choices.presets.chosen == "Slow"
    choices.presets.choose("Short")
    assert not choices.segments["opening"].isChecked()


def test_values_are_kept_under_a_name(opened: OpenWindow, choices: PlanChoices) -> None:
    choices.numbers["count_in_bars"].setValue(2)
    QTest.keyClicks(choices.name, "  Two bars ")
    QTest.keyClick(choices.name, Qt.Key.Key_Return)
    kept = opened.settings.settings.presets
    assert [preset.name for preset in kept] == ["Short", "Slow", "Two bars"]
    assert kept[2].settings == LessonSettings(count_in_bars=2)
    assert choices.presets.chosen == "Two bars"


def test_a_preset_that_was_taken_up_and_changed_is_kept_in_its_own_place(
    opened: OpenWindow, choices: PlanChoices
) -> None:
    choices.presets.choose("Slow")
    choices.numbers["right_hand_times"].setValue(6)
    assert choices.presets.chosen == ""
    choices.keep.click()
    assert opened.settings.settings.lesson_as("Slow").right_hand_times == 6
    assert names(choices) == ["Short", "Slow"]


def test_a_preset_without_a_name_or_kept_twice_is_refused(opened: OpenWindow, choices: PlanChoices) -> None:
    choices.keep.click()
    assert "Type a name first" in opened.window.bar.text
    choices.presets.choose("Slow")
    choices.name.setText("Slower")
    choices.keep.click()
    assert "kept already, as “Slow”" in opened.window.bar.text
    assert opened.settings.settings.presets == (SHORT, SLOW)


def test_a_preset_is_removed_and_its_values_stay(opened: OpenWindow, choices: PlanChoices) -> None:
    assert not choices.remove.isEnabled()
    choices.presets.choose("Slow")
    choices.remove.click()
    assert opened.settings.settings.presets == (SHORT,)
    assert opened.window.lesson_settings() == SLOW.settings
    assert names(choices) == ["Values of no preset", "Short"]


def test_own_patterns_are_offered_among_what_is_shown_at_the_end(opened: OpenWindow, choices: PlanChoices) -> None:
    boxes = choices.embellishments
    opened.settings.change(own_patterns=(OwnPattern("rocking", (Grid.parse("R 8 - 5", 2),)),))
    boxes.boxes["own:rocking"].setChecked(True)
    assert opened.window.lesson_settings().embellishments == ("broken", "octaves", "own:rocking")
    boxes.boxes["thirds"].setChecked(True)
    assert "thirds" in opened.window.lesson_settings().embellishments
    opened.settings.change(own_patterns=())
    assert boxes.boxes["own:rocking"].isChecked()
    boxes.boxes["own:rocking"].setChecked(False)
    assert "own:rocking" not in boxes.boxes


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_no_box_is_cut_off_in_any_size_of_text(
    opened: OpenWindow, choices: PlanChoices, qtbot: QtBot, percent: int
) -> None:
    opened.settings.change(text_scale=percent)

    def all_are_whole() -> None:
        for box in choices.embellishments.boxes.values():
            left = box.mapTo(choices, QPoint(0, 0)).x()
            assert box.width() >= box.sizeHint().width()
            assert 0 <= left <= choices.width() - box.width()

    qtbot.waitUntil(all_are_whole)


def test_every_field_says_what_it_is(choices: PlanChoices) -> None:
    fields = (
        *choices.numbers.values(),
        *choices.segments.values(),
        choices.pause,
        choices.opening,
        choices.presets,
        choices.name,
    )
    assert all(field.accessibleName() for field in fields)


def test_escape_leaves_from_a_name_too(opened: OpenWindow, choices: PlanChoices) -> None:
    QTest.keyClick(choices.name, Qt.Key.Key_Escape)
    assert opened.window.page.isVisible()
