"""The message bar: where the program speaks, instead of boxes that stand in the way.

One line at the window's foot. It shows, in this order of weight: a question with its answers, work that is
going on, a message, and else a hint about what has the keyboard's attention. A message stays until the next
thing is done, so that nobody has to hurry to read it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleEvent, QKeyEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLabel, QProgressBar, QSizePolicy, QWidget
from shiboken6 import isValid

from app.widgets.button import Button
from app.widgets.labels import label

HINT: Final = "hint"
"""The dress of what is said only in passing."""


class Answer(Struct, frozen=True):
    """One answer to a question: what its button says, and what it does."""

    text: str
    does: Callable[[], object]


class MessageBar(QWidget):
    """The line at the window's foot."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("message-bar")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName(self.tr("Messages"))
        self._hint = ""
        self._message = ""
        self._is_good = False
        self._question = ""
        self._work = ""
        self._share: tuple[int, int] | None = None
        self._moves: Callable[[], bool] = lambda: True
        self._cancel: Callable[[], object] | None = None
        self._back_to: QWidget | None = None
        self._answers: list[Button] = []
        self._mark = label("●", self, look="warning")
        self._mark.setAccessibleName(self.tr("Message"))
        self._text = label("", self, look=HINT)
        self._text.setWordWrap(True)
        self._text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._progress = QProgressBar(self)
        self._progress.setRange(0, 0)
        self._progress.setTextVisible(False)
        self._progress.setFixedWidth(120)
        self._progress.setAccessibleName(self.tr("Progress"))
        self._layout = QHBoxLayout(self)
        self._layout.setContentsMargins(20, 4, 20, 4)
        self._layout.setSpacing(8)
        self._layout.addWidget(self._mark)
        self._layout.addWidget(self._text, 1)
        self._layout.addWidget(self._progress)
        self.setMinimumHeight(36)
        self._show()

    @property
    def text(self) -> str:
        """What the bar says now."""
        return self._text.text()

    @property
    def is_asking(self) -> bool:
        """Whether a question waits for its answer."""
        return bool(self._question)

    @property
    def answers(self) -> tuple[Button, ...]:
        """The buttons of the question, or of the work that can be cancelled."""
        return tuple(self._answers)

    def hint(self, text: str) -> None:
        """Show a hint whenever there is nothing weightier."""
        self._hint = text
        self._show()

    def say(self, text: str) -> None:
        """Show a message that asks for attention; it waits behind a question."""
        self._message, self._is_good = text, False
        self._show(announce=not self._question)

    def note(self, text: str) -> None:
        """Show that something went well; like a message, but without its mark."""
        self._message, self._is_good = text, True
        self._show(announce=not self._question)

    def let_move(self, moves: Callable[[], bool]) -> None:
        """Say what knows whether a bar may run to and fro while work goes on; the words say that it does either way."""
        self._moves = moves
        self._show()

    def settle(self) -> None:
        """The next thing was done: let go of the message."""
        if self._message:
            self._message = ""
            self._show()

    def ask(self, question: str, answers: Sequence[Answer]) -> None:
        """Ask a question; an answer ends it and then does what it stands for. The first one gets the focus."""
        if not self._question:
            self._back_to = QApplication.focusWidget()
        self._question = question
        self._put_answers(answers, ends_question=True)
        self._show(announce=True)
        if self._answers:
            self._answers[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def withdraw(self) -> None:
        """Take the question back unanswered."""
        if self._question:
            self._question = ""
            back_to, self._back_to = self._back_to, None
            if back_to is not None and isValid(back_to):
                back_to.setFocus(Qt.FocusReason.OtherFocusReason)
            self._offer_cancel()
            self._show()

    def work(self, text: str, cancel: Callable[[], object] | None = None, share: tuple[int, int] | None = None) -> None:
        """Say what is being done, with a way to cancel it; `share` is how many of how many steps are done."""
        goes_on = bool(self._work) and cancel == self._cancel
        self._work, self._cancel, self._share = text, cancel, share
        if not self._question and not goes_on:  # the button stays, and the keyboard's attention with it
            self._offer_cancel()
        self._show(announce=True)

    def work_ended(self) -> None:
        """The work is done or was cancelled."""
        self._work, self._cancel = "", None
        if not self._question:
            self._offer_cancel()
        self._show()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Escape takes the last answer, which always changes nothing."""
        if event.key() == Qt.Key.Key_Escape and self._answers:
            self._answers[-1].click()
            return
        super().keyPressEvent(event)

    def _offer_cancel(self) -> None:
        self._put_answers([Answer(self.tr("Cancel"), self._cancel)] if self._cancel else ())

    def _put_answers(self, answers: Sequence[Answer], *, ends_question: bool = False) -> None:
        for button in self._answers:
            self._layout.removeWidget(button)
            button.hide()
            button.deleteLater()
        self._answers = []
        for answer in answers:
            button = Button(answer.text, self)
            button.clicked.connect(lambda _=False, chosen=answer: self._answered(chosen, ends_question))
            self._layout.addWidget(button)
            self._answers.append(button)

    def _answered(self, answer: Answer, ends_question: bool) -> None:
        if ends_question:
            self.withdraw()
        answer.does()

    def _show(self, *, announce: bool = False) -> None:
        weighty = self._question or self._work or self._message
        self._text.setText(weighty or self._hint)
        look = "" if weighty else HINT
        if look != self._text.property("look"):
            self._text.setProperty("look", look)
            _dress_again(self._text)
        self._mark.setVisible(bool(self._question or (self._message and not self._is_good and not self._work)))
        done, of = self._share or (0, 0)
        self._progress.setRange(0, of)  # without steps the bar runs to and fro
        self._progress.setValue(done)
        self._progress.setVisible(bool(self._work) and not self._question and (bool(of) or self._moves()))
        self._text.setAccessibleName(self._text.text())
        if announce:
            QAccessible.updateAccessibility(QAccessibleEvent(self._text, QAccessible.Event.Alert))


def _dress_again(widget: QLabel) -> None:
    """Let the style sheet look at a widget's properties once more."""
    widget.style().unpolish(widget)
    widget.style().polish(widget)
