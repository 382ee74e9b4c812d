"""Places of a song in words, for hints and for screen readers."""

from __future__ import annotations

from fractions import Fraction

from PySide6.QtCore import QCoreApplication

from app.widgets.selection import Place, Selection
from core.session.analysis import analyse_part
from core.session.moments import moment_words
from core.song.metre import bar_at
from core.song.note import Hand
from core.song.song import Song
from core.teaching.naming import Names, Naming

CONTEXT = "Places"


def _translated(text: str, *values: object) -> str:
    text = QCoreApplication.translate(CONTEXT, text)
    for place, value in enumerate(values, 1):
        text = text.replace(f"%{place}", str(value))
    return text


def cut_in_words(song: Song, tick: int) -> str:
    """What a cut lies behind: ``bar 2``, or ``bar 3, beat 2`` where it lies inside a bar."""
    bar = bar_at(song.bars, max(0, tick - 1))
    if not bar.number:
        return _translated("the pick-up")
    if tick == bar.end:
        return _translated("bar %1", bar.number)
    return _translated("bar %1, beat %2", bar.number, max(1, (tick - bar.onset) // bar.metre.beat_ticks))


def beats_in_words(ticks: int, beat: int) -> str:
    """A length in beats: ``1 beat``, ``1 1/2 beats``."""
    length = Fraction(ticks, beat)
    whole, rest = divmod(length, 1)
    text = " ".join(part for part in (str(whole) if whole else "", str(rest) if rest else "") if part) or "0"
    return _translated("%1 beat", text) if length <= 1 else _translated("%1 beats", text)


def place_in_words(song: Song, place: Place, naming: Naming = Naming.LETTERS) -> str:
    """What is selected: the note with its moment, length and finger; the chord with its moment; or the part."""
    if place.part > len(song.parts):
        return ""
    part, start = song.parts[place.part - 1], song.part_onsets[place.part - 1]
    note, chord = place.note(song), place.chord(song)
    names = Names.of_part(song, place.part, naming)
    if note is not None:
        melody = [index for index, other in enumerate(part.notes) if other.melody]
        if place.index not in melody:
            beneath = note.hand is Hand.LEFT
            return _translated(
                "Part %1, left hand: %2, %3, %4, finger %5"
                if beneath
                else "Part %1, under the melody: %2, %3, %4, finger %5",
                place.part,
                names.said(note.pitch.name),
                moment_words(song, start + note.onset),
                beats_in_words(note.duration, song.metre_at(start + note.onset).beat_ticks),
                note.finger or analyse_part(song, place.part).fingers[place.index].finger,
            )
        number = melody.index(place.index) + 1
        finger = note.finger or analyse_part(song, place.part).fingers[place.index].finger
        return _translated(
            "Part %1, note %2 of %3: %4, %5, %6, finger %7",
            place.part,
            number,
            len(melody),
            names.said(note.pitch.name),
            moment_words(song, start + note.onset),
            beats_in_words(note.duration, song.metre_at(start + note.onset).beat_ticks),
            finger,
        )
    if chord is not None:
        return _translated(
            "Part %1, chord %2 of %3: %4, %5" if chord.given else "Part %1, suggested chord %2 of %3: %4, %5",
            place.part,
            place.index + 1,
            len(part.chords),
            names.chord_said(chord.symbol),
            moment_words(song, start + chord.onset),
        )
    return _translated("Part %1 of %2", place.part, len(song.parts))


def selection_in_words(song: Song, selection: Selection, naming: Naming = Naming.LETTERS) -> str:
    """What is selected; of several notes how many, and the one that counts."""
    place = place_in_words(song, selection.place, naming)
    count = len(selection.notes)
    return _translated("%1 notes selected; %2", count, place) if count > 1 else place
