"""What Qt is told when it asks for a text in the language of the program."""

from __future__ import annotations

from gettext import NullTranslations

import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QApplication

from app.window.spoken_texts import SpokenTexts


class FewTexts(NullTranslations):
    def gettext(self, message: str, /) -> str:
        return {"Open": "Öffnen", "left": "links"}.get(message, message)

    def pgettext(self, context: str, message: str, /) -> str:
        return {("LineOfNotes", "left"): "übrig"}.get((context, message), message)


@pytest.mark.parametrize(
    ("context", "text", "said"),
    [
        ("Menus", "Open", "Öffnen"),
        ("Menus", "left", "links"),
        ("LineOfNotes", "left", "übrig"),
        ("Menus", "Close", "Close"),
        ("Menus", "", ""),
    ],
)
def test_a_text_is_said_with_the_meaning_it_has_there_and_else_left_in_english(
    context: str, text: str, said: str, qapp: QApplication
) -> None:
    translator = SpokenTexts(FewTexts(), qapp)
    qapp.installTranslator(translator)
    try:
        assert QCoreApplication.translate(context, text) == said
    finally:
        qapp.removeTranslator(translator)
