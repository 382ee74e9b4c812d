"""What every reader finds in a source before it becomes a song: notes, chords, bars with their signs, changes.

Moments are ticks from the source's own start; `core.formats.song_building` makes a song of it.
"""

from __future__ import annotations

from msgspec import Struct, field

from core.song.chord import ChordSymbol
from core.song.key import Mode
from core.song.metre import Metre
from core.song.note import Hand
from core.song.pitch import Pitch


class SourceNote(Struct, frozen=True):
    """A note as the source has it, tied notes joined.

    Attributes:
        onset: ticks from the source's start.
        duration: ticks, 0 for a grace note.
        pitch: at sounding pitch.
        hand: where the source names it, else None.
        finger: where the source names it, else None.
        line: number of the staff, track or voice it stands in, from 0.
    """

    onset: int
    duration: int
    pitch: Pitch
    hand: Hand | None = None
    finger: int | None = None
    line: int = 0


class Signature(Struct, frozen=True):
    """A key signature from a moment on.

    Attributes:
        onset: ticks from the source's start.
        fifths: sharps, negative for flats, −7 … 7.
        mode: where the source states it, else None.
    """

    onset: int
    fifths: int
    mode: Mode | None = None


class SourceBar(Struct, frozen=True):
    """A bar of the source with the signs that rule what is played after it.

    Attributes:
        onset: ticks from the source's start.
        duration: ticks; 0 where nothing but signs stands in it.
        metre: the metre in force, or None where the source has none.
        repeat_start: whether a repeat begins with this bar.
        repeat_times: how often the repeat that ends with this bar is played in all; 0 where none ends.
        endings: the passes for which this bar is an ending; empty outside endings.
        segno: whether the segno stands at the start of this bar.
        coda: whether the coda begins with this bar.
        to_coda: whether, after a jump back, the coda follows this bar.
        fine: whether, after a jump back, the song ends with this bar.
        jump: ``capo`` or ``segno`` where the song jumps back after this bar, else empty.
    """

    onset: int
    duration: int
    metre: Metre | None = None
    repeat_start: bool = False
    repeat_times: int = 0
    endings: tuple[int, ...] = ()
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    fine: bool = False
    jump: str = ""

    @property
    def end(self) -> int:
        """Tick at which the next bar begins."""
        return self.onset + self.duration


class Source(Struct, frozen=True):
    """Everything a reader found.

    Attributes:
        title: empty where there is none.
        composer: empty where there is none.
        rights: empty where there is none.
        notes: in any order.
        bars: in order, without gaps.
        chords: moments and symbols, in order.
        signatures: in order.
        tempos: moments and quarter notes a minute, in order.
        metres: moments and metres, in order, for sources without bars of their own; else empty.
        cuts: where the source itself says that parts begin; empty where it does not.
        playing_order: of the parts between `cuts`, where the source says it.
        slurs: the moments of the first and last note under each slur.
        melody_line: the line that is the melody, where the source tells; else None.
        is_tune: whether the source is known to be a tune for one voice, which one hand plays.
        warnings: what was left out or guessed so far.
    """

    title: str = ""
    composer: str = ""
    rights: str = ""
    notes: tuple[SourceNote, ...] = ()
    bars: tuple[SourceBar, ...] = ()
    chords: tuple[tuple[int, ChordSymbol], ...] = ()
    signatures: tuple[Signature, ...] = ()
    tempos: tuple[tuple[int, float], ...] = ()
    cuts: tuple[int, ...] = ()
    playing_order: tuple[int, ...] = ()
    slurs: tuple[tuple[int, int], ...] = ()
    melody_line: int | None = None
    is_tune: bool = False
    warnings: tuple[str, ...] = field(default=())
