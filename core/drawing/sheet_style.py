"""How a lesson sheet is drawn: one style for all rows of a song, so that a beat has the same width everywhere.

A style is chosen for the song as a whole (`sheet_style`): the width of a beat by the shortest notes, the height of
the rows by the highest and the lowest note. It stays the same while notes are moved about inside these bounds, so
that an edit redraws its own row alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import ceil, floor
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.drawing.metrics import FontMetrics
from core.song.identity_cache import IdentityCache
from core.song.key import Key
from core.song.note import Hand, Note
from core.song.part import Part
from core.song.song import C_MAJOR, Song
from core.song.time import TICKS_PER_QUARTER
from core.teaching.naming import Names, Naming

BEAD_RADIUS: Final = 13.0
"""Pixels of a bead with room around it."""
SMALLEST_RADIUS: Final = 7.5
"""Pixels of a bead in the densest run; its letter is still 9 pixels tall."""
BEAD_TEXT: Final = 13.0
SMALLEST_BEAD_TEXT: Final = 8.0
BEAD_PADDING: Final = 3.0
"""Pixels left and right of a name inside its bead."""
BEAD_GAP: Final = 2.0
"""Pixels between two beads at least."""
BESIDE_BEAD: Final = 16.0
"""Pixels for a finger number and a stretch of wire beside a bead."""

WIDEST_NOTE: Final = 76.0
"""Pixels of the shortest common note where there is room: wide enough for bead, finger and a stretch of wire."""
NARROWEST_QUARTER: Final = 40.0
WIDEST_QUARTER: Final = 124.0
"""Pixels of a quarter note, unless the very shortest note of the song needs more."""
WIDEST_OF_ALL: Final = 640.0
"""Pixels of a quarter note at most: 128th notes at the smallest bead, with room for names of two syllables."""
STRUCK_TOGETHER: Final = TICKS_PER_QUARTER // 40
"""Ticks nearer than a 128th note, 1/32 of a quarter."""
FAST: Final = TICKS_PER_QUARTER // 8
"""Ticks of a 32nd note; where only few notes come faster, as in what somebody has played, no beat is widened for
them: their beads stand side by side."""
COMMON_SHARE: Final = 0.08
"""Notes shorter than all but this share of the song's notes are drawn with smaller beads."""

LEFT_HAND_NOTE: Final = 28.0
"""Pixels of a common note of a written left hand, for its name."""

STEP_HEIGHT: Final = 5.2
"""Pixels from a white key to the next."""
LOWER_STEP_HEIGHT: Final = 3.6
"""The same in a song of more than `TALL_STEPS` from its lowest to its highest note."""
TALL_STEPS: Final = 21
FEWEST_STEPS: Final = 8
"""A sheet is at least this many white keys tall."""
LABEL_WIDTH: Final = 92.0
"""Pixels of the column at a row's left: number, bars, time to teach, play buttons."""
GUTTER: Final = 14.0
"""Pixels between the column and the first onset: room for a grace note."""
PADDING: Final = 14.0
"""Pixels inside a card's edge."""


class SheetStyle(Struct, frozen=True):
    """What all rows of a sheet share.

    Attributes:
        beat_width: pixels of a felt beat in the metre the song begins in (a dotted quarter note in 6/8).
        wrap_width: pixels of the whole row, label included, at which it wraps; None for one line whatever its length.
        naming: what notes are called.
        lowest: staff step (`Pitch.staff_step`) at the foot of the notes' room.
        highest: staff step at its top.
        buttons: whether a row has its play buttons; on paper it has none.
        labels: whether a row has its number, bars and time; a prompter shows the notes alone.
        key: the key that scale degrees are counted in, each row's own.
    """

    beat_width: float = WIDEST_NOTE
    wrap_width: float | None = None
    naming: Naming = Naming.LETTERS
    lowest: int = 28
    highest: int = 28 + FEWEST_STEPS
    buttons: bool = True
    labels: bool = True
    key: Key = C_MAJOR

    @property
    def names(self) -> Names:
        """The names of notes and chords."""
        return Names(self.naming, self.key)

    def with_room_for(self, parts: Iterable[Part]) -> SheetStyle:
        """This style with room for the melodies of parts that it was not chosen for."""
        steps = [note.pitch.staff_step for part in parts for note in part.melody]
        if not steps:
            return self
        lowest, highest = _with_a_step_of_room(min(steps), max(steps))
        return replace(self, lowest=min(self.lowest, lowest), highest=max(self.highest, highest))

    def pixels_per_tick(self, song: Song) -> float:
        """Pixels of one tick in a song's rows."""
        return self.beat_width / song.metre.beat_ticks

    @property
    def step_height(self) -> float:
        """Pixels from a white key to the next."""
        return STEP_HEIGHT if self.highest - self.lowest <= TALL_STEPS else LOWER_STEP_HEIGHT


def sheet_style(
    song: Song,
    metrics: FontMetrics,
    wrap_width: float | None = None,
    naming: Naming = Naming.LETTERS,
    buttons: bool = True,
    labels: bool = True,
) -> SheetStyle:
    """The style that suits a song: beats wide enough for its shortest notes, rows tall enough for its widest leap."""
    demands = [
        _demands_of(part, metrics, Names.of_part(song, number, naming)) for number, part in enumerate(song.parts, 1)
    ]
    steps = [step for demand in demands for step in demand.steps]
    lowest, highest = _bounds(min(steps, default=28), max(steps, default=28 + FEWEST_STEPS))
    room = None if wrap_width is None else wrap_width - notes_left(labels) - PADDING
    quarter = _quarter_width(song, demands, room)
    beat_width = quarter * song.metre.beat_ticks / TICKS_PER_QUARTER
    return SheetStyle(beat_width, wrap_width, naming, lowest, highest, buttons, labels)


