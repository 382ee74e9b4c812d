"""Changes to the cuts: moving, splitting, joining, proposing them again."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.document.document import LessonDocument
from app.widgets.selection import Place, Selection, note_place
from core.edits.change_length import add_bar, remove_bar
from core.edits.join_parts import join_parts
from core.edits.move_cut import move_cut
from core.edits.recut import recut
from core.edits.set_teaching import set_taught
from core.edits.split_part import split_part
from core.song.song import Song


class CutEditing(QObject):
    """Changes where the song is cut into parts, around the part that is selected."""

    def __init__(self, document: LessonDocument, selection: Selection, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection

    @property
    def _song(self) -> Song:
        return self._document.song

    def move(self, after: int, tick: int) -> None:
        """Move the cut after a part to a moment of the song."""
        self._document.apply(lambda song: move_cut(song, after, tick), self.tr("move of a cut"))

    def move_by_beats(self, beats: int, after: int | None = None) -> None:
        """Move the cut after a part (the selected one where none is named) later, or earlier, by beats."""
        after = after or self._selection.place.part
        cut = _cut_after(self._song, after)
        self.move(after, cut + beats * self._song.metre_at(max(0, cut - 1)).beat_ticks)

    def move_by_bars(self, bars: int, after: int | None = None) -> None:
        """Move the cut after a part to the next bar line, or the one before."""
        after = after or self._selection.place.part
        cut = _cut_after(self._song, after)
        lines = [bar.onset for bar in self._song.bars]
        later = [line for line in lines if line > cut]
        earlier = [line for line in lines if line < cut]
        if bars > 0:
            self.move(after, later[0] if later else self._song.length)
        else:
            self.move(after, earlier[-1] if earlier else 0)

    def split(self) -> None:
        """Split the selected part where the selected note or chord begins."""
        place = self._selection.place
        onset = place.onset(self._song)
        if onset is None:
            self._document.message.emit(self.tr("Select the note that should begin the new part, then split."))
            return
        tick = self._song.part_onsets[place.part - 1] + onset
        if self._document.apply(lambda song: split_part(song, place.part, tick), self.tr("split of a part")):
            self._selection.select(note_place(self._song, place.part + 1, 0))

    def join(self) -> None:
        """Join the selected part with the next one."""
        number = self._selection.place.part
        if self._document.apply(lambda song: join_parts(song, number), self.tr("join of two parts")):
            self._selection.select(Place(number))

    def add_bar(self) -> None:
        """Add an empty bar at the end of the selected part."""
        number = self._selection.place.part
        self._document.apply(lambda song: add_bar(song, number), self.tr("new bar"))

    def remove_bar(self) -> None:
        """Remove the empty last bar of the selected part."""
        number = self._selection.place.part
        self._document.apply(lambda song: remove_bar(song, number), self.tr("removal of a bar"))

    @property
    def is_taught(self) -> bool:
        """Whether the selected part is taught."""
        return self._song.parts[self._selection.place.part - 1].teaching.taught

    def set_taught(self, taught: bool) -> None:
        """Say whether the selected part is taught."""
        number = self._selection.place.part
        self._document.apply(lambda song: set_taught(song, number, taught), self.tr("choice of what is taught"))

    def propose(self) -> None:
        """Cut the whole song anew where phrases begin."""
        from core.teaching.splitting import propose_cuts

        before = self._song
        self._document.apply(lambda song: recut(song, propose_cuts(song)), self.tr("proposed cuts"))
        if self._song is before:
            self._document.message.emit(self.tr("The cuts are already where they would be proposed."))

    def propose_more(self) -> None:
        """Cut the whole song anew into one part more."""
        self._propose(len(self._song.parts) + 1, self.tr("The song cannot be cut into more parts."))

    def propose_fewer(self) -> None:
        """Cut the whole song anew into one part fewer."""
        self._propose(len(self._song.parts) - 1, self.tr("The song cannot be cut into fewer parts."))

    def _propose(self, count: int, if_not: str) -> None:
        """Cut the whole song anew into a number of parts; say so where repeats or too few notes are in the way."""
        from core.teaching.splitting import propose_cuts

        cuts = propose_cuts(self._song, max(1, count))
        if len(cuts) != count:
            self._document.message.emit(if_not)
            return
        self._document.apply(lambda song: recut(song, cuts), self.tr("proposed cuts"))


def _cut_after(song: Song, after: int) -> int:
    """Where the cut after a part lies, in ticks from the song's start."""
    return song.part_onsets[after - 1] + song.part(after).duration
