"""A part's right hand as a line of text, both ways.

The line is read from left to right, in the metre's unit (a quarter in 4/4, an eighth in 6/8):

* ``C`` … ``B`` are the notes from middle C up, ``c`` … ``b`` those an octave higher; a comma after a note
  lowers it by an octave, an apostrophe raises it (the octave marks of the ABC standard 2.1, section 4.1).
* ``#`` and ``b`` (or ♯ and ♭) after the letter raise and lower it; two of them do so twice. The key's
  signature is not implied: what is written is what is played.
* a note lasts one unit, ``:`` and a number, or a fraction such as ``3/2``, says otherwise; each ``-`` (or a long dash)
  after it makes it a unit longer.
* ``.`` (or ·) is a rest of one unit, and takes ``:`` in the same way.
* ``|`` marks a bar line; it is not needed, but where it stands it must be right.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from msgspec.structs import replace

from core.song.errors import DomainError, NoteTextError
from core.song.metre import Bar, bar_at
from core.song.note import Hand, Note
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.song.wording import say

_TOKEN: Final = re.compile(
    r"(?P<note>[A-Ga-g])(?P<signs>[#b♯♭𝄪𝄫]*)(?P<octave>[,']*)|(?P<rest>[.·])|(?P<longer>[-–—])|(?P<bar>\|)"
)
_LENGTH: Final = re.compile(r":(\d+)(?:/(\d+)|\.(\d+))?")
_SIGNS: Final = {"#": 1, "♯": 1, "𝄪": 2, "b": -1, "♭": -1, "𝄫": -2}
_MOST_DASHES: Final = 3
_UPPER_CASE_OCTAVE: Final = 4


def write_line(song: Song, number: int) -> str:
    """The melody of a part as a line of text."""
    part = song.part(number)
    start = song.part_onsets[number - 1]
    bars = song.bars
    words: list[str] = []
    here = 0
    melody = [note for note in part.melody if not note.is_grace]
    for place, note in enumerate(melody):
        if note.onset > here:
            words.extend(_rest(song, bars, start, here, note.onset))
        elif here:
            words.extend(_bar_line(bars, start, here))
        until = melody[place + 1].onset if place + 1 < len(melody) else max(note.end, note.onset + 1)
        length = min(note.end, until) - note.onset
        words.extend(_sounding(song, start, note, length))
        here = note.onset + length
    if here < part.duration:
        words.extend(_rest(song, bars, start, here, part.duration))
    return " ".join(words)


def _bar_line(bars: tuple[Bar, ...], start: int, here: int) -> list[str]:
    return ["|"] if bar_at(bars, start + here).onset == start + here else []


def _rest(song: Song, bars: tuple[Bar, ...], start: int, here: int, until: int) -> list[str]:
    words: list[str] = []
    while here < until:
        if here:
            words.extend(_bar_line(bars, start, here))
        end = min(until, bar_at(bars, start + here).end - start)
        if end <= here:
            end = until
        unit = song.metre_at(start + here).unit_ticks
        count, left = divmod(end - here, unit)
        if left or count > _MOST_DASHES + 1:
            words.append(f".{_length(Fraction(end - here, unit))}")
        else:
            words.extend("." * count)
        here = end
    return words


def _sounding(song: Song, start: int, note: Note, length: int) -> list[str]:
    letters = _pitch_text(note.pitch)
    unit = song.metre_at(start + note.onset).unit_ticks
    count, left = divmod(length, unit)
    if left or not 1 <= count <= _MOST_DASHES + 1:
        return [f"{letters}{_length(Fraction(length, unit))}"]
    return [letters, *"-" * (count - 1)]


def _length(units: Fraction) -> str:
    return "" if units == 1 else f":{units}"


def _pitch_text(pitch: Pitch) -> str:
    signs = pitch.name.plain[1:]
    if pitch.octave > _UPPER_CASE_OCTAVE:
        return pitch.letter.lower() + signs + "'" * (pitch.octave - _UPPER_CASE_OCTAVE - 1)
    return pitch.letter + signs + "," * (_UPPER_CASE_OCTAVE - pitch.octave)


def read_line(song: Song, number: int, text: str) -> tuple[Note, ...]:
    """The melody notes that a line of text describes, for a part of a song.

    A note that is where it was, with the pitch it had, keeps its finger and whatever else it carried.

    Args:
        song: the song the part belongs to, for its metre and bars.
        number: part number from 1.
        text: the line.

    Raises:
        NoteTextError: with the place of the first thing that cannot be read, a bar line that stands wrong, or
            a note that begins past the part's end.
    """
    part = song.part(number)
    start = song.part_onsets[number - 1]
    bars = song.bars
    known = {(note.onset, note.pitch): note for note in part.melody}
    notes: list[Note] = []
    here, place = 0, 0
    while place < len(text):
        if text[place].isspace():
            place += 1
            continue
        token = _TOKEN.match(text, place)
        if token is None:
            raise NoteTextError(text, place, _what_is_wrong(text[place]))
        unit = song.metre_at(start + here).unit_ticks
        if token["bar"]:
            if here < part.duration and bar_at(bars, start + here).onset != start + here:
                raise NoteTextError(
                    text, place, say("no bar begins here; the notes before it are too long or too short")
                )
            place = token.end()
            continue
        if token["longer"]:
            if not notes or notes[-1].end != here:
                raise NoteTextError(text, place, say("a dash makes the note before it longer, and there is none"))
            notes[-1] = replace(notes[-1], duration=notes[-1].duration + unit)
            here += unit
            place = token.end()
            continue
        after, length = _read_length(text, token.end(), unit)
        if here >= part.duration:
            raise NoteTextError(text, place, say("part {number} is already full before this", number=number))
        if token["note"]:
            pitch = _read_pitch(text, place, token)
            old = known.get((here, pitch))
            fresh = Note(here, length, pitch, Hand.RIGHT, hand_given=True)
            notes.append(replace(old, duration=length) if old else fresh)
        here += length
        place = after
    return tuple(notes)


def _read_length(text: str, place: int, unit: int) -> tuple[int, int]:
    if not text.startswith(":", place):
        return place, unit
    found = _LENGTH.match(text, place)
    if found is None:
        raise NoteTextError(text, place, say("after a colon comes a length, such as 2, 1/2 or 1.5"))
    written = found[0][1:]
    try:
        length = round(Fraction(written) * unit)
    except ZeroDivisionError:
        length = 0
    if length <= 0:
        raise NoteTextError(text, place, say("a length must be more than nothing"))
    return found.end(), length


def _read_pitch(text: str, place: int, token: re.Match[str]) -> Pitch:
    letter = token["note"]
    octave = _UPPER_CASE_OCTAVE + letter.islower() + token["octave"].count("'") - token["octave"].count(",")
    try:
        name = NoteName(letter.upper(), sum(_SIGNS[sign] for sign in token["signs"]))
        return Pitch.of(name, octave)
    except DomainError as error:
        raise NoteTextError(text, place, say("there is no key for {note}", note=token[0])) from error


def _what_is_wrong(sign: str) -> str:
    """Why nothing in a line of notes begins with a sign, and what is written instead where that can be guessed."""
    if sign.isdecimal():
        return say("“{sign}” stands alone; a length follows a colon, as in C:2, and octaves are c, c' or C,", sign=sign)
    if sign in "#♯♭":
        return say("“{sign}” comes after the letter of its note, as in F{sign}", sign=sign)
    return say("“{sign}” is neither a note from A to G, a rest nor a bar line", sign=sign)
