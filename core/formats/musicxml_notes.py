"""Elements of MusicXML for notes, rests and chord symbols (MusicXML 4.0, W3C)."""

from __future__ import annotations

from math import gcd
from typing import Final
from xml.etree import ElementTree as ET

from msgspec import Struct, field

from core.formats.musicxml_chords import kind_and_degrees
from core.formats.note_values import NoteValue
from core.song.chord import ChordSymbol
from core.song.key import Key
from core.song.note import TURN, Note
from core.song.pitch import NoteName, Pitch
from core.song.time import TICKS_PER_QUARTER

ACCIDENTALS: Final = {
    -3: "triple-flat",
    -2: "flat-flat",
    -1: "flat",
    0: "natural",
    1: "sharp",
    2: "double-sharp",
    3: "triple-sharp",
}


class Durations(Struct):
    """Every element whose text is a time, in ticks until `settle` brings them to the smallest whole numbers."""

    _elements: list[ET.Element] = field(default_factory=list)

    def add(self, parent: ET.Element, tag: str, ticks: int) -> None:
        """Append an element that holds a time."""
        element = ET.SubElement(parent, tag)
        element.text = str(ticks)
        self._elements.append(element)

    def settle(self) -> int:
        """Divide all times by what they have in common; the divisions of a quarter note that are left."""
        common = TICKS_PER_QUARTER
        for element in self._elements:
            common = gcd(common, int(element.text or "0"))
        for element in self._elements:
            element.text = str(int(element.text or "0") // common)
        return TICKS_PER_QUARTER // common


class AccidentalState(Struct):
    """Which accidentals a bar of one staff has had so far."""

    key: Key
    _shown: dict[tuple[str, int], int] = field(default_factory=dict)

    def sign_for(self, pitch: Pitch) -> str:
        """The accidental that a pitch needs here, or an empty string."""
        place = (pitch.letter, pitch.octave)
        if self._shown.get(place, self.key.altered(pitch.letter).alteration) == pitch.alteration:
            return ""
        self._shown[place] = pitch.alteration
        return ACCIDENTALS[pitch.alteration]


class NotePlace(Struct, frozen=True):
    """Where a written note stands: its voice, its staff (0 where there is one), and how it is tied and bracketed."""

    voice: int
    staff: int
    tied_from: bool = False
    tied_on: bool = False
    tuplet_starts: bool = False
    tuplet_stops: bool = False


def add_note(
    bar: ET.Element,
    note: Note,
    value: NoteValue,
    place: NotePlace,
    durations: Durations,
    accidental: str,
    *,
    in_chord: bool,
) -> None:
    """Append a note, in the order of elements that the schema wants."""
    element = ET.SubElement(bar, "note")
    if note.is_grace:
        ET.SubElement(element, "grace", {"slash": "yes"})
    if in_chord:
        ET.SubElement(element, "chord")
    pitch = ET.SubElement(element, "pitch")
    ET.SubElement(pitch, "step").text = note.pitch.letter
    if note.pitch.alteration:
        ET.SubElement(pitch, "alter").text = str(note.pitch.alteration)
    ET.SubElement(pitch, "octave").text = str(note.pitch.octave)
    if not note.is_grace:
        durations.add(element, "duration", value.ticks)
    if place.tied_from:
        ET.SubElement(element, "tie", {"type": "stop"})
    if place.tied_on:
        ET.SubElement(element, "tie", {"type": "start"})
    _add_value(element, value, place.voice, accidental)
    if place.staff:
        ET.SubElement(element, "staff").text = str(place.staff)
    _add_notations(element, note, place, in_chord=in_chord)


def _add_value(element: ET.Element, value: NoteValue, voice: int, accidental: str = "") -> None:
    ET.SubElement(element, "voice").text = str(voice)
    if value.type:
        ET.SubElement(element, "type").text = value.type
    for _ in range(value.dots):
        ET.SubElement(element, "dot")
    if accidental:
        ET.SubElement(element, "accidental").text = accidental
    if value.tuplet != (1, 1):
        modification = ET.SubElement(element, "time-modification")
        ET.SubElement(modification, "actual-notes").text = str(value.tuplet[0])
        ET.SubElement(modification, "normal-notes").text = str(value.tuplet[1])


def _add_notations(element: ET.Element, note: Note, place: NotePlace, *, in_chord: bool) -> None:
    notations = ET.Element("notations")
    if place.tied_from:
        ET.SubElement(notations, "tied", {"type": "stop"})
    if place.tied_on:
        ET.SubElement(notations, "tied", {"type": "start"})
    if place.tuplet_starts and not in_chord:
        ET.SubElement(notations, "tuplet", {"type": "start"})
    if place.tuplet_stops and not in_chord:
        ET.SubElement(notations, "tuplet", {"type": "stop"})
    if note.ornament == TURN and not place.tied_from:
        ET.SubElement(ET.SubElement(notations, "ornaments"), "turn")
    if note.finger is not None and not place.tied_from:
        technical = ET.SubElement(notations, "technical")
        ET.SubElement(technical, "fingering").text = str(note.finger)
    if len(notations):
        element.append(notations)


def add_rest(bar: ET.Element, value: NoteValue, place: NotePlace, durations: Durations, *, whole_bar: bool) -> None:
    """Append a rest; one that fills its bar is written as the rest of a bar."""
    element = ET.SubElement(bar, "note")
    ET.SubElement(element, "rest", {"measure": "yes"} if whole_bar else {})
    durations.add(element, "duration", value.ticks)
    _add_value(element, NoteValue(value.ticks) if whole_bar else value, place.voice)
    if place.staff:
        ET.SubElement(element, "staff").text = str(place.staff)
    if place.tuplet_starts or place.tuplet_stops:
        notations = ET.SubElement(element, "notations")
        if place.tuplet_starts:
            ET.SubElement(notations, "tuplet", {"type": "start"})
        if place.tuplet_stops:
            ET.SubElement(notations, "tuplet", {"type": "stop"})


def add_harmony(bar: ET.Element, symbol: ChordSymbol, offset: int, durations: Durations) -> None:
    """Append a chord symbol that sounds `offset` ticks after the place where it stands."""
    harmony = ET.SubElement(bar, "harmony", {"print-frame": "no"})
    _add_name(harmony, "root", symbol.root)
    kind, text, degrees = kind_and_degrees(symbol)
    ET.SubElement(harmony, "kind", {"text": text}).text = kind
    if symbol.bass is not None and not symbol.is_silent:
        _add_name(harmony, "bass", symbol.bass)
    for number, alteration, sign in degrees:
        degree = ET.SubElement(harmony, "degree")
        ET.SubElement(degree, "degree-value").text = str(number)
        ET.SubElement(degree, "degree-alter").text = str(alteration)
        ET.SubElement(degree, "degree-type").text = sign
    if offset:
        durations.add(harmony, "offset", offset)


def _add_name(harmony: ET.Element, part: str, name: NoteName) -> None:
    element = ET.SubElement(harmony, part)
    ET.SubElement(element, f"{part}-step").text = name.letter
    if name.alteration:
        ET.SubElement(element, f"{part}-alter").text = str(name.alteration)
