"""Light and dark: the colours of `core.drawing.colours` as the window's palette and style sheet."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from app.widgets.fonts import load_fonts, window_font
from app.widgets.labels import size_texts_again
from app.widgets.style_sheet import style_sheet
from core.drawing.colours import DARK, LIGHT, Theme
from core.drawing.shapes import Role

STYLE: Final = "Fusion"
"""The style of Qt that the program is dressed over; whoever makes the application names it."""
SYSTEM: Final = "system"
USUAL_PERCENT: Final = 100


class Themes(QObject):
    """Dresses the program in light or dark, as chosen or as the system has it."""

    changed = Signal()
    """The theme is another one now; what paints itself paints anew."""

    def __init__(
        self, application: QApplication, choice: str = SYSTEM, text_percent: int = 100, *, sheet_waits: bool = False
    ) -> None:
        """Dress the program.

        Args:
            application: what is dressed.
            choice: ``light``, ``dark`` or ``system``.
            text_percent: the size of the window's text in percent of the system's.
            sheet_waits: whether the style sheet waits for `put_on_sheet`. Qt looks through it for every widget that
                gets a parent; a window that is built first and dressed then opens sooner.
        """
        super().__init__(application)
        self._application = application
        self._sheet_waits = sheet_waits
        self._choice = choice
        self._theme: Theme | None = None
        load_fonts()
        self._system_font = QFont(application.font())
        self._text_percent = text_percent
        application.setFont(window_font(self._system_font, text_percent))
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._system_changed)
        self._dress()

    @property
    def theme(self) -> Theme:
        """The colours in use."""
        return self._theme or LIGHT

    def choose(self, choice: str) -> None:
        """Use ``light``, ``dark``, or what the ``system`` has."""
        self._choice = choice
        self._dress()

    @property
    def text_percent(self) -> int:
        """The size of the window's text in percent of the system's."""
        return self._text_percent

    def scale_text(self, percent: int) -> None:
        """Set the window's text in another size, 100 … 200 percent of the system's."""
        if percent != self._text_percent:
            self._text_percent = percent
            self._application.setFont(window_font(self._system_font, percent))
            self._show_sheet()  # lets every widget take the font up
            size_texts_again()
            self.changed.emit()

    def put_on_sheet(self) -> None:
        """Put on the style sheet that has waited."""
        self._sheet_waits = False
        self._show_sheet()

    def _show_sheet(self) -> None:
        if not self._sheet_waits:
            self._application.setStyleSheet(style_sheet(self.theme, self._text_percent))

    def _system_changed(self) -> None:
        if self._choice == SYSTEM:
            self._dress()

    def _wanted(self) -> Theme:
        if self._choice == SYSTEM:
            return DARK if QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark else LIGHT
        return DARK if self._choice == "dark" else LIGHT

    def _dress(self) -> None:
        theme = self._wanted()
        if theme is self._theme:
            return
        self._theme = theme
        self._application.setPalette(palette_of(theme))
        self._show_sheet()
        if self._text_percent != USUAL_PERCENT:
            size_texts_again()
        self.changed.emit()


def palette_of(theme: Theme) -> QPalette:
    """Qt's palette in a theme's colours."""
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: Role.GROUND,
        QPalette.ColorRole.WindowText: Role.INK,
        QPalette.ColorRole.Base: Role.CARD,
        QPalette.ColorRole.AlternateBase: Role.GROUND,
        QPalette.ColorRole.Text: Role.INK,
        QPalette.ColorRole.Button: Role.CARD,
        QPalette.ColorRole.ButtonText: Role.INK,
        QPalette.ColorRole.BrightText: Role.WARNING,
        QPalette.ColorRole.ToolTipBase: Role.INK,
        QPalette.ColorRole.ToolTipText: Role.CARD,
        QPalette.ColorRole.PlaceholderText: Role.QUIET,
        QPalette.ColorRole.Highlight: Role.INK,
        QPalette.ColorRole.HighlightedText: Role.CARD,
        QPalette.ColorRole.Link: Role.LEFT,
        QPalette.ColorRole.LinkVisited: Role.LEFT,
        QPalette.ColorRole.Accent: Role.INK,
        QPalette.ColorRole.Light: Role.CARD,
        QPalette.ColorRole.Midlight: Role.CARD_EDGE,
        QPalette.ColorRole.Mid: Role.CARD_EDGE,
        QPalette.ColorRole.Dark: Role.KEY_EDGE,
        QPalette.ColorRole.Shadow: Role.INK,
    }
    for role, name in roles.items():
        palette.setColor(role, QColor(theme[name]))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme[Role.QUIET]))
    return palette
