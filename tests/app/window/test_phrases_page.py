"""The page of own phrases: typed once, said in every lesson or in this one, undone with the lesson."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel

from app.widgets.button import Button
from app.window.phrases_page import PhrasesPage
from app.window.settings_page import SettingsPage
from core.song.phrase import FIELDS, Phrase

if TYPE_CHECKING:
    from tests.helpers.open_window import OpenWindow


def page(opened: OpenWindow, kind: str = "opening") -> PhrasesPage:
    opened.window.show_phrases()
    found = opened.window.findChild(PhrasesPage)
    assert found is not None
    found.kind.choose(kind)
    return found


def test_a_phrase_for_all_lessons_is_kept_in_the_settings_and_shown_as_it_will_be_said(opened: OpenWindow) -> None:
    shown = page(opened)
    assert shown.preview.text().startswith("Hello. This is the verse of Night Ferry")
    shown.every.setPlainText("Good evening. ‹title› is in ‹key›.")
    assert opened.settings.settings.segment_phrases == (Phrase("opening", "Good evening. ‹title› is in ‹key›."),)
    assert shown.preview.text() == "Good evening. Night Ferry is in E Dorian."
    assert opened.song.phrases == ()


def test_a_phrase_of_the_lesson_wins_and_can_be_undone_in_one_step(opened: OpenWindow) -> None:
    opened.settings.change(segment_phrases=(Phrase("opening", "Good evening."),))
    shown = page(opened)
    for typed in ("W", "We", "Welcome."):
        shown.here.setPlainText(typed)
    assert shown.preview.text() == "Welcome."
    opened.document.undo_stack.undo()
    assert opened.song.phrases == ()
    assert (shown.here.toPlainText(), shown.preview.text()) == ("", "Good evening.")


def test_an_unknown_field_is_refused_with_those_there_are_and_nothing_changes(opened: OpenWindow) -> None:
    shown = page(opened)
    said = [opened.document.message, shown.refused]
    heard: list[str] = []
    for signal in said:
        signal.connect(heard.append)
    shown.every.setPlainText("Hello, ‹titel›.")
    shown.here.setPlainText("Hello, ‹titel›.")
    assert len(heard) == 2
    assert all("'titel'" in sentence and ", ".join(FIELDS) in sentence for sentence in heard)
    assert (opened.song.phrases, opened.settings.settings.segment_phrases) == ((), ())


def test_every_kind_has_a_phrase_of_its_own(opened: OpenWindow) -> None:
    shown = page(opened, "closing")
    shown.every.setPlainText("Goodbye.")
    shown.kind.choose("right_hand")
    assert shown.every.toPlainText() == ""
    shown.every.setPlainText("Look: ‹words›")
    shown.kind.choose("closing")
    assert shown.every.toPlainText() == "Goodbye."
    assert [phrase.kind for phrase in opened.settings.settings.segment_phrases] == ["right_hand", "closing"]


def test_the_page_says_which_fields_there_are_and_is_reached_from_the_settings(opened: OpenWindow) -> None:
    opened.window.show_settings()
    settings = opened.window.findChild(SettingsPage)
    assert settings is not None
    settings.segments.click()
    shown = opened.window.findChild(PhrasesPage)
    assert shown is not None
    assert shown.isVisible()
    texts = " ".join(" ".join(one.text().split()) for one in shown.findChildren(QLabel))
    assert all(f"‹{name}›" in texts for name in FIELDS)
    assert isinstance(shown.back, Button)
    shown.back.click()
    assert not shown.isVisible()