def _bounds(lowest: int, highest: int) -> tuple[int, int]:
    """The notes' bounds with a step of room, widened to even steps and to a row of usual height."""
    lowest, highest = _with_a_step_of_room(lowest, highest)
    missing = max(0, FEWEST_STEPS - (highest - lowest))
    return lowest - missing // 2, highest + missing - missing // 2


def _with_a_step_of_room(lowest: int, highest: int) -> tuple[int, int]:
    """Even steps with a step of room below and above."""
    return (lowest - 1) // 2 * 2, -(-(highest + 1) // 2) * 2


def notes_left(labels: bool) -> float:
    """Pixel of a row's first onset."""
    return PADDING + GUTTER + (LABEL_WIDTH if labels else 0.0)


class _Demands(Struct, frozen=True):
    """What a part asks of the style.

    Attributes:
        steps: the lowest and the highest staff step of its melody, or nothing.
        gaps: ticks from each of its melody's onsets to the next.
        left_gaps: the same of a written left hand, where it is shown for want of chords.
        name: width of its longest note name at a letter height of one pixel.
    """

    steps: tuple[int, ...]
    gaps: tuple[int, ...]
    left_gaps: tuple[int, ...]
    name: float


_demands: IdentityCache[_Demands] = IdentityCache()


def _demands_of(part: Part, metrics: FontMetrics, names: Names) -> _Demands:
    """What a part asks of the style; computed once as long as the part stays the same object."""
    known = _demands.get((part, metrics), (names,))
    if known is not None:
        return known
    melody = part.melody
    steps = [note.pitch.staff_step for note in melody]
    widths = [metrics.width(names.shown(name), 1.0, bold=True) for name in {note.pitch.name for note in melody}]
    left = () if part.chords else part.hand(Hand.LEFT)
    found = _Demands(
        (min(steps), max(steps)) if steps else (),
        _gaps(melody, part.duration),
        _gaps(left, part.duration),
        max(widths, default=0.0),
    )
    return _demands.put((part, metrics), (names,), found)


def _gaps(notes: Iterable[Note], end: int) -> tuple[int, ...]:
    """Ticks from each onset to the next, and from the last to the end; grace notes do not count.

    Notes nearer together than any rhythm has them, as a player strikes the notes of a chord, count as one.
    """
    onsets: list[int] = []
    for onset in sorted({note.onset for note in notes if not note.is_grace}):
        if not onsets or onset - onsets[-1] >= STRUCK_TOGETHER:
            onsets.append(onset)
    return tuple(after - before for before, after in pairwise([*onsets, end]))


def _quarter_width(song: Song, demands: Sequence[_Demands], room: float | None) -> float:
    """Pixels of a quarter note: comfortable for the common notes, and so that the shortest beads do not touch.

    Where a little less than comfortable saves the longest part from being wrapped, or brings one more bar into a
    line, it is a little less.
    """
    gaps = sorted(gap for demand in demands for gap in demand.gaps)
    name = max(demand.name for demand in demands)
    bead = max(2 * BEAD_RADIUS, name * BEAD_TEXT + 2 * BEAD_PADDING)
    smallest = max(2 * SMALLEST_RADIUS, name * SMALLEST_BEAD_TEXT + BEAD_PADDING * 1.2)
    left_hand = _left_hand_width(demands)
    if not gaps:
        return WIDEST_NOTE
    common = gaps[int(len(gaps) * COMMON_SHARE)] / TICKS_PER_QUARTER
    shortest = max(gaps[0], min(FAST, gaps[int(len(gaps) * COMMON_SHARE)])) / TICKS_PER_QUARTER
    easy = WIDEST_NOTE / common if common >= 1 else max(WIDEST_NOTE, (bead + BEAD_GAP) / common)
    comfortable = min(max(easy, NARROWEST_QUARTER, left_hand), WIDEST_QUARTER)
    needed = min((smallest + BEAD_GAP) / shortest, WIDEST_OF_ALL)
    least = max((bead + BEAD_GAP + BESIDE_BEAD) / common, needed, NARROWEST_QUARTER, left_hand)
    for fitting in () if room is None else _fitting_widths(song, room, comfortable):
        if least <= fitting < max(comfortable, needed):
            return floor(fitting * 2) / 2
    return float(2 * ceil(max(comfortable, needed) / 2))


def _fitting_widths(song: Song, room: float, comfortable: float) -> tuple[float, float]:
    """Widths of a quarter note at which the longest part, or one more whole bar, just fits into a line."""
    longest_part = max(part.duration for part in song.parts) / TICKS_PER_QUARTER
    bar = max(change.metre.bar_ticks for change in song.metres) / TICKS_PER_QUARTER
    bars_now = int(room / (bar * comfortable))
    return room / longest_part, room / (bar * (bars_now + 1))


def _left_hand_width(demands: Sequence[_Demands]) -> float:
    """Pixels of a quarter note at which the bars of a written left hand hold a name; 0 where none is shown."""
    gaps = sorted(gap for demand in demands for gap in demand.left_gaps)
    if not gaps:
        return 0.0
    return min(LEFT_HAND_NOTE * TICKS_PER_QUARTER / gaps[int(len(gaps) * COMMON_SHARE)], WIDEST_QUARTER)
