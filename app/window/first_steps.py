"""The first steps: three hints beside the open lesson, each of which goes away once it has been done."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.settings.settings import FIRST_HINTS
from app.widgets.button import Button
from app.widgets.labels import label
from app.window.header import Workspace

if TYPE_CHECKING:
    from app.document.document import LessonDocument
    from app.listen.piece import Piece
    from app.listen.player import Player
    from app.settings.settings_store import SettingsStore


def first_hints() -> tuple[str, ...]:
    """What is to be tried first, in the order of the work."""

    def translated(text: str) -> str:
        return QCoreApplication.translate("FirstSteps", text)

    return (
        translated("Press Space: the selected part is played. Space again stops it."),
        translated("Click a note and type its new name: a letter from A to G, then # or b if need be. Ctrl+Z undoes."),
        translated("Press F5 for what to say and to play before the camera. F3 leads back, F1 shows every key."),
    )


class FirstSteps(QWidget):
    """A line above the messages; what has been done is remembered in the settings.

    Args:
        document: a change in it is the second step.
        player: playing is the first step.
        settings: remember how many steps are done.
        chosen: connects a slot to the choice of a workspace; the camera is the third step.
        parent: the widget it lies in.
    """

    def __init__(
        self,
        document: LessonDocument,
        player: Player,
        settings: SettingsStore,
        chosen: Callable[[Callable[[Workspace], object]], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._settings = settings
        self.setObjectName("message-bar")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName(self.tr("First steps"))
        self._count = label("", self, look="heading")
        self.text = label("", self)
        self.text.setWordWrap(True)
        self.next = Button(self.tr("Next hint"), self, does=lambda: self._done(self._number))
        self.no_more = Button(self.tr("No more hints"), self, does=lambda: self._done(FIRST_HINTS))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(20, 4, 20, 4)
        layout.setSpacing(12)
        layout.addWidget(self._count)
        layout.addWidget(self.text, 1)
        layout.addWidget(self.next)
        layout.addWidget(self.no_more)
        player.playing_changed.connect(self._played)
        document.song_changed.connect(lambda *_: self._do(2))
        chosen(self._workspace_chosen)
        settings.changed.connect(self._show)
        self._show()

    @property
    def _number(self) -> int:
        return self._settings.settings.hints_done + 1

    def _played(self, piece: Piece | None) -> None:
        if piece is not None:
            self._do(1)

    def _workspace_chosen(self, workspace: Workspace) -> None:
        if workspace is Workspace.CAMERA:
            self._do(3)

    def _do(self, step: int) -> None:
        """A step was done; it counts where it is the one that is shown."""
        if step == self._number:
            self._done(step)

    def _done(self, number: int) -> None:
        self._settings.change(hints_done=min(max(number, self._settings.settings.hints_done), FIRST_HINTS))

    def _show(self) -> None:
        hints = first_hints()
        self.setVisible(self._number <= len(hints))
        if self._number <= len(hints):
            text = hints[self._number - 1]
            count = self.tr("First steps, %1 of %2").replace("%1", str(self._number)).replace("%2", str(len(hints)))
            self._count.setText(count)
            self.text.setText(text)
            self.text.setAccessibleName(text)
            self.next.setVisible(self._number < len(hints))
