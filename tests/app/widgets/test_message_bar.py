"""The message bar: questions before work before messages before hints."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.widgets.message_bar import Answer, MessageBar


@pytest.fixture
def bar(qtbot: QtBot) -> MessageBar:
    found = MessageBar()
    qtbot.addWidget(found)
    return found


def test_a_message_stays_until_the_next_thing_is_done(bar: MessageBar) -> None:
    bar.hint("Space plays it.")
    assert bar.text == "Space plays it."
    bar.say("There is no room behind this note.")
    bar.hint("Another hint.")
    assert bar.text == "There is no room behind this note."
    bar.settle()
    assert bar.text == "Another hint."


def test_what_went_well_is_said_without_the_mark_of_what_did_not(bar: MessageBar) -> None:
    bar.show()
    bar.say("The file cannot be written.")
    assert bar._mark.isVisible()
    bar.note("Saved as mine.lesson.")
    assert bar.text == "Saved as mine.lesson."
    assert not bar._mark.isVisible()
    bar.settle()
    assert bar.text == ""


def test_a_question_waits_for_its_answer_and_then_does_it(bar: MessageBar) -> None:
    done: list[str] = []
    bar.ask("Save?", [Answer("Save", lambda: done.append("saved")), Answer("Stay", lambda: done.append("stayed"))])
    bar.say("A message meanwhile.")
    bar.settle()
    assert bar.is_asking
    assert bar.text == "Save?"
    bar.answers[0].click()
    assert done == ["saved"]
    assert not bar.is_asking
    assert not bar.answers


def test_escape_takes_the_answer_that_changes_nothing(bar: MessageBar) -> None:
    done: list[str] = []
    bar.show()
    bar.ask("Save?", [Answer("Save", lambda: done.append("saved")), Answer("Stay", lambda: done.append("stayed"))])
    QTest.keyClick(bar, Qt.Key.Key_Escape)
    assert done == ["stayed"]


def test_an_answer_may_ask_the_next_question(bar: MessageBar) -> None:
    bar.ask("First?", [Answer("Yes", lambda: bar.ask("Second?", [Answer("Yes", lambda: None)]))])
    bar.answers[0].click()
    assert bar.text == "Second?"
    assert bar.is_asking


def test_work_can_be_cancelled_also_after_a_question(bar: MessageBar) -> None:
    cancelled: list[bool] = []
    bar.work("Reading …", lambda: cancelled.append(True))
    bar.ask("Save?", [Answer("Stay", lambda: None)])
    bar.answers[0].click()
    assert bar.text == "Reading …"
    bar.answers[0].click()
    assert cancelled == [True]
    bar.work_ended()
    assert not bar.answers
    assert bar.text == ""


def test_the_way_to_cancel_stays_where_it_is_while_one_work_goes_on(bar: MessageBar) -> None:
    """Whoever has gone to it by Tab must not lose it at every step."""
    done: list[str] = []

    def cancel() -> None:
        done.append("cancelled")

    bar.show()
    bar.work("Writing 1 of 3 …", cancel, (0, 3))
    button = bar.answers[0]
    bar.work("Writing 2 of 3 …", cancel, (1, 3))
    assert bar.answers == (button,)
    assert (bar._progress.maximum(), bar._progress.value()) == (3, 1)
    bar.answers[0].click()
    assert done == ["cancelled"]
    bar.work_ended()
    bar.work("Reading …", lambda: None)
    assert bar.answers[0] is not button
    assert bar._progress.maximum() == 0, "how long reading takes is not known"
