"""Reading ABC tunes through music21: melody, chord symbols, repeats and endings; several voices where there are.

A tune for one voice is a right-hand melody. A file that holds several tunes is a book, from which one is picked by
its place. The ends of lines are never taken for ends of phrases.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from msgspec.structs import replace

from core.formats.abc_book import BookTune, tunes_of
from core.formats.abc_fields import AbcKey
from core.formats.abc_marks import BarLine, Jump, MetreField, PreparedTune, Voice
from core.formats.abc_preparing import prepared_tune
from core.formats.line_names import named_hand
from core.formats.quiet_music21 import quiet_music21
from core.formats.reading import Reading
from core.formats.song_building import build_song
from core.formats.source import Signature, Source, SourceBar, SourceNote
from core.formats.ties import joined
from core.song.chord import ChordSymbol
from core.song.errors import DomainError, FormatError, SeveralTunesError
from core.song.metre import Metre
from core.song.note import Hand
from core.song.pitch import NoteName, Pitch
from core.song.time import TICKS_PER_QUARTER
from core.song.wording import say, say_counted

if TYPE_CHECKING:
    from music21.abcFormat import ABCNote, ABCToken

MOST_LISTED: Final = 12
"""How many titles of a book a message lists."""


class AbcReader:
    """Reads ABC tunes and books of them."""

    endings: Final = (".abc",)

    def titles(self, name: str, data: bytes) -> tuple[str, ...]:
        """The titles of a book's tunes in order; raises ForeignFileError where there is no tune."""
        return tuple(tune.title for tune in tunes_of(name, data))

    def read(self, name: str, data: bytes, tune: int | None = None) -> Reading:
        """The song of an ABC file.

        Args:
            name: the file's name.
            data: its bytes.
            tune: which tune of a book, from 1; None where there is but one.

        Raises:
            ForeignFileError: no ABC.
            SeveralTunesError: a book, and no tune named; the message lists them.
            FormatError: no tune with that number.
            BrokenFileError: music21 makes nothing of it.
        """
        tunes = tunes_of(name, data)
        chosen = _chosen(name, tunes, tune)
        ready = prepared_tune(chosen)
        with quiet_music21(name if tune is None else f"{name}#{tune}"):
            source = _source(ready)
        return build_song(source, name.rpartition(".")[0] or name)


def _chosen(name: str, tunes: tuple[BookTune, ...], number: int | None) -> BookTune:
    if number is None:
        if len(tunes) == 1:
            return tunes[0]
        listed = [f"#{place} {tune.title or say('without a title')}" for place, tune in enumerate(tunes, start=1)]
        titles = ", ".join(listed[:MOST_LISTED])
        if len(tunes) > MOST_LISTED:
            trouble = say_counted(
                "it is a book of {count} tune ({titles} … and {more} more)",
                "it is a book of {count} tunes ({titles} … and {more} more)",
                len(tunes),
                titles=titles,
                more=len(tunes) - MOST_LISTED,
            )
        else:
            trouble = say_counted(
                "it is a book of {count} tune ({titles})",
                "it is a book of {count} tunes ({titles})",
                len(tunes),
                titles=titles,
            )
        raise SeveralTunesError(name, "", trouble, say("name one of them, as in {tune}", tune=f"{name}#1"))
    if not 1 <= number <= len(tunes):
        trouble = say_counted(
            "there is no tune {number} in it, which holds one tune",
            "there is no tune {number} in it, which holds {count} tunes",
            len(tunes),
            number=number,
        )
        raise FormatError(name, f"#{number}", trouble, say("name another"))
    return tunes[number - 1]


def _source(ready: PreparedTune) -> Source:
    """Everything a prepared tune says."""
    hands = {number: named_hand(voice.name) for number, voice in enumerate(ready.voices)}
    are_named = {Hand.RIGHT, Hand.LEFT} <= set(hands.values())
    readings = [
        _VoiceReading(number, voice, hands[number] if are_named else None) for number, voice in enumerate(ready.voices)
    ]
    first = readings[0] if readings else None
    chords = sorted((chord for reading in readings for chord in reading.chords), key=lambda chord: chord[0])
    return Source(
        title=ready.title,
        composer=ready.composer,
        notes=tuple(note for reading in readings for note in reading.notes),
        bars=tuple(first.bars) if first else (),
        chords=tuple(dict.fromkeys(chords)),
        signatures=tuple(first.signatures) if first else (),
        tempos=tuple(first.tempos) if first else (),
        is_tune=len(readings) == 1,
        warnings=tuple(dict.fromkeys([*ready.warnings, *(text for reading in readings for text in reading.warnings)])),
    )


def _ticks(quarters: Fraction) -> int:
    return round(quarters * TICKS_PER_QUARTER)


