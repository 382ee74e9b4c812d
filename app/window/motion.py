"""What moves by itself: menus that unfold, a cursor that blinks, a bar that runs to and fro while work goes on.

Nothing of it carries a meaning that is not also in words. It stops where the settings or the system ask for less
motion; what is played goes on being followed, a step at a time, since that is the music's own movement.
"""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

EFFECTS: Final = (
    Qt.UIEffect.UI_AnimateMenu,
    Qt.UIEffect.UI_FadeMenu,
    Qt.UIEffect.UI_AnimateCombo,
    Qt.UIEffect.UI_AnimateTooltip,
    Qt.UIEffect.UI_FadeTooltip,
)


class Motion:
    """The system's own ways of moving, kept so that they can come back."""

    def __init__(self) -> None:
        self._less = False
        self._flash = QApplication.cursorFlashTime()
        self._effects = [effect for effect in EFFECTS if QApplication.isEffectEnabled(effect)]

    def choose(self, choice: str) -> None:
        """Move as the ``system`` does, or ``less``."""
        self._less = less = choice == "less"
        QApplication.setCursorFlashTime(0 if less else self._flash)
        for effect in self._effects:
            QApplication.setEffectEnabled(effect, not less)

    def may_move(self) -> bool:
        """Whether work in progress may be shown moving."""
        from PySide6.QtWidgets import QStyle  # slow to load, and asked for only when something is worked at

        duration = QApplication.style().styleHint(QStyle.StyleHint.SH_Widget_Animation_Duration)
        return not self._less and duration > 0
