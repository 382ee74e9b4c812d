"""Reading MusicXML, plain or compressed, through music21.

Two staves of one part name the hands; elsewhere they are told from the notes. Repeats and endings are not unfolded:
they cut the song into sections with a playing order.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Final
from xml.etree import ElementTree as ET

from msgspec import Struct
from msgspec.structs import asdict, replace

from core.formats.line_names import is_melody_name, named_hand
from core.formats.musicxml_opening import opened
from core.formats.musicxml_preparing import Prepared, Sign, prepared
from core.formats.quiet_music21 import quiet_music21
from core.formats.reading import Reading
from core.formats.song_building import build_song
from core.formats.source import Signature, Source, SourceBar, SourceNote
from core.formats.ties import joined
from core.song.chord import ChordSymbol
from core.song.errors import DomainError
from core.song.key import Mode
from core.song.metre import Metre
from core.song.note import Hand
from core.song.pitch import Pitch
from core.song.song import C_MAJOR
from core.song.time import TICKS_PER_QUARTER
from core.song.wording import say
from core.theory.spelling import spell

if TYPE_CHECKING:
    from music21.note import GeneralNote
    from music21.stream.base import Part, Score


class MusicXmlReader:
    """Reads MusicXML scores."""

    endings: Final = (".musicxml", ".xml", ".mxl")

    def titles(self, name: str, data: bytes) -> tuple[str, ...]:
        """The song's title, as a list of one."""
        return (self.read(name, data).song.title,)

    def read(self, name: str, data: bytes, tune: int | None = None) -> Reading:  # noqa: ARG002 - one song a file
        """The song of a MusicXML file.

        Raises:
            ForeignFileError: no MusicXML score.
            BrokenFileError: damaged; names the line or the bar.
        """
        ready = prepared(name, opened(name, data))
        with quiet_music21(name):
            source = _ScoreReading(ready).source()
        return build_song(source, name.rpartition(".")[0] or name)


class _Stave(Struct, frozen=True):
    """One staff as music21 has it, the number of the part it belongs to, and its hand where that is named."""

    part: int
    stream: Part
    hand: Hand | None


def _ticks(quarter_length: float | Fraction) -> int:
    return round(quarter_length * TICKS_PER_QUARTER)


