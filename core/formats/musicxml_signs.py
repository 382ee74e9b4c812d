"""Signs of a MusicXML score that are read or named before music21 sees it: keys, metres, tempos, what is left out."""

from __future__ import annotations

import re
from typing import Final
from xml.etree import ElementTree as ET

from core.song.errors import DomainError
from core.song.key import Mode
from core.song.metre import Metre
from core.song.wording import to_say

_NUMBER: Final = re.compile(r"\d+(?:\.\d+)?")
_FIFTHS: Final = re.compile(r"[-+]?[0-7]")
BEAT_UNITS: Final = {
    "maxima": 32.0, "long": 16.0, "breve": 8.0, "whole": 4.0, "half": 2.0, "quarter": 1.0, "eighth": 1 / 2,
    "16th": 1 / 4, "32nd": 1 / 8, "64th": 1 / 16, "128th": 1 / 32, "256th": 1 / 64, "512th": 1 / 128, "1024th": 1 / 256,
}  # fmt: skip  # a table, read line by line
"""Note values in quarter notes (MusicXML 4.0, note-type-value)."""

LEFT_OUT: Final = {
    "lyric": to_say("words under the notes"),
    "slur": to_say("slurs"),
    "articulations": to_say("articulations"),
    "ornaments": to_say("ornaments and tremolos (their notes sound plain)"),
    "dynamics": to_say("dynamics"),
    "wedge": to_say("dynamics"),
    "fermata": to_say("fermatas"),
    "arpeggiate": to_say("arpeggio signs"),
    "non-arpeggiate": to_say("arpeggio signs"),
    "glissando": to_say("glissandos and slides"),
    "slide": to_say("glissandos and slides"),
    "technical": to_say("signs of playing technique"),
    "pedal": to_say("pedal marks"),
    "words": to_say("written directions"),
    "figured-bass": to_say("figured bass"),
    "frame": to_say("chord diagrams"),
    "measure-repeat": to_say("signs that repeat a bar without writing it out"),
    "beat-repeat": to_say("signs that repeat a beat without writing it out"),
    "slash": to_say("slash notation"),
    "harp-pedals": to_say("harp pedals"),
    "scordatura": to_say("retuned strings"),
    "accordion-registration": to_say("accordion registrations"),
    "percussion": to_say("signs for percussion"),
    "string-mute": to_say("mutes"),
    "damp": to_say("damping signs"),
    "damp-all": to_say("damping signs"),
    "eyeglasses": to_say("reminders"),
    "other-direction": to_say("other directions"),
    "other-notation": to_say("other signs"),
    "staff-divide": to_say("divided staves"),
}
"""Elements that are not taken over, in a musician's words, to be said; what is layout alone is not named."""


def is_usual_key(key: ET.Element) -> bool:
    """Whether a key signature is of at most seven sharps or flats; a mode that is none is taken out of it."""
    if not _FIFTHS.fullmatch((key.findtext("fifths") or "").strip()):
        return False
    mode = key.find("mode")
    if mode is not None:
        try:
            mode.text = Mode.parse(mode.text or "").value
        except DomainError:
            key.remove(mode)
    return True


def counted_time(time: ET.Element) -> ET.Element | None:
    """A time signature as one fraction (3/8+2/8 is 5/8), or None where it cannot be counted."""
    try:
        total = 0.0
        units: list[int] = []
        for beats, unit in zip(time.iterfind("beats"), time.iterfind("beat-type"), strict=True):
            counted = sum(int(count) for count in (beats.text or "").split("+"))
            units.append(int(unit.text or ""))
            total += counted / units[-1]
        metre = Metre(round(total * max(units)), max(units))
    except (ValueError, DomainError, ZeroDivisionError):
        return None
    counted_one = ET.Element("time")
    ET.SubElement(counted_one, "beats").text = str(metre.count)
    ET.SubElement(counted_one, "beat-type").text = str(metre.unit)
    return counted_one


def metronome_tempo(metronome: ET.Element) -> float | None:
    """Quarter notes a minute of a metronome mark, or None where it names no number (a change of note value, say)."""
    units = [str(element.text).strip() for element in metronome.iterfind("beat-unit")]
    number = _NUMBER.search(metronome.findtext("per-minute", ""))
    if number is None or not units or units[0] not in BEAT_UNITS:
        return None
    dots = len(metronome.findall("beat-unit-dot"))
    return float(number[0]) * BEAT_UNITS[units[0]] * (2 - 0.5**dots)
