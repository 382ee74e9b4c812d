"""A piano keyboard: 25 to 88 keys, keys lit by hand, fingers in badges, middle C marked.

The right hand's keys are ochre with round badges, the left hand's indigo with square ones. A key that somebody
plays and that no hand is meant to is grey, its badge a plate with the key's name; a key that the music waits for has
a hollow badge under an arrow. The black keys stand as
on a piano: each group of two or three spread evenly, so that the outer ones lie off the middle of their gap (measured
on common instruments; from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from msgspec import Struct

from core.drawing.hand_brackets import BRACKET_ROOM, HandBracket, draw_brackets
from core.drawing.metrics import FontMetrics
from core.drawing.shapes import Anchor, Circle, Picture, Polygon, Rectangle, Role, Shape, Subject, Text
from core.song.errors import DomainError
from core.song.note import Hand
from core.song.pitch import HIGHEST_PIANO_KEY, LOWEST_PIANO_KEY, MIDDLE_C
from core.song.wording import say, say_counted, to_say

BLACK: Final = frozenset({1, 3, 6, 8, 10})
"""Pitch classes of the black keys."""
BLACK_WIDTH: Final = 0.58
"""Width of a black key as a share of a white one's."""
BLACK_LENGTH: Final = 0.62
"""Length of a black key as a share of a white one's."""
BLACK_OFFSET: Final = {1: -0.09, 3: 0.09, 6: -0.13, 8: 0.0, 10: 0.13}
"""How far the middle of a black key lies right of the gap between its neighbours, in white keys."""
LARGEST_BADGE: Final = 13.0
SMALLEST_BADGE: Final = 4.0
"""Half the width of a badge in pixels."""
ARROW_GAP: Final = 2.0
"""Pixels between a badge and the arrow above it."""
SHARED_BADGE: Final = 0.62
"""Size of each badge on a key that both hands play, as a share of a single one."""
LARGEST_MARK: Final = 12.0
SMALLEST_MARK: Final = 7.0
SIZES: Final = {25: 48, 37: 48, 49: 36, 61: 36, 76: 28, 88: 21}
"""Usual sizes of keyboards, each with the MIDI number of its lowest key (common instruments; from memory)."""
MIDDLE_C_MARKS: Final = (to_say("middle C"), to_say("mid C"), "C")
"""What middle C is marked with: the first that fits, once said."""


class LitKey(Struct, frozen=True):
    """A key that is played or to be played.

    Attributes:
        hand: whose key it is; None where somebody plays it and no hand is meant to.
        finger: 1 (thumb) … 5, or None where no finger is named.
        shared: whether the other hand plays it too.
        wanted: whether the music waits for it: its badge is hollow, and an arrow points at it.
        letter: the name that its badge carries where it has no finger.
    """

    hand: Hand | None
    finger: int | None = None
    shared: bool = False
    wanted: bool = False
    letter: str = ""


def is_black(midi: int) -> bool:
    """Whether the key with a MIDI number is black."""
    return midi % 12 in BLACK


def keyboard_range(midis: frozenset[int] | set[int], fewest_white: int = 15) -> tuple[int, int]:
    """First and last key of a keyboard that shows some keys with a little room, from a C or F to a B or E.

    At least `fewest_white` white keys, 15 being two octaves; never past the 88 keys of a piano.
    """
    first, last = min(midis, default=MIDDLE_C.midi), max(midis, default=MIDDLE_C.midi)
    first, last = first - 1, last + 1
    while first % 12 not in (0, 5):
        first -= 1
    while last % 12 not in (4, 11):
        last += 1
    lower_next = True
    while sum(not is_black(midi) for midi in range(first, last + 1)) < fewest_white:
        if lower_next:
            first -= 5 if first % 12 == 5 else 7
        else:
            last += 7 if last % 12 == 4 else 5
        lower_next = not lower_next
    return max(first, LOWEST_PIANO_KEY), min(last, HIGHEST_PIANO_KEY)


