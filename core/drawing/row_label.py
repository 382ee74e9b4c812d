"""The column at a row's left: the part's number, its bars, its time to teach, and its play buttons."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from core.drawing.metrics import FontMetrics
from core.drawing.shapes import Anchor, Polygon, Rectangle, Role, Shape, Subject, Text
from core.drawing.sheet_style import LABEL_WIDTH, PADDING
from core.song.metre import Bar
from core.song.wording import say, say_in

NUMBER_TEXT: Final = 31.0
SMALL_TEXT: Final = 12.0
SMALLEST_TEXT: Final = 9.0
BUTTON_HEIGHT: Final = 25.0
BUTTON_WIDTH: Final = 72.0
BUTTON_GAP: Final = 6.0
BUTTON_MARGIN: Final = 4.0
SIGN_WIDTH: Final = 17.0
"""Pixels that a button's sign takes, with the gap behind it."""
NUMBER_BASELINE: Final = 41.0
TIME_BASELINE: Final = 66.0
NOTE_BASELINE: Final = 84.0
BUTTONS_TOP: Final = 77.0


def label_height(buttons: int, note: str = "") -> float:
    """Pixels that the column needs with a number of play buttons, or with a line in their place."""
    if not buttons:
        return (NOTE_BASELINE if note else TIME_BASELINE) + PADDING
    return BUTTONS_TOP + buttons * (BUTTON_HEIGHT + BUTTON_GAP) - BUTTON_GAP + PADDING


def play_buttons(number: int) -> tuple[tuple[Subject, str], ...]:
    """The play buttons of a part with their labels: the part alone, and from the second on parts 1 up to it."""
    alone = (Subject("play-part", number), say_in("button that plays it", "part"))
    return (alone,) if number == 1 else (alone, (Subject("play-through", number), f"1–{number}"))


def bars_in_words(bars: Sequence[Bar]) -> tuple[str, str]:
    """The bars of a part in two short lines; the pick-up, which is counted as bar 0, is called by its name."""
    counted = [bar.number for bar in bars if bar.number]
    if not counted:
        text = say("pick-up\nalone")
    else:
        first, last = counted[0], counted[-1]
        figures = str(first) if first == last else f"{first}–{last}"
        if len(counted) < len(bars):
            text = say("pick-up,\n{bars}", bars=figures)
        elif first == last:
            text = say("bar\n{bar}", bar=figures)
        else:
            text = say("bars\n{bars}", bars=figures)
    above, _, below = text.partition("\n")
    return above, below


def minutes(seconds: float) -> str:
    """A time in minutes and seconds: ``1:07``."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


def draw_label(
    number: int,
    bars: Sequence[Bar],
    teach_seconds: float | None,
    taught: bool,
    buttons: bool,
    playing: Subject | None,
    metrics: FontMetrics,
    note: str = "",
) -> list[Shape]:
    """The column's shapes.

    Args:
        number: the part's number.
        bars: the bars it touches.
        teach_seconds: seconds to teach it, or None where they are not known.
        taught: whether it is taught at all.
        buttons: whether to draw play buttons.
        playing: the button whose music sounds now, which then shows a square to stop it.
        metrics: widths of letters.
        note: a line below, where there are no play buttons.
    """
    part = Subject("part", number)
    x = PADDING + 2
    shapes: list[Shape] = [Text(x, NUMBER_BASELINE, str(number), NUMBER_TEXT, Role.INK, True, subject=part)]
    beside = x + metrics.width(str(number), NUMBER_TEXT, bold=True) + 9
    room = PADDING + LABEL_WIDTH - beside
    for text, baseline in zip(bars_in_words(bars), (NUMBER_BASELINE - 14, NUMBER_BASELINE), strict=True):
        size = metrics.fitting_size(text, room, SMALL_TEXT, SMALLEST_TEXT) or SMALLEST_TEXT
        shapes.append(Text(beside, baseline, text, size, Role.QUIET, subject=part))
    if not taught:
        below = say("not taught")
    else:
        below = "" if teach_seconds is None else say("{time} to teach", time=minutes(teach_seconds))
    if below:
        size = metrics.fitting_size(below, LABEL_WIDTH, SMALL_TEXT, SMALLEST_TEXT) or SMALLEST_TEXT
        shapes.append(Text(x, TIME_BASELINE, below, size, Role.QUIET, subject=part))
    if note:
        size = metrics.fitting_size(note, LABEL_WIDTH, SMALL_TEXT, SMALLEST_TEXT) or SMALLEST_TEXT
        shapes.append(Text(x, NOTE_BASELINE, note, size, Role.QUIET, subject=part))
    if buttons:
        top = BUTTONS_TOP
        for subject, text in play_buttons(number):
            shapes.extend(_button(x - 2, top, text, subject, subject == playing, metrics))
            top += BUTTON_HEIGHT + BUTTON_GAP
    return shapes


def _button(x: float, y: float, text: str, subject: Subject, playing: bool, metrics: FontMetrics) -> list[Shape]:
    fill, ink = (Role.INK, Role.CARD) if playing else (Role.CARD, Role.INK)
    middle, left = y + BUTTON_HEIGHT / 2, x + 12.0
    sign = (
        ((left, middle - 4.5), (left + 9, middle - 4.5), (left + 9, middle + 4.5), (left, middle + 4.5))
        if playing
        else ((left, middle - 5.5), (left + 9.5, middle), (left, middle + 5.5))
    )
    room = x + BUTTON_WIDTH - BUTTON_MARGIN - left - SIGN_WIDTH
    size = metrics.fitting_size(text, room, SMALL_TEXT, SMALLEST_TEXT) or SMALLEST_TEXT
    return [
        Rectangle(x, y, BUTTON_WIDTH, BUTTON_HEIGHT, fill, Role.QUIET, 1.0, 6.0, subject),
        Polygon(sign, ink, subject),
        Text(left + SIGN_WIDTH, middle + 4.2, text, size, ink, False, Anchor.START, subject),
    ]
