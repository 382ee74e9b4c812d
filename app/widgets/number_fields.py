"""Fields for numbers: what is typed counts once it is whole, and undo is the lesson's."""

from __future__ import annotations

from PySide6.QtWidgets import QAbstractSpinBox, QDoubleSpinBox, QSizePolicy, QSpinBox, QWidget

from app.widgets.text_editors import LineField

WIDTH = 130
INDENT = 7
"""Pixels between a field's edge and its number: the style sheet's padding does not reach into it."""


def whole_number_field(name: str, parent: QWidget, *, unit: str = "", step: int = 1, most: int = 999) -> QSpinBox:
    """A field for a whole number from 0 on.

    What is out of the number's own range is for the program's rules to refuse, which say why; so the field lets it be
    typed.

    Args:
        name: what a screen reader says.
        parent: the widget it lies in.
        unit: shown behind the number.
        step: how far an arrow goes.
        most: the largest number that can be typed.
    """
    field = QSpinBox(parent)
    field.setRange(0, most)
    field.setSingleStep(step)
    field.setSuffix(unit)
    _dress(field, name)
    return field


def decimal_field(
    name: str, parent: QWidget, *, unit: str = "", step: float = 0.5, most: float = 99.9
) -> QDoubleSpinBox:
    """The same for a number with one decimal."""
    field = QDoubleSpinBox(parent)
    field.setRange(0.0, most)
    field.setDecimals(1)
    field.setSingleStep(step)
    field.setSuffix(unit)
    _dress(field, name)
    return field


def _dress(field: QAbstractSpinBox, name: str) -> None:
    field.setLineEdit(LineField(field))
    indent_number(field)
    field.setKeyboardTracking(False)
    field.setMinimumWidth(WIDTH)
    field.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    name_number(field, name)


def name_number(field: QAbstractSpinBox, name: str) -> None:
    """Say what a field is for; the line inside it, which has the keyboard's attention, says so too."""
    field.setAccessibleName(name)
    field.lineEdit().setAccessibleName(name)


def indent_number(field: QAbstractSpinBox) -> None:
    """Keep the number off the field's edge."""
    field.lineEdit().setTextMargins(INDENT, 0, 0, 0)
