"""Where the rows of the lesson sheet lie: below one another, with the cuts between them."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from math import inf
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import QWidget

from app.widgets.cut_handle import HEIGHT, WIDTH, CutHandle
from app.widgets.place_words import cut_in_words
from app.widgets.selection import Place
from core.song.song import Song

if TYPE_CHECKING:
    from app.widgets.part_row import PartRow

MARGIN: Final = 20
GAP: Final = HEIGHT + 2


class RowStack:
    """The rows of a sheet from top to bottom, and the cuts between every two.

    Attributes:
        rows: the rows, of the first part first.
        cuts: the cut after each part but the last.
    """

    def __init__(self, content: QWidget) -> None:
        self.rows: list[PartRow] = []
        self.cuts: list[CutHandle] = []
        self._content = content
        self._placed: int | None = None

    @property
    def is_whole(self) -> bool:
        """Whether every row is in its place."""
        return self._placed is None

    def reaches(self, seen: QRect) -> bool:
        """Whether the rows down to the end of a stretch of the sheet are in their places."""
        if self._placed is None:
            return True
        last, following = self.rows[self._placed - 1], self.rows[self._placed]
        return min(last.y() + last.height() + GAP, following.y()) > seen.bottom()

    def rows_within(self, sight: QRect) -> list[PartRow]:
        """The rows that a stretch of the sheet touches; those in their places lie below one another, in order."""
        if self._placed is not None:
            return [row for row in self.rows if row.geometry().intersects(sight)]
        first = bisect_left(self.rows, sight.top(), key=lambda row: row.y() + row.height())
        last = bisect_right(self.rows, sight.bottom(), key=lambda row: row.y())
        return [row for row in self.rows[first:last] if row.geometry().intersects(sight)]

    def make_room(self, song: Song, seen: QRect, grown: Sequence[int]) -> None:
        """Put the rows that have another size now, and those below them, in their places.

        Below the last of them a row that lies where it should ends the work: so do all others.

        Args:
            song: the song that is drawn.
            seen: the stretch of the sheet that is in sight.
            grown: the numbers of the rows that have another size.
        """
        if not self.is_whole or not grown:
            self.place(song, seen)
            return
        first, last = min(grown) - 1, max(grown)
        top, placed = self.rows[first].y(), first
        for row in self.rows[first:]:
            if placed > last and row.y() == top:
                break
            row.move(MARGIN, top)
            top += row.height() + GAP
            placed += 1
        self._place_cuts(song, slice(max(0, first - 1), placed), seen.width() - WIDTH - 4, same_bars=True)
        self._fit_content(seen)

    def _fit_content(self, seen: QRect) -> None:
        """Make the sheet as large as what it holds."""
        width = max((row.width() for row in self.rows), default=0) + 2 * MARGIN
        end = self.rows[-1].y() + self.rows[-1].height() if self.rows else MARGIN
        self._content.resize(max(width, seen.width()), max(end + MARGIN, seen.height()))

    def place(self, song: Song, seen: QRect, tried: int | None = None, *, same_bars: bool = True) -> None:
        """Put the rows below one another, and the cuts between them.

        Args:
            song: the song that is drawn.
            seen: the stretch of the sheet that is in sight.
            tried: while something is dragged, the number of the first row it changes: only rows from there down to the
                end of what is in sight move, and the others once it is let go or they come into sight.
            same_bars: whether every cut whose moment is the same is called the same as before.
        """
        first = tried - 1 if tried is not None and self.is_whole else 0
        end = inf if tried is None else seen.bottom()
        top, placed = self.rows[first].y() if first else MARGIN, first
        for row in self.rows[first:]:
            if placed > first and min(top, row.y()) > end:
                break  # neither where it was nor where it belongs would it be seen
            if row.y() != top or row.x() != MARGIN:
                row.move(MARGIN, top)
            top += row.height() + GAP
            placed += 1
        self._place_cuts(song, slice(max(0, first - 1), placed), seen.width() - WIDTH - 4, same_bars=same_bars)
        self._placed = placed if placed < len(self.rows) else None
        if self.is_whole:
            self._fit_content(seen)

    def _place_cuts(self, song: Song, some: slice, rightmost: int, *, same_bars: bool) -> None:
        onsets = song.part_onsets
        for cut, row in zip(self.cuts[some], self.rows[some], strict=False):
            left = max(MARGIN, min(row.x() + row.width() - WIDTH // 2, rightmost))
            top = row.y() + row.height() + (GAP - HEIGHT) // 2
            if cut.x() != left or cut.y() != top:
                cut.move(left, top)
                cut.raise_()
            if not same_bars or cut.onset != onsets[cut.after]:
                cut.onset = onsets[cut.after]
                cut.describe(cut_in_words(song, cut.onset))

    def let_near_cuts_be_reached(self, before: Place | None, place: Place) -> None:
        """Tab comes to the cuts on both sides of the selected part, and to no others.

        Args:
            before: the place that was selected when this was last seen to, or None where any cut may be otherwise.
            place: the place that is selected.
        """
        parts = None if before is None else {before.part - 1, before.part, place.part - 1, place.part}
        cuts = self.cuts if parts is None else [self.cuts[part - 1] for part in parts if 1 <= part <= len(self.cuts)]
        for cut in cuts:
            near = place.part in (cut.after, cut.after + 1)
            policy = Qt.FocusPolicy.TabFocus if near else Qt.FocusPolicy.NoFocus
            if cut.focusPolicy() != policy:
                cut.setFocusPolicy(policy)