def range_of_size(size: int, midis: frozenset[int] | set[int]) -> tuple[int, int]:
    """First and last key of a keyboard of a usual size, by whole octaves where most of some keys are.

    Args:
        size: one of `SIZES`.
        midis: the keys that should be on it; those nearest to middle C decide where two places hold as many.

    Raises DomainError for another size.
    """
    if size not in SIZES:
        raise DomainError(
            say("the size of a keyboard"), size, say("one of {sizes} keys", sizes=", ".join(map(str, SIZES)))
        )
    usual = SIZES[size]
    last = usual + size - 1
    shifts = [
        octaves * 12
        for octaves in range(-4, 5)
        if usual + octaves * 12 >= LOWEST_PIANO_KEY and last + octaves * 12 <= HIGHEST_PIANO_KEY
    ]

    def suits(shift: int) -> tuple[int, int]:
        return sum(usual + shift <= midi <= last + shift for midi in midis), -abs(shift)

    best = max(shifts, key=suits)
    return usual + best, last + best


def lay_out_keyboard(
    first: int,
    last: int,
    width: float,
    height: float,
    lit: Mapping[int, LitKey],
    metrics: FontMetrics,
    names: Mapping[int, str] | None = None,
    badges: bool = True,
    brackets: Sequence[HandBracket] | None = None,
) -> Picture:
    """Lay out a keyboard.

    Args:
        first: MIDI number of the lowest key; the white key below it where it is black.
        last: MIDI number of the highest key; the white key above it where it is black.
        width: pixels of the whole keyboard.
        height: pixels of a white key, with the brackets' room above it where there is one.
        lit: keys to light, by MIDI number; keys that are not on the keyboard are left out.
        metrics: widths of letters.
        names: names to write on keys, by MIDI number.
        badges: whether lit keys carry a badge; a badge without a finger is plain.
        brackets: where the hands lie; None leaves no room for brackets above the keys.

    Raises DomainError where `last` is below `first` or a key is no MIDI number.
    """
    if not 0 <= first <= last <= 127:
        raise DomainError(
            say("the range of a keyboard"), (first, last), say("two MIDI numbers from 0 to 127, lowest first")
        )
    first -= is_black(first)
    last += is_black(last)
    whites = [midi for midi in range(first, last + 1) if not is_black(midi)]
    white_width = (width - 1.0) / len(whites)
    lefts = {midi: 0.5 + place * white_width for place, midi in enumerate(whites)}
    names = names or {}
    top = 0.5 if brackets is None else BRACKET_ROOM
    height -= top - 0.5
    spans: dict[int, tuple[float, float]] = {}
    badge = min(LARGEST_BADGE, white_width * 0.36, height * 0.13)
    shapes: list[Shape] = []
    for midi in whites:
        box = (lefts[midi], top, white_width, height - 1.0)
        spans[midi] = (lefts[midi], lefts[midi] + white_width)
        shapes.extend(_white_key(midi, box, lit.get(midi), badge if badges else 0.0, names.get(midi, ""), metrics))
    for midi in range(first, last + 1):
        if is_black(midi):
            middle = lefts[midi + 1] + BLACK_OFFSET[midi % 12] * white_width
            half = white_width * BLACK_WIDTH / 2
            box = (middle - half, top, 2 * half, height * BLACK_LENGTH)
            spans[midi] = (middle - half, middle + half)
            small = min(badge, half * 0.82) if badges else 0.0
            shapes.extend(_black_key(midi, box, lit.get(midi), small, names.get(midi, ""), metrics))
    shapes.extend(draw_brackets(brackets or (), spans))
    return Picture(width, height + top - 0.5, tuple(shapes), _description(first, last, lit))


Box = tuple[float, float, float, float]


