"""The page of the teacher's own phrases: what is said in each kind of segment, in all lessons or in this one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QWidget

from app.document.document import LessonDocument
from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.choice_box import ChoiceBox
from app.widgets.form_page import FormPage
from app.widgets.labels import label
from app.widgets.text_editors import TextField
from core.edits.set_phrase import set_phrase
from core.session.running_order import running_order
from core.song.errors import DomainError, PlanError
from core.song.phrase import FIELDS, KINDS_OF_SEGMENTS, phrase_for, with_phrase

NOT_BROKEN: Final = "\N{NO-BREAK SPACE}"


class PhrasesPage(FormPage):
    """Every change counts at once; a phrase of the lesson belongs to it and can be undone."""

    refused = Signal(str)
    """One sentence: why a phrase cannot be."""

    def __init__(
        self,
        store: SettingsStore,
        document: LessonDocument,
        leave: Callable[[], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(leave, parent)
        self._store = store
        self._document = document
        self._typed_in: TextField | None = None
        self.kind = ChoiceBox(self.tr("Kind of segment"), self)
        self.every = self._field(self.tr("Said in all lessons"))
        self.here = self._field(self.tr("Said in this lesson"))
        self.preview = label("", self)
        self.preview.setWordWrap(True)
        self.preview.setAccessibleName(self.tr("What will be said"))
        self.back = Button(self.tr("Back to work"), self, does=leave)
        self._lay_out()
        self.kind.activated.connect(self._show)
        self.every.textChanged.connect(self._take_for_all)
        self.here.textChanged.connect(self._take_for_lesson)
        self.here.left.connect(document.end_typing)
        for field in (self.every, self.here):
            field.left.connect(self._show)
        store.changed.connect(self._show)
        document.song_changed.connect(self._show)

    def start(self) -> None:
        """Show the phrases as they are."""
        kinds = self._titles()
        self.kind.offer([(kind, kinds[kind]) for kind in KINDS_OF_SEGMENTS], self.kind.chosen or KINDS_OF_SEGMENTS[0])
        self._show()
        self.kind.setFocus(Qt.FocusReason.OtherFocusReason)

    def _titles(self) -> dict[str, str]:
        return {
            "opening": self.tr("Opening"),
            "right_hand": self.tr("Right hand of a part"),
            "left_hand": self.tr("Left hand of a part"),
            "together": self.tr("Both hands of a part"),
            "run_through": self.tr("Run-through"),
            "embellishment": self.tr("Embellishment"),
            "closing": self.tr("Closing"),
        }

    def _field(self, name: str) -> TextField:
        field = TextField(self)
        field.setAccessibleName(name)
        field.setPlaceholderText(self.tr("As computed"))
        return field

    def _lay_out(self) -> None:
        names = " ".join(f"‹{name}›".replace(" ", NOT_BROKEN) for name in FIELDS)
        told = self.tr("Your own words for each kind of segment. Filled for each lesson: %1").replace("%1", names)
        more = self.tr("‹words› are the computed ones. Words of your own for a part come before a phrase.")
        contents: list[QWidget] = []
        for text in (told, more):
            line = label(text, self, look="quiet")
            line.setWordWrap(True)
            contents.append(line)
        for text, field in (
            (self.tr("Kind of segment"), self.kind),
            (self.tr("Said in all lessons"), self.every),
            (self.tr("Said in this lesson, before the one above"), self.here),
        ):
            contents += [_named(text, field, self), field]
        contents += [label(self.tr("What will be said in this lesson"), self, look="heading"), self.preview]
        self.fill(self.tr("Phrases"), contents, (self.back,), spacing=10)

    def _take_for_all(self) -> None:
        phrases = self._store.settings.segment_phrases
        self._typed_in = self.every
        try:
            self._store.change(segment_phrases=with_phrase(phrases, self.kind.chosen, self.every.toPlainText()))
        except DomainError as error:
            sentence = str(error)
            self.refused.emit(sentence[:1].upper() + sentence[1:])
        self._typed_in = None

    def _take_for_lesson(self) -> None:
        kind, text = self.kind.chosen, self.here.toPlainText()
        self._typed_in = self.here
        self._document.apply(lambda song: set_phrase(song, kind, text), self.tr("phrase"), f"phrase {kind}")
        self._typed_in = None

    def _show(self) -> None:
        kind = self.kind.chosen
        for field, phrases in (
            (self.every, self._store.settings.segment_phrases),
            (self.here, self._document.song.phrases),
        ):
            phrase = phrase_for(phrases, kind)
            text = phrase.text if phrase is not None else ""
            if field.toPlainText().strip() != text and field is not self._typed_in:
                field.show_text(text)
        self.preview.setText("\n".join(self._said(kind)))

    def _said(self, kind: str) -> tuple[str, ...]:
        """What is said in the first segment of a kind; a sentence where this lesson has none."""
        try:
            segments = running_order(self._document.song, self._store.settings.lesson())
        except PlanError as error:
            return (str(error),)
        found = next((segment for segment in segments if segment.kind == kind), None)
        if found is None:
            return (self.tr("This lesson has no segment of this kind."),)
        return found.say or (self.tr("Nothing is said."),)


def _named(text: str, field: QWidget, parent: QWidget) -> QLabel:
    made = label(text, parent)
    made.setBuddy(field)
    return made
