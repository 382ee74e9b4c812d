"""Settings: said on a page, kept, counted in every time that is shown; the hands' reach belongs to the lesson."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QProgressBar

from app.widgets.selection import Kind, Place
from app.widgets.song_facts import facts_line
from app.window.header import Workspace
from app.window.settings_page import SettingsPage
from app.window.shortcuts_page import first_lesson
from core.session.timing import LessonSettings
from core.song.hand_profile import HandProfile
from core.song.note import Hand

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
    shown.plan.numbers["speaking_rate"].setValue(70)
    shown.plan.numbers["right_hand_times"].setValue(4)
    shown.plan.pause.setValue(3.5)
    shown.plan.embellishments.boxes["octaves"].setChecked(False)
    lesson = opened.window.lesson_settings()
    assert lesson == LessonSettings(speaking_rate=70, right_hand_times=4, pause=3.5, embellishments=("broken",))
    qtbot.waitUntil(lambda: opened.window.header.facts.whole == facts_line(opened.song, lesson))
    assert facts_line(opened.song, lesson) != facts_line(opened.song)


def test_the_usual_values_come_back(opened: OpenWindow) -> None:
    shown = page(opened)
    shown.plan.numbers["count_in_bars"].setValue(0)
    shown.plan.usual.click()
    assert opened.window.lesson_settings() == LessonSettings()


def test_every_field_says_what_it_is(opened: OpenWindow) -> None:
    shown = page(opened)
    fields = (
        *shown.plan.numbers.values(),
        shown.plan.pause,
        *shown.reaches.values(),
        shown.theme,
        shown.zoom,
        shown.output,
    )
    assert all(field.accessibleName() for field in fields)


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("speaking_rate", 20, "speaking rate"),
        ("right_hand_times", 0, "right hand"),
        ("count_in_bars", 5, "count-in"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(opened: OpenWindow, name: str, value: int, sentence: str) -> None:
    shown = page(opened)
    before = shown.plan.numbers[name].value()
    shown.plan.numbers[name].setValue(value)
    assert sentence in opened.window.bar.text
    assert opened.window.lesson_settings() == LessonSettings()
    assert shown.plan.numbers[name].value() == before


def test_the_reach_of_the_hands_changes_the_lesson_and_can_be_undone(opened: OpenWindow) -> None:
    shown = page(opened)
    shown.reaches[Hand.LEFT].setValue(9)
    assert opened.song.hands == HandProfile(right_reach=12, left_reach=9)
    assert shown.reach_names[Hand.LEFT].text() == "a sixth"
    opened.window.menus.undo.trigger()
    assert opened.song.hands == HandProfile()
    assert shown.reaches[Hand.LEFT].value() == 12
    shown.reaches[Hand.RIGHT].setValue(40)
    assert "right hand's reach" in opened.window.bar.text
    assert shown.reaches[Hand.RIGHT].value() == 12


def test_undo_goes_to_the_lesson_while_a_number_is_typed(opened: OpenWindow) -> None:
    shown = page(opened)
    shown.reaches[Hand.LEFT].setValue(10)
    shown.reaches[Hand.RIGHT].setFocus()
    QTest.keyClick(shown.reaches[Hand.RIGHT], Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert opened.song.hands == HandProfile()


def test_escape_goes_back_to_work_from_a_number(opened: OpenWindow) -> None:
    shown = page(opened)
    QTest.keyClick(shown.plan.numbers["speaking_rate"], Qt.Key.Key_Escape)
    assert opened.window.page.isVisible()


def test_theme_size_and_output_are_kept(opened: OpenWindow) -> None:
    shown = page(opened)
    for box, name in ((shown.theme, "dark"), (shown.output, "none")):
        box.setCurrentIndex(box.findData(name))
        box.activated.emit(box.currentIndex())
    shown.zoom.setValue(140)
    settings = opened.settings.settings
    assert (settings.theme, settings.output, settings.zoom) == ("dark", "none", 140)
    shown.zoom.setValue(500)
    assert "zoom" in opened.window.bar.text
    assert shown.zoom.value() == 140


def test_the_page_follows_what_is_changed_elsewhere(opened: OpenWindow) -> None:
    shown = page(opened)
    opened.settings.change(zoom=90, count_in_bars=2, theme="light")
    assert (shown.zoom.value(), shown.plan.numbers["count_in_bars"].value()) == (90, 2)


def test_the_reach_is_measured_by_a_chord_that_is_played_and_let_go(opened: OpenWindow) -> None:
    opened.settings.change(keyboard="Stage piano")
    shown = page(opened)
    shown.measures[Hand.LEFT].click()
    assert "hurts" in shown.caution.text()
    for midi, on in ((48, True), (52, True), (57, True)):
        opened.engine.key.emit(midi, 60, on, 0.0)
    assert "9 semitones" in shown.caution.text()
    for midi in (48, 57, 52):
        assert opened.song.hands.left_reach == 12
        opened.engine.key.emit(midi, 0, False, 0.0)
    assert opened.song.hands == HandProfile(right_reach=12, left_reach=9)
    opened.engine.key.emit(30, 60, True, 0.0)
    opened.engine.key.emit(37, 60, True, 0.0)
    opened.engine.key.emit(30, 60, False, 0.0)
    opened.engine.key.emit(37, 60, False, 0.0)
    assert opened.song.hands.left_reach == 9, "what is played later is no measuring"


def test_what_no_hand_reaches_is_refused_when_measured(opened: OpenWindow) -> None:
    opened.settings.change(keyboard="Stage piano")
    shown = page(opened)
    shown.measures[Hand.RIGHT].click()
    for midi, on in ((48, True), (72, True), (48, False), (72, False)):
        opened.engine.key.emit(midi, 60 * on, on, 0.0)
    assert opened.song.hands == HandProfile()
    assert "reach" in opened.window.bar.text


def test_measuring_needs_a_keyboard_and_ends_with_escape(opened: OpenWindow) -> None:
    shown = page(opened)
    shown.measures[Hand.RIGHT].click()
    assert shown.measure.hand is None
    assert "keyboard" in opened.window.bar.text
    opened.settings.change(keyboard="Stage piano")
    shown.measures[Hand.RIGHT].click()
    assert shown.measure.hand is Hand.RIGHT
    QTest.keyClick(shown, Qt.Key.Key_Escape)
    assert shown.measure.hand is None
    assert shown.isVisible()


def test_own_phrases_are_kept_and_put_into_the_words_by_name(opened: OpenWindow) -> None:
    shown = page(opened)
    shown.phrases.setFocus()
    QTest.keyClicks(shown.phrases, "rest = Rest your hand.")
    shown.back.click()
    assert opened.settings.settings.phrases == ("rest = Rest your hand.",)
    opened.window.show_workspace(Workspace.DRAFT)
    words = opened.window.page.draft_panel.words.kinds["together"].field
    words.setFocus()
    words.selectAll()
    opened.window.menus.phrases.aboutToShow.emit()
    opened.window.menus.phrases.actions()[0].trigger()
    assert words.toPlainText() == "Rest your hand."
    own = opened.song.parts[0].teaching.words_for("together")
    assert own is not None
    assert own.text == "Rest your hand."


def test_all_text_can_be_twice_as_large(opened: OpenWindow) -> None:
    shown = page(opened)
    before = shown.back.fontMetrics().height()
    heading = opened.window.header.name.button.fontMetrics().height()
    shown.text_scale.setValue(200)
    assert shown.back.fontMetrics().height() >= 1.9 * before
    assert opened.window.header.name.button.fontMetrics().height() >= 1.9 * heading
    opened.settings.change(theme="dark")
    assert opened.window.header.name.button.fontMetrics().height() >= 1.9 * heading
    shown.text_scale.setValue(100)
    assert shown.back.fontMetrics().height() == before
    assert opened.window.header.name.button.fontMetrics().height() == heading


def test_less_motion_stops_what_moves_by_itself(opened: OpenWindow, qapp: QApplication) -> None:
    flash = qapp.cursorFlashTime()
    shown = page(opened)
    shown.motion.setChecked(True)
    assert qapp.cursorFlashTime() == 0
    opened.window.bar.work("Reading")
    assert not opened.window.bar.findChild(QProgressBar).isVisible()  # type: ignore[union-attr]  # the bar is there, or the test fails
    assert opened.window.bar.text == "Reading"
    shown.motion.setChecked(False)
    assert qapp.cursorFlashTime() == flash
    assert opened.window.bar.findChild(QProgressBar).isVisible()  # type: ignore[union-attr]  # the bar is there, or the test fails


def test_the_help_page_leads_through_a_first_lesson_in_ten_lines(opened: OpenWindow) -> None:
    opened.window.show_shortcuts()
    texts = [one.text() for one in opened.window.findChildren(QLabel)]
    lines = [text for _, text in first_lesson()]
    assert len(lines) == 10
    assert all(line in texts for line in lines)


def test_the_names_of_notes_are_chosen(opened: OpenWindow) -> None:
    shown = page(opened)
    shown.naming.setCurrentIndex(shown.naming.findText("German", Qt.MatchFlag.MatchStartsWith))
    shown.naming.activated.emit(shown.naming.currentIndex())
    assert opened.settings.settings.naming == "german"
    opened.window.show_workspace(Workspace.DRAFT)
    opened.window.selection.select(Place(1, Kind.NOTE, 3))
    assert ": H, " in opened.window.bar.text