def _white_key(midi: int, box: Box, key: LitKey | None, badge: float, name: str, metrics: FontMetrics) -> list[Shape]:
    x, y, width, height = box
    subject = Subject("key", index=midi)
    corner = min(3.0, width * 0.12)
    fill = Role.WHITE_KEY if key is None else _light(key.hand)
    shapes: list[Shape] = []
    if key is not None and key.shared:
        shapes.append(Rectangle(x, y, width, height, _light(Hand.LEFT), Role.KEY_EDGE, 1.0, corner, subject))
        shapes.append(
            Rectangle(x + width / 2, y + 0.5, width / 2 - 0.5, height - 1, _light(Hand.RIGHT), None, 0, 0, subject)
        )
    else:
        shapes.append(Rectangle(x, y, width, height, fill, Role.KEY_EDGE, 1.0, corner, subject))
    middle, foot = x + width / 2, y + height - max(5.0, height * 0.045)
    marks = (name,) if name else tuple(map(say, MIDDLE_C_MARKS)) if midi == MIDDLE_C.midi else ()
    mark = _mark(marks, width - 2.0, metrics)
    if key is not None and badge:
        if mark is not None:
            foot -= mark[1] * 1.15
            front = foot - y - height * BLACK_LENGTH
            badge = min(badge, max(front / 2, SMALLEST_BADGE))
        shapes.extend(_badges(key, middle, foot - badge, badge, subject, metrics, filled=True))
        if key.wanted:
            shapes.append(_arrow(key.hand, middle, foot - 2 * badge - ARROW_GAP, badge, subject))
    if mark is not None:
        text, size = mark
        shapes.append(Text(middle, y + height - 6.0, text, size, Role.KEY_INK, False, Anchor.MIDDLE, subject))
    return shapes


def _black_key(midi: int, box: Box, key: LitKey | None, badge: float, name: str, metrics: FontMetrics) -> list[Shape]:
    x, y, width, height = box
    subject = Subject("key", index=midi)
    corner = min(2.0, width * 0.12)
    if key is None:
        return [Rectangle(x, y, width, height, Role.BLACK_KEY, Role.BLACK_KEY, 1.0, corner, subject)]
    hand = Hand.LEFT if key.shared else key.hand
    fill = _light(hand) if key.wanted or hand is None else _strong(hand)
    shapes: list[Shape] = [Rectangle(x, y, width, height, fill, Role.BLACK_KEY, 1.0, corner, subject)]
    if key.shared:
        shapes.append(Rectangle(x + width / 2, y, width / 2, height, Role.RIGHT_KEY, None, 0, 0, subject))
    foot = y + height - max(4.0, height * 0.06)
    size = metrics.fitting_size(name, width - 2, LARGEST_MARK, SMALLEST_MARK, bold=True) if name else None
    if size is not None:
        role = _strong(key.hand) if key.wanted or key.hand is None else _on(key.hand)
        shapes.append(Text(x + width / 2, foot, name, size, role, True, Anchor.MIDDLE, subject))
        foot -= size * 1.1
    if badge:
        shapes.extend(_badges(key, x + width / 2, foot - badge, badge, subject, metrics, filled=False))
        if key.wanted:
            shapes.append(_arrow(key.hand, x + width / 2, foot - 2 * badge - ARROW_GAP, badge, subject))
    return shapes


def _arrow(hand: Hand | None, x: float, foot: float, size: float, subject: Subject) -> Polygon:
    """An arrow down to the badge of a key that is wanted."""
    return Polygon(((x, foot), (x - size * 0.8, foot - size), (x + size * 0.8, foot - size)), _strong(hand), subject)


def _mark(marks: tuple[str, ...], room: float, metrics: FontMetrics) -> tuple[str, float] | None:
    """The first mark that fits a key, with its size; None where none does."""
    for text in marks:
        size = metrics.fitting_size(text, room, LARGEST_MARK, SMALLEST_MARK + 2.0)
        if size is not None:
            return text, size
    return None