class _VoiceReading:
    """Goes through music21's tokens of one voice."""

    def __init__(self, line: int, voice: Voice, hand: Hand | None) -> None:
        self._line = line
        self._voice = voice
        self._hand = hand
        self._now = Fraction(0)
        self._bar_start = Fraction(0)
        self._metre: Metre | None = None
        self._ending: tuple[int, ...] = ()
        self._bar = SourceBar(0, 0)
        self._found: list[tuple[SourceNote, str]] = []
        self.bars: list[SourceBar] = []
        self.chords: list[tuple[int, ChordSymbol]] = []
        self.signatures: list[Signature] = []
        self.tempos: list[tuple[int, float]] = []
        self.warnings: list[str] = []
        for token in _tokens(voice.text):
            self._take(token)
        self._close_bar()
        self.notes = joined(self._found)

    def _take(self, token: ABCToken) -> None:
        from music21 import abcFormat

        if isinstance(token, abcFormat.ABCNote):
            self._take_note(token)
        elif isinstance(token, abcFormat.ABCBar):
            self._close_bar()
        elif isinstance(token, abcFormat.ABCMetadata) and token.tag == "N" and str(token.data).isdecimal():
            self._take_mark(int(str(token.data)))

    def _take_note(self, token: ABCNote) -> None:
        onset = _ticks(self._now)
        for text in token.chordSymbols:
            mark = self._voice.marks[int(text.strip('"'))]
            if isinstance(mark, ChordSymbol):
                self.chords.append((onset, mark))
        length = Fraction(token.quarterLength)
        if token.activeTuplet is not None:
            length *= Fraction(token.activeTuplet.tupletMultiplier())
        length = Fraction(0) if token.inGrace else length
        end = _ticks(self._now + length)
        for pitch in self._pitches(token):
            note = SourceNote(onset, end - onset, pitch, self._hand, line=self._line)
            self._found.append((note, "" if token.inGrace else token.tie or ""))
        self._now += length

    def _pitches(self, token: ABCNote) -> Iterator[Pitch]:
        from music21 import abcFormat

        members = token.subTokens if isinstance(token, abcFormat.ABCChord) else [token]
        for member in members:
            name = member.pitchName if isinstance(member, abcFormat.ABCNote) else None
            if not name:
                continue
            try:
                yield _pitch(name)
            except (DomainError, ValueError):
                self.warnings.append(say("A note outside what MIDI can number ({name}) was left out.", name=name))

    def _close_bar(self) -> None:
        if self._now == self._bar_start:
            return
        start = _ticks(self._bar_start)
        bar = replace(self._bar, onset=start, duration=_ticks(self._now) - start, metre=self._metre)
        self.bars.append(replace(bar, endings=self._ending))
        self._bar_start = self._now
        self._bar = SourceBar(0, 0)

    def _take_mark(self, number: int) -> None:
        mark = self._voice.marks[number]
        if isinstance(mark, BarLine):
            self._take_bar_line(mark)
        elif isinstance(mark, Jump):
            self._take_jump(mark.kind)
        elif isinstance(mark, MetreField):
            self._metre = mark.metre
        elif isinstance(mark, AbcKey):
            self.signatures.append(Signature(_ticks(self._now), mark.fifths, mark.mode))
        elif isinstance(mark, float):
            self.tempos.append((_ticks(self._now), mark))

    def _take_bar_line(self, bar_line: BarLine) -> None:
        if bar_line.repeat_times and self.bars:
            self.bars[-1] = replace(self.bars[-1], repeat_times=bar_line.repeat_times)
        self._ending = bar_line.endings
        if bar_line.repeat_start:
            self._bar = replace(self._bar, repeat_start=True)

    def _take_jump(self, kind: str) -> None:
        if kind in ("segno", "coda"):
            self._bar = replace(
                self._bar, segno=self._bar.segno or kind == "segno", coda=self._bar.coda or kind == "coda"
            )
            return
        is_inside = self._now > self._bar_start or not self.bars
        bar = self._bar if is_inside else self.bars[-1]
        if kind == "fine":
            bar = replace(bar, fine=True)
        elif kind == "to coda":
            bar = replace(bar, to_coda=True)
        else:
            bar = replace(bar, jump="capo" if kind == "capo" else "segno")
        if is_inside:
            self._bar = bar
        else:
            self.bars[-1] = bar


def _tokens(text: str) -> list[ABCToken]:
    from music21 import abcFormat

    handler = abcFormat.ABCHandler()
    handler.process(text)
    return list(handler.tokens)


def _pitch(name: str) -> Pitch:
    """A pitch of music21's, which writes flats as ``-`` and naturals as ``n``: ``B-4``, ``Fn5``."""
    letter, signs, octave = name[0], name[1:].rstrip("0123456789"), name[len(name.rstrip("0123456789")) :]
    return Pitch.of(NoteName(letter, Counter(signs)["#"] - Counter(signs)["-"]), int(octave))
