"""The window's style sheet: one grid of 4 pixels, one type scale, calm colours.

Controls name what they are with Qt's object names or the property ``look``; no widget carries colours itself.
"""

from __future__ import annotations

from string import Template
from typing import Final

from app.resources import asset_path
from core.drawing.colours import DARK, Theme

SIGNS: Final = {"tick": 14, "arrow": 10, "drop": 22, "spin": 20}
"""Pixels of a box to tick, of arrows, and of what they stand in, at the usual size of text."""
_SHEET: Final = Template("""
QWidget#header { background: $card; border-bottom: 1px solid $card_edge; }
QWidget#side, QScrollArea#side { background: $card; border: none; border-left: 1px solid $card_edge; }
QScrollArea#sheet { border: 2px solid transparent; }
QScrollArea#sheet[look="tabbed"]:focus { border-color: $left; }
QWidget#keyboard-ground { background: $ground; border-top: 1px solid $card_edge; }
QWidget#message-bar { background: $card; border-top: 1px solid $card_edge; }
QLabel#song-name { font-size: 15pt; font-weight: 600; }
QLabel[look="quiet"] { color: $quiet; }
QLabel[look="heading"] { font-weight: 600; color: $quiet; }
QLabel[look="warning"] { color: $warning; }
QLabel[look="afloat"] { background: $ink; color: $card; border-radius: 4px; padding: 2px 8px; }
QLabel[look="hint"] { color: $quiet; }
QLabel[look="right"] { color: $right; font-weight: 600; }
QLabel[look="left"] { color: $left; font-weight: 600; }
QLabel[look="both"] { font-weight: 600; }

QMenuBar { background: $card; }
QMenuBar::item { padding: 4px 10px; background: transparent; }
QMenuBar::item:selected { background: $ink; color: $card; border-radius: 4px; }
QMenu { background: $card; border: 1px solid $key_edge; padding: 4px; }
QMenu::item { padding: 5px 28px 5px 24px; border-radius: 4px; }
QMenu::item:selected { background: $ink; color: $card; }
QMenu::item:disabled { color: $quiet; }
QMenu::separator { height: 1px; background: $card_edge; margin: 4px 8px; }

QPushButton { background: $card; border: 1px solid $key_edge; border-radius: 6px; padding: 4px 12px; }
QPushButton:hover { border-color: $ink; }
QPushButton:pressed { background: $card_edge; }
QPushButton:checked { background: $ink; color: $card; border-color: $ink; }
QPushButton:focus { border: 2px solid $left; padding: 3px 11px; }
QPushButton:checked:focus { border: 3px double $card; padding: 2px 10px; }
QPushButton:disabled { color: $quiet; border-color: $card_edge; }
QPushButton[look="row"] { padding: 2px 8px; }
QPushButton[look="row"]:focus { padding: 1px 7px; }
QPushButton[look="cell"], QPushButton[look="beat-cell"] { padding: 0; border-radius: 3px; border-color: $card_edge; }
QPushButton[look="beat-cell"] { border-left: 2px solid $quiet; }
QPushButton[look="cell"]:hover, QPushButton[look="beat-cell"]:hover { border-color: $ink; }
QPushButton[look="cell"]:checked, QPushButton[look="beat-cell"]:checked { background: $left; border-color: $left; }
QPushButton[look="cell"]:focus, QPushButton[look="beat-cell"]:focus { border: 2px solid $ink; padding: 0; }
QPushButton[look="link"] { border: none; padding: 2px 2px; color: $left; background: transparent; text-align: left; }
QPushButton[look="link"]:hover { text-decoration: underline; }
QPushButton[look="link"]:focus { border: 2px solid $left; padding: 0px; }
QPushButton[look="plain"] { border: 2px solid transparent; padding: 2px 2px; background: transparent;
    text-align: left; }
QPushButton[look="plain"]:hover { text-decoration: underline; }
QPushButton[look="plain"]:focus { border: 2px solid $left; }
QPushButton[look="workspace"] { border: none; border-bottom: 3px solid transparent; border-radius: 0;
    background: transparent; color: $quiet; padding: 10px 6px 7px 6px; margin: 0 6px; }
QPushButton[look="workspace"]:hover { color: $ink; }
QPushButton[look="workspace"]:checked { color: $ink; font-weight: 600; border-bottom-color: $ink; }
QPushButton[look="workspace"]:focus { border: 2px solid $left; padding: 8px 4px 8px 4px; }

QLineEdit, QPlainTextEdit { background: $card; border: 1px solid $key_edge; border-radius: 6px;
    padding: 3px 6px; selection-background-color: $ink; selection-color: $card; }
QLineEdit:focus, QPlainTextEdit:focus { border: 2px solid $left; padding: 2px 5px; }
QAbstractSpinBox QLineEdit, QAbstractSpinBox QLineEdit:focus, QComboBox QLineEdit { border: none; padding: 0 0 0 6px;
    background: transparent; }
QComboBox, QSpinBox, QDoubleSpinBox { background: $card; border: 1px solid $key_edge; border-radius: 6px;
    padding: 3px 8px; min-height: 18px; }
QComboBox { padding-right: ${drop}px; }
QComboBox:focus, QSpinBox:focus, QDoubleSpinBox:focus { border: 2px solid $left; padding: 2px 7px; }
QComboBox:focus { padding-right: ${drop_less}px; }
QComboBox::drop-down { border: none; width: ${drop}px; }
QComboBox::down-arrow, QSpinBox::down-arrow, QDoubleSpinBox::down-arrow { image: url("$icons/down_$mode.svg");
    width: ${arrow}px; height: ${arrow}px; }
QSpinBox::up-arrow, QDoubleSpinBox::up-arrow { image: url("$icons/up_$mode.svg");
    width: ${arrow}px; height: ${arrow}px; }
QSpinBox::up-button, QSpinBox::down-button, QDoubleSpinBox::up-button, QDoubleSpinBox::down-button {
    border: none; background: transparent; width: ${spin}px; }
QComboBox QAbstractItemView { background: $card; border: 1px solid $key_edge; padding: 4px; outline: 0;
    selection-background-color: $ink; selection-color: $card; }
QSlider { border: 2px solid transparent; border-radius: 4px; }
QSlider:focus { border-color: $left; }
QCheckBox { spacing: 8px; padding: 2px; border: 2px solid transparent; border-radius: 4px; }
QCheckBox:focus { border-color: $left; }
QCheckBox::indicator { width: ${tick}px; height: ${tick}px; border: 1px solid $key_edge; border-radius: 3px;
    background: $card; }
QCheckBox::indicator:hover { border-color: $ink; }
QCheckBox::indicator:checked { background: $ink; border-color: $ink; image: url("$icons/tick_$mode.svg"); }
QPlainTextEdit[look="right"], QPlainTextEdit[look="left"], QPlainTextEdit[look="both"] {
    border-top-left-radius: 0; border-bottom-left-radius: 0; }
QPlainTextEdit[look="right"] { border-left: 4px solid $right; }
QPlainTextEdit[look="left"] { border-left: 4px solid $left; }
QPlainTextEdit[look="both"] { border-left: 4px solid $ink; }

QTableView { background: $card; alternate-background-color: $ground; border: 2px solid $card_edge;
    gridline-color: transparent; selection-background-color: $ink; selection-color: $card; }
QTableView:focus { border-color: $left; }
QTableView { outline: 0; }
QTableView::item { padding: 0 8px; border: none; }
QTableView::item:selected, QTableView::item:selected:focus { background: $ink; color: $card; border: none; }
QHeaderView::section { background: $card; color: $quiet; border: none; border-bottom: 1px solid $card_edge;
    padding: 6px 11px; font-weight: 600; }
QTableCornerButton::section { background: $card; border: none; }

QListWidget { background: transparent; border: 2px solid transparent; border-radius: 6px; padding: 2px; outline: 0; }
QListWidget::item { padding: 4px 8px; border-radius: 4px; }
QListWidget::item:selected { background: $ink; color: $card; }
QListWidget#chord-suggestions { background: $card; border: 1px solid $key_edge; border-radius: 6px; padding: 4px; }
QListWidget#chord-suggestions::item { padding: 2px 6px; }
QListWidget:focus { border-color: $left; }

QScrollArea { border: none; background: transparent; }
QAbstractScrollArea::corner { background: transparent; border: none; }
QScrollBar:vertical { background: transparent; width: 12px; margin: 2px; }
QScrollBar:horizontal { background: transparent; height: 12px; margin: 2px; }
QScrollBar::handle { background: $key_edge; border-radius: 4px; min-height: 28px; min-width: 28px; }
QScrollBar::handle:hover { background: $quiet; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QToolTip { background: $ink; color: $card; border: none; padding: 4px 6px; }
QProgressBar { background: $card_edge; border: none; border-radius: 3px; max-height: 6px; }
QProgressBar::chunk { background: $quiet; border-radius: 3px; }
""")


def style_sheet(theme: Theme, text_percent: int = 100) -> str:
    """The style sheet in a theme's colours, its signs as much larger than usual as the text."""
    colours = {role.value.replace("-", "_"): code for role, code in theme.items()}
    sizes = {name: pixels * text_percent // 100 for name, pixels in SIGNS.items()}
    icons = asset_path("icons").as_posix()
    mode = "dark" if theme is DARK else "light"
    return _SHEET.substitute(colours, **sizes, drop_less=sizes["drop"] - 1, icons=icons, mode=mode)