def _badges(
    key: LitKey, x: float, y: float, radius: float, subject: Subject, metrics: FontMetrics, filled: bool
) -> list[Shape]:
    """The key's badge, or both hands' badges side by side, the left hand's at the left."""
    if key.hand is None:
        return _plate(key.letter, x, y, radius, subject, metrics)
    if not key.shared:
        return _badge(key, key.hand, key.finger, x, y, radius, subject, metrics, filled)
    small = radius * SHARED_BADGE
    shapes: list[Shape] = []
    for hand, side in ((Hand.LEFT, -1), (Hand.RIGHT, 1)):
        finger = key.finger if hand is key.hand else None
        shapes.extend(
            _badge(key, hand, finger, x + side * small * 1.06, y + radius - small, small, subject, metrics, filled)
        )
    return shapes


def _plate(letter: str, x: float, y: float, radius: float, subject: Subject, metrics: FontMetrics) -> list[Shape]:
    """The badge of a key that nobody is meant to play: a plate with its name, wider than high."""
    high = radius * 0.8
    plate = Rectangle(
        x - radius, y - high, 2 * radius, 2 * high, Role.PLAYED_KEY, Role.ON_PLAYED, 1.0, high * 0.35, subject
    )
    size = metrics.fitting_size(letter, 2 * radius - 2.5, radius * 1.25, 1.0, bold=True) if letter else None
    if size is None:
        return [plate]
    baseline = y + metrics.capital_height(size) / 2
    return [plate, Text(x, baseline, letter, size, Role.ON_PLAYED, True, Anchor.MIDDLE, subject)]


def _badge(
    key: LitKey,
    hand: Hand,
    finger: int | None,
    x: float,
    y: float,
    radius: float,
    subject: Subject,
    metrics: FontMetrics,
    filled: bool,
) -> list[Shape]:
    """A round badge for the right hand, a square one for the left, with the finger in it; hollow if it is wanted."""
    strong, on = _strong(hand), _on(hand)
    fill: Role | None = strong
    edge = None if filled else on
    if key.wanted:
        fill, edge, on = _light(hand), strong, strong
    shapes: list[Shape] = []
    if hand is Hand.RIGHT:
        shapes.append(Circle(x, y, radius, fill, edge, 1.4, subject))
    else:
        side = radius * 0.92
        shapes.append(Rectangle(x - side, y - side, 2 * side, 2 * side, fill, edge, 1.4, 0, subject))
    if finger is not None:
        size = float(max(1, round(radius * 1.3)))
        baseline = y + metrics.capital_height(size) / 2
        shapes.append(Text(x, baseline, str(finger), size, on, True, Anchor.MIDDLE, subject))
    return shapes


def _light(hand: Hand | None) -> Role:
    if hand is None:
        return Role.PLAYED_KEY_FILL
    return Role.RIGHT_KEY_FILL if hand is Hand.RIGHT else Role.LEFT_KEY_FILL


def _strong(hand: Hand | None) -> Role:
    if hand is None:
        return Role.PLAYED_KEY
    return Role.RIGHT_KEY if hand is Hand.RIGHT else Role.LEFT_KEY


def _on(hand: Hand | None) -> Role:
    if hand is None:
        return Role.ON_PLAYED
    return Role.ON_RIGHT if hand is Hand.RIGHT else Role.ON_LEFT


def _description(first: int, last: int, lit: Mapping[int, LitKey]) -> str:
    count = sum(first <= midi <= last for midi in lit)
    wanted = sum(first <= midi <= last and key.wanted for midi, key in lit.items())
    keys = last - first + 1
    if not count:
        return say("A keyboard of {keys} keys, none of them lit.", keys=keys)
    told = say_counted(
        "A keyboard of {keys} keys, {count} of them lit.",
        "A keyboard of {keys} keys, {count} of them lit.",
        count,
        keys=keys,
    )
    if not wanted:
        return told
    waits = say_counted("The music waits for {count} of them.", "The music waits for {count} of them.", wanted)
    return f"{told} {waits}"
