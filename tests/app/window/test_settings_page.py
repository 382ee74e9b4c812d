"""How lessons are given: said on a page, kept, and counted in every time that is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.widgets.song_facts import facts_line
from app.window.settings_page import SettingsPage
from core.session.timing import LessonSettings

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tests.helpers.open_window import OpenWindow


def page(opened: OpenWindow) -> SettingsPage:
    opened.window.show_settings()
    found = opened.window.findChild(SettingsPage)
    assert found is not None
    return found


def test_a_change_counts_at_once_and_is_kept(opened: OpenWindow, qtbot: QtBot) -> None:
    shown = page(opened)
    shown.numbers["speaking_rate"].setValue(70)
    shown.numbers["right_hand_times"].setValue(4)
    shown.pause.setValue(3.5)
    shown.patterns["octaves"].setChecked(False)
    lesson = opened.window.lesson_settings()
    assert lesson == LessonSettings(speaking_rate=70, right_hand_times=4, pause=3.5, embellishments=("broken",))
    qtbot.waitUntil(lambda: opened.window.header.facts.whole == facts_line(opened.song, lesson))
    assert facts_line(opened.song, lesson) != facts_line(opened.song)


def test_the_usual_values_come_back(opened: OpenWindow) -> None:
    shown = page(opened)
    shown.numbers["count_in_bars"].setValue(0)
    shown.usual.click()
    assert opened.window.lesson_settings() == LessonSettings()


def test_every_field_says_what_it_is(opened: OpenWindow) -> None:
    shown = page(opened)
    assert all(field.accessibleName() for field in (*shown.numbers.values(), shown.pause))
