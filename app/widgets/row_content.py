"""What the rows of the lesson sheet show, and which of them a change concerns."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from app.widgets.selection import Place
from core.drawing.shapes import Subject
from core.drawing.sheet_style import SheetStyle
from core.session.timing import LessonSettings
from core.song.part import Part
from core.song.song import Song


class RowLook(Struct, frozen=True):
    """How rows are drawn just now.

    Attributes:
        style: the sheet's style.
        zoom: 1.0 for 100 %.
        settings: how lessons are given, for the time to teach.
    """

    style: SheetStyle
    zoom: float
    settings: LessonSettings


class RowContent(Struct, frozen=True, eq=False):
    """What a row shows; equal to another where it would be drawn alike.

    Attributes:
        song: the song.
        number: the part's number.
        part: the row's part, compared by identity.
        onset: of the part, in ticks from the song's start.
        look: how rows are drawn.
        place: what is selected in this row, or None where another row is.
        passing: whether the song is only tried while the mouse drags something; a row is drawn alike either way, but
            what takes long to compute is left as it was.
        all_selected: the places of all selected notes where there are several, in this row and others.
        playing: the play button whose music sounds, where it is one of this row's.
    """

    song: Song
    number: int
    part: Part
    onset: int
    look: RowLook
    place: Place | None
    playing: Subject | None
    all_selected: frozenset[Place] = frozenset()
    passing: bool = False

    @property
    def several(self) -> frozenset[int]:
        """Indices of this row's notes where several notes are selected together."""
        return frozenset(place.index for place in self.all_selected if place.part == self.number)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, RowContent):
            return NotImplemented
        same = self.part is other.part and self.onset == other.onset
        mine = (self.look, self.place, self.playing, self.several, *surroundings(self.song))
        theirs = (other.look, other.place, other.playing, other.several, *surroundings(other.song))
        return same and mine == theirs

    __hash__ = None  # type: ignore[assignment]  # compared by value, kept by identity


def surroundings(song: Song) -> tuple[object, ...]:
    """What of the rest of a song shows in a part's row."""
    return song.keys, song.metres, song.tempos, song.pickup, song.hands, len(song.parts)


class Shown(Struct, frozen=True):
    """What the whole sheet shows.

    Attributes:
        look: how rows are drawn.
        song: the song.
        place: what is selected.
        playing: the play button whose music sounds, or None.
        several: the places of all selected notes where there are several.
        kept: the song as it is, while another is only tried because the mouse drags something.
        trial_style: the style of the rows that are tried: a note that is dragged up high makes its own row taller
            and leaves the hundreds of others as they are until it is let go.
    """

    look: RowLook
    song: Song
    place: Place
    playing: Subject | None
    several: frozenset[Place] = frozenset()
    kept: Song | None = None
    trial_style: SheetStyle | None = None

    def content(self, number: int) -> RowContent:
        """What the row of a part shows."""
        part, look = self.song.parts[number - 1], self.look
        is_tried = self.kept is not None and self.kept.parts[number - 1 : number] != (part,)
        if is_tried and self.trial_style is not None:
            look = replace(look, style=self.trial_style)
        return RowContent(
            self.song,
            number,
            part,
            self.song.part_onsets[number - 1],
            look,
            self.place if self.place.part == number else None,
            self.playing if self.playing and self.playing.part == number else None,
            self.several,
            self.kept is not None,
        )

    def has_bars_of(self, before: Shown) -> bool:
        """Whether the songs agree in all that a row shows of the rest of its song, its bars among it."""
        return surroundings(self.song) == surroundings(before.song)

    def rows_unlike(self, before: Shown | None) -> list[int] | None:
        """Numbers of the rows that may look otherwise than before; None where that may be every one.

        A song may have hundreds of rows, and most changes are in one of them.
        """
        if before is None or self.look != before.look or not self.has_bars_of(before):
            return None
        song, known = self.song, before.song
        pairs = enumerate(zip(song.parts, known.parts, song.part_onsets, known.part_onsets, strict=True), 1)
        numbers = {number for number, (part, other, onset, was) in pairs if part is not other or onset != was}
        if self.place != before.place:
            numbers.update((self.place.part, before.place.part))
        numbers.update(place.part for place in self.several ^ before.several)
        if self.playing != before.playing:
            numbers.update(subject.part for subject in (self.playing, before.playing) if subject)
        return sorted(number for number in numbers if 1 <= number <= len(song.parts))