class _ScoreReading:
    """Takes from music21's score what a song needs."""

    def __init__(self, ready: Prepared) -> None:
        self._ready = ready
        self._warnings = list(ready.warnings)
        self._notes: list[SourceNote] = []
        self._marks: dict[int, int] = {}
        self._bars: list[SourceBar] = []
        self._signatures: list[Signature] = []

    def source(self) -> Source:
        """Everything found."""
        staves = _staves(self._ready, _parsed(self._ready))
        self._warn_of_staves(staves)
        tied: dict[int, list[tuple[SourceNote, str]]] = defaultdict(list)
        for line, stave in enumerate(staves):
            tied[stave.part].extend(self._read(line, stave))
        for notes in tied.values():
            self._notes.extend(joined(notes))
        marks = self._placed_marks()
        chords = [(onset, mark) for onset, mark in marks if isinstance(mark, ChordSymbol)]
        return Source(
            title=self._ready.facts.title,
            composer=self._ready.facts.composer,
            rights=self._ready.facts.rights,
            notes=tuple(self._notes),
            bars=self._signed_bars(),
            chords=tuple(dict.fromkeys(chords)),
            signatures=tuple(self._signatures),
            tempos=tuple((onset, mark) for onset, mark in marks if isinstance(mark, float)),
            cuts=tuple(onset for onset, mark in marks if mark is None),
            playing_order=self._ready.facts.playing_order,
            slurs=tuple(
                (self._marks[first], self._marks[last])
                for first, last in self._ready.slurs
                if first in self._marks and last in self._marks
            ),
            melody_line=self._melody_line(staves),
            is_tune=len(staves) == 1 and self._is_lead_sheet(bool(chords)),
            warnings=tuple(self._warnings),
        )

    def _placed_marks(self) -> list[tuple[int, Sign]]:
        """Marks in order of their moments, and of the source where these are the same."""
        placed = []
        for index, onset in self._marks.items():
            mark = self._ready.marks[index]
            placed.append((onset + _ticks(mark.offset), index, mark.sign))
        return [(max(0, onset), sign) for onset, _, sign in sorted(placed, key=lambda entry: entry[:2])]

    def _warn_of_staves(self, staves: Sequence[_Stave]) -> None:
        if max(Counter(stave.part for stave in staves).values(), default=0) > 2:
            self._warnings.append(say("One part has more than two staves; its hands were told from the notes."))
        if any(part.has_tablature for part in self._ready.parts):
            self._warnings.append(say("A staff of tablature was read like any other."))

    def _read(self, line: int, stave: _Stave) -> list[tuple[SourceNote, str]]:
        """The notes of a staff with their ties; marks, bars and key signatures are taken in on the way."""
        from music21 import expressions, key, meter, note, stream

        notes: list[tuple[SourceNote, str]] = []
        bars: list[SourceBar] = []
        metre: Metre | None = None
        for bar in stave.stream.elements:
            if not isinstance(bar, stream.Measure):
                continue
            start = stave.stream.elementOffset(bar)
            for element in bar.elements:
                onset = _ticks(start + bar.elementOffset(element))
                if isinstance(element, note.GeneralNote):
                    notes.extend(self._notes_of(element, onset, line, stave.hand))
                elif isinstance(element, expressions.RehearsalMark):
                    self._marks.setdefault(int(str(element.content)), onset)
                elif isinstance(element, meter.TimeSignature):
                    metre = Metre(element.numerator or 4, element.denominator or 4)
                elif isinstance(element, key.KeySignature) and not line:
                    mode = Mode(element.mode) if isinstance(element, key.Key) else None
                    self._signatures.append(Signature(onset, element.sharps, mode))
            bars.append(SourceBar(_ticks(start), _ticks(bar.highestTime), metre))
        self._take_bars(bars)
        return notes

    def _notes_of(
        self, element: GeneralNote, onset: int, line: int, hand: Hand | None
    ) -> Iterator[tuple[SourceNote, str]]:
        from music21 import chord, note

        if isinstance(element, note.Note):
            members: list[note.Note] = [element]
        elif isinstance(element, chord.Chord):
            members = sorted(element.notes, key=lambda member: member.pitch.ps)
        else:
            return
        fingers = _fingers(element, len(members))
        duration = 0 if element.duration.isGrace else _ticks(element.duration.quarterLength)
        for member, finger in zip(members, fingers, strict=True):
            sounding = member.pitch
            octave = sounding.implicitOctave
            try:
                pitch = Pitch(sounding.step, round(sounding.alter), octave)
            except DomainError:
                try:
                    pitch = spell([round(sounding.ps)], C_MAJOR)[0]
                except DomainError:
                    self._warnings.append(
                        say("A note outside what MIDI can number ({note}) was left out.", note=sounding.nameWithOctave)
                    )
                    continue
            yield SourceNote(onset, duration, pitch, hand, finger, line), member.tie.type if member.tie else ""

    def _take_bars(self, bars: list[SourceBar]) -> None:
        """Keep the bars of the staff that goes on longest."""
        whole = [replace(bar, duration=after.onset - bar.onset) for bar, after in pairwise(bars)] + bars[-1:]
        if whole and (not self._bars or whole[-1].end > self._bars[-1].end):
            self._bars = whole

    def _signed_bars(self) -> tuple[SourceBar, ...]:
        signs = self._ready.bar_signs
        return tuple(
            replace(bar, **asdict(signs[index])) if index < len(signs) else bar for index, bar in enumerate(self._bars)
        )

    def _is_lead_sheet(self, has_chords: bool) -> bool:
        """Whether a single staff is the tune itself: it has chord symbols or words, or is a lesson's right hand."""
        return has_chords or self._ready.parts[0].has_words or self._ready.facts.is_own

    def _melody_line(self, staves: Sequence[_Stave]) -> int | None:
        """The staff that is sung or leads, where one beside others says so by its words or its name."""
        if len(staves) < 2:
            return None
        parts = self._ready.parts
        for tells in (lambda part: part.has_words, lambda part: is_melody_name(part.name)):
            lines = [line for line, stave in enumerate(staves) if tells(parts[stave.part]) and stave.hand is None]
            if len(lines) == 1:
                return lines[0]
        return None


def _parsed(ready: Prepared) -> Score:
    from music21 import converter, stream

    score = converter.parseData(ET.tostring(ready.root, encoding="unicode"), format="musicxml")
    if not isinstance(score, stream.Score):
        raise TypeError("no score came of it")
    return score


def _staves(ready: Prepared, score: Score) -> list[_Stave]:
    """Every staff with the part it belongs to and the hand that it names."""
    found: list[tuple[int, Part]] = []
    for stave in score.parts:
        group = next(str(group) for group in stave.groups if str(group).startswith("part"))
        found.append((int(group.partition("-")[0].removeprefix("part")), stave))
    count = Counter(part for part, _ in found)
    piano = next((part for part, _ in found if count[part] == 2 and not ready.parts[part].has_tablature), None)
    names = {part: named_hand(ready.parts[part].name) for part, _ in found if count[part] == 1}
    named = piano is None and {Hand.RIGHT, Hand.LEFT} <= set(names.values())
    staves: list[_Stave] = []
    for part, stave in found:
        hand = names.get(part) if named else None
        if part == piano:
            hand = Hand.LEFT if any(other.part == part for other in staves) else Hand.RIGHT
        if ready.parts[part].transposes:
            stave.toSoundingPitch(inPlace=True)
        staves.append(_Stave(part, stave, hand))
    return staves


def _fingers(element: GeneralNote, count: int) -> list[int | None]:
    """The fingers of a note's or chord's notes from low to high, where all are named."""
    from music21 import articulations

    named = [sign.fingerNumber for sign in element.articulations if isinstance(sign, articulations.Fingering)]
    if len(named) != count or not all(isinstance(finger, int) and 1 <= finger <= 5 for finger in named):
        return [None] * count
    return list(named)
