"""Writing a song as MusicXML 4.0: what a program for notation needs to show it as it is meant.

Title, key with mode, metre, pick-up, tempo, chord symbols, fingers; the right hand on one staff, and the left on a
second where it is written out; repeats and endings where they say the song's playing order. Parts are rehearsal
marks, so that Phrasebench finds them again. A song is written as it is performed: with the embellishments and the
pedal that were chosen for its parts.
"""

from __future__ import annotations

from typing import Final
from xml.etree import ElementTree as ET

from msgspec import Struct
from msgspec.structs import replace

from core.arranging.ornaments import GRACES
from core.arranging.pedal import pedal_marks
from core.arranging.performed import performed
from core.formats.musicxml_facts import OWN_SOFTWARE, PLAYING_ORDER_FIELD
from core.formats.musicxml_notes import (
    AccidentalState,
    Durations,
    NotePlace,
    add_harmony,
    add_note,
    add_rest,
)
from core.formats.repeat_signs import signs_for
from core.formats.source import SourceBar
from core.formats.staff_voices import Struck, voices_of
from core.formats.written_measures import Measure, brackets_of, by_measure, divided, segments_of
from core.song.chord import ChordSymbol
from core.song.errors import FormatError
from core.song.key import Key, Mode
from core.song.metre import Metre, bars_of
from core.song.note import Hand
from core.song.song import Song
from core.song.tempo import TempoChange
from core.song.wording import say

HEADER: Final = (
    b'<?xml version="1.0" encoding="UTF-8"?>\n'
    b'<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"'
    b' "http://www.musicxml.org/dtds/partwise.dtd">\n'
)
VOICES_A_STAFF: Final = 10
"""Voice numbers kept for the upper staff, so that no voice is on two staves."""
LOWEST_OCTAVE: Final = 0
"""The lowest octave that the schema knows."""
BASS_CLEF_BELOW: Final = 55
"""MIDI number (G3); a staff whose notes lie lower on the average has a bass clef."""


class MusicXmlWriter:
    """Writes MusicXML scores."""

    endings: Final = (".musicxml", ".xml")

    def write(self, name: str, song: Song) -> bytes:
        """The MusicXML file of a song; raises FormatError for a note below C0, which MusicXML cannot write."""
        song = performed(song, GRACES)
        for onset, note in song.placed_notes():
            if note.pitch.octave < LOWEST_OCTAVE:
                bar = next((bar.number for bar in song.bars if bar.onset <= onset < bar.end), 0)
                trouble = say("MusicXML has no note as low as {pitch}", pitch=note.pitch.plain)
                raise FormatError(
                    name, say("bar {bar}", bar=bar), trouble, say("move that note up or write a MIDI file")
                )
        root = _Score(song).element()
        ET.indent(root, " ")
        return HEADER + ET.tostring(root, encoding="unicode").encode("utf-8") + b"\n"


class PedalSign(Struct, frozen=True):
    """A sign for the pedal: ``start``, ``change`` (up, and down at once) or ``stop``."""

    kind: str


Mark = ChordSymbol | TempoChange | PedalSign | int | str
"""What stands by the music: a chord symbol, a tempo, a pedal sign, a part's number, or words that tell a jump."""


class _Score:
    """Builds the element of a song's score."""

    def __init__(self, song: Song) -> None:
        self._song = song
        self._durations = Durations()
        self._is_two_staves = song.has_written_left_hand
        hands = ((Hand.RIGHT,), (Hand.LEFT,)) if self._is_two_staves else ((Hand.RIGHT, Hand.LEFT),)
        staves = [voices_of(song, of) for of in hands]
        self._signs = signs_for(len(song.parts), song.playing_order) or ()
        self._edges = [*song.part_onsets, song.length]
        self._measures = self._written_measures()
        self._staves = [[by_measure(voice, self._measures) for voice in voices] for voices in staves]
        self._clefs = ["F" if _is_low(voices, staff) else "G" for staff, voices in enumerate(staves, start=1)]
        self._marks = self._all_marks()

    def element(self) -> ET.Element:
        """The whole score."""
        root = ET.Element("score-partwise", {"version": "4.0"})
        work = ET.SubElement(root, "work")
        ET.SubElement(work, "work-title").text = _clean(self._song.title)
        self._add_identification(root)
        part_list = ET.SubElement(root, "part-list")
        score_part = ET.SubElement(part_list, "score-part", {"id": "P1"})
        ET.SubElement(score_part, "part-name").text = "Piano"
        part = ET.SubElement(root, "part", {"id": "P1"})
        for index in range(len(self._measures)):
            part.append(self._measure(index))
        divisions = part.find("measure/attributes/divisions")
        if divisions is not None:
            divisions.text = str(self._durations.settle())
        return root

    def _add_identification(self, root: ET.Element) -> None:
        identification = ET.SubElement(root, "identification")
        if self._song.composer:
            ET.SubElement(identification, "creator", {"type": "composer"}).text = _clean(self._song.composer)
        if self._song.rights:
            ET.SubElement(identification, "rights").text = _clean(self._song.rights)
        encoding = ET.SubElement(identification, "encoding")
        ET.SubElement(encoding, "software").text = OWN_SOFTWARE
        miscellaneous = ET.SubElement(identification, "miscellaneous")
        order = ET.SubElement(miscellaneous, "miscellaneous-field", {"name": PLAYING_ORDER_FIELD})
        order.text = " ".join(str(number) for number in self._song.playing_order)

    def _written_measures(self) -> list[Measure]:
        song = self._song
        sounding = max((onset + note.duration for onset, note in song.placed_notes()), default=0)
        bars = bars_of(song.metres, song.pickup, song.length)
        if sounding > song.length:
            # What sounds past the end is written out, in the last bar if it is incomplete, else in bars of its own.
            bars = bars_of(song.metres, song.pickup, sounding)
        cuts = {self._edges[index] for index in range(1, len(self._edges) - 1) if self._is_signed_edge(index)}
        return [measure for bar in bars for measure in divided(bar, cuts)]

    def _is_signed_edge(self, index: int) -> bool:
        """Whether a repeat sign or an ending stands between two parts."""
        if not self._signs:
            return False
        before, after = self._signs[index - 1], self._signs[index]
        return bool(before.repeat_times or after.repeat_start or before.endings != after.endings)

    def _all_marks(self) -> list[tuple[int, Mark]]:
        song = self._song
        marks: list[tuple[int, int, Mark]] = [
            (onset, 0, number) for number, onset in enumerate(song.part_onsets, start=1)
        ]
        marks += [(tempo.onset, 1, tempo) for tempo in song.tempos if tempo.given]
        marks += [(onset, 2, chord.symbol) for onset, chord in song.placed_chords() if not chord.continued]
        marks += [(onset, 3, sign) for onset, sign in _pedal_signs(song)]
        return [(onset, mark) for onset, _, mark in sorted(marks, key=lambda entry: entry[:2])]

    def _measure(self, index: int) -> ET.Element:
        measure = self._measures[index]
        attributes = {"number": measure.number, **({"implicit": "yes"} if measure.is_implicit else {})}
        element = ET.Element("measure", attributes)
        self._add_left_barline(element, measure)
        self._add_attributes(element, index)
        is_first = True
        for staff, voices in enumerate(self._staves, start=1):
            state = AccidentalState(_written_key(self._song.key_at(measure.onset)))
            for number, voice in enumerate(voices):
                inside = voice[index]
                if not inside and number:
                    continue
                if not is_first:
                    self._durations.add(ET.SubElement(element, "backup"), "duration", measure.end - measure.onset)
                place = NotePlace((staff - 1) * VOICES_A_STAFF + number + 1, staff if self._is_two_staves else 0)
                self._add_voice(element, measure, inside, place, state, carries_marks=is_first)
                is_first = False
        for onset, mark in self._marks:
            if onset >= measure.end and index == len(self._measures) - 1:
                self._add_mark(element, mark, 0)
        self._add_jumps(element, measure)
        self._add_right_barline(element, measure, is_last=index == len(self._measures) - 1)
        return element

    def _add_attributes(self, element: ET.Element, index: int) -> None:
        song, measure = self._song, self._measures[index]
        attributes = ET.Element("attributes")
        if not index:
            ET.SubElement(attributes, "divisions").text = "1"
        if not index or any(change.onset == measure.onset for change in song.keys):
            _add_key(attributes, song.key_at(measure.onset))
        # A pick-up stands before the metre's first whole bar, so its metre is stated with it.
        moments = [change.onset for change in song.metres]
        if not index or (measure.onset in moments and song.metre_at(measure.onset) != song.metre_at(measure.onset - 1)):
            _add_time(attributes, song.metre_at(measure.onset))
        if not index:
            if self._is_two_staves:
                ET.SubElement(attributes, "staves").text = "2"
            for staff, clef in enumerate(self._clefs, start=1):
                _add_clef(attributes, clef, staff if self._is_two_staves else 0)
        if len(attributes):
            element.append(attributes)

    def _add_voice(
        self,
        element: ET.Element,
        measure: Measure,
        inside: list[Struck],
        place: NotePlace,
        state: AccidentalState,
        *,
        carries_marks: bool,
    ) -> None:
        keys = [change.onset for change in self._song.keys if measure.onset < change.onset < measure.end]
        segments = segments_of(measure, inside, keys if carries_marks else [])
        brackets = brackets_of(segments)
        marks = [mark for mark in self._marks if measure.onset <= mark[0] < measure.end] if carries_marks else []
        for segment, (starts, stops) in zip(segments, brackets, strict=True):
            if carries_marks and segment.onset in keys:
                attributes = ET.SubElement(element, "attributes")
                _add_key(attributes, self._song.key_at(segment.onset))
            while marks and marks[0][0] < segment.onset + max(segment.value.ticks, 1):
                self._add_mark(element, marks[0][1], marks[0][0] - segment.onset)
                del marks[0]
            here = replace(
                place,
                tied_from=segment.tied_from,
                tied_on=segment.tied_on,
                tuplet_starts=starts,
                tuplet_stops=stops,
            )
            if segment.struck is None:
                whole_bar = measure.is_whole and len(segments) == 1
                add_rest(element, segment.value, here, self._durations, whole_bar=whole_bar)
                continue
            for number, note in enumerate(segment.struck.notes):
                sign = "" if segment.tied_from else state.sign_for(note.pitch)
                add_note(element, note, segment.value, here, self._durations, sign, in_chord=number > 0)

    def _add_mark(self, element: ET.Element, mark: Mark, offset: int) -> None:
        if isinstance(mark, ChordSymbol):
            add_harmony(element, mark, offset, self._durations)
            return
        placement = "below" if isinstance(mark, PedalSign) else "above"
        direction = ET.SubElement(element, "direction", {"placement": placement})
        kind = ET.SubElement(direction, "direction-type")
        sound: dict[str, str] = {}
        if isinstance(mark, TempoChange):
            _add_metronome(kind, mark.bpm, self._song.metre_at(mark.onset))
            sound = {"tempo": f"{mark.bpm:g}" if float(f"{mark.bpm:g}") == mark.bpm else repr(mark.bpm)}
        elif isinstance(mark, PedalSign):
            ET.SubElement(kind, "pedal", {"type": mark.kind, "line": "yes"})
        elif isinstance(mark, int):
            ET.SubElement(kind, "rehearsal").text = str(mark)
        else:
            ET.SubElement(kind, "words").text = mark
            sound = {"fine": "yes"} if mark == "Fine" else {"dacapo": "yes"}
        if offset:
            self._durations.add(direction, "offset", offset)
        if isinstance(mark, PedalSign) and self._is_two_staves:
            ET.SubElement(direction, "staff").text = "2"
        if sound:
            ET.SubElement(direction, "sound", sound)

    def _sign_at_start(self, measure: Measure) -> SourceBar | None:
        """The signs of the part that begins with a measure."""
        starts = self._edges[:-1]
        return self._signs[starts.index(measure.onset)] if self._signs and measure.onset in starts else None

    def _sign_at_end(self, measure: Measure) -> int | None:
        """The index of the part that ends with a measure."""
        ends = self._edges[1:]
        return ends.index(measure.end) if self._signs and measure.end in ends else None

    def _add_left_barline(self, element: ET.Element, measure: Measure) -> None:
        sign = self._sign_at_start(measure)
        if sign is None:
            return
        number = self._edges.index(measure.onset)
        begins_ending = bool(sign.endings) and (not number or self._signs[number - 1].endings != sign.endings)
        if not (sign.repeat_start or begins_ending):
            return
        barline = ET.SubElement(element, "barline", {"location": "left"})
        if sign.repeat_start:
            ET.SubElement(barline, "bar-style").text = "heavy-light"
        if begins_ending:
            ET.SubElement(barline, "ending", {"number": _numbers(sign.endings), "type": "start"})
        if sign.repeat_start:
            ET.SubElement(barline, "repeat", {"direction": "forward"})

    def _add_right_barline(self, element: ET.Element, measure: Measure, *, is_last: bool) -> None:
        index = self._sign_at_end(measure)
        sign = self._signs[index] if index is not None else None
        times = sign.repeat_times if sign is not None else 0
        ends_ending = False
        if sign is not None and index is not None and sign.endings:
            ends_ending = index + 1 == len(self._signs) or self._signs[index + 1].endings != sign.endings
        if not (times or ends_ending or is_last):
            return
        barline = ET.SubElement(element, "barline", {"location": "right"})
        if times or is_last:
            ET.SubElement(barline, "bar-style").text = "light-heavy"
        if ends_ending and sign is not None:
            kind = "stop" if times else "discontinue"
            ET.SubElement(barline, "ending", {"number": _numbers(sign.endings), "type": kind})
        if times:
            repeat = {"direction": "backward"}
            if times > 2 and sign is not None and not sign.endings:
                repeat["times"] = str(times)
            ET.SubElement(barline, "repeat", repeat)

    def _add_jumps(self, element: ET.Element, measure: Measure) -> None:
        index = self._sign_at_end(measure)
        if index is None:
            return
        if self._signs[index].fine:
            self._add_mark(element, "Fine", 0)
        if self._signs[index].jump:
            self._add_mark(element, "D.C. al Fine", 0)


def _pedal_signs(song: Song) -> list[tuple[int, PedalSign]]:
    """The pedal's signs with ticks from the song's start; stretches that follow one another are joined by a change."""
    marks: list[tuple[int, int]] = []
    for number, start in enumerate(song.part_onsets, start=1):
        if song.part(number).teaching.pedal:
            marks += ((start + mark.down, start + mark.up) for mark in pedal_marks(song, number))
    ups = {up for _, up in marks}
    downs = {down for down, _ in marks}
    signs = [(down, PedalSign("change" if down in ups else "start")) for down, _ in marks]
    signs += [(up, PedalSign("stop")) for _, up in marks if up not in downs]
    return sorted(signs, key=lambda sign: sign[0])


def _written_key(key: Key) -> Key:
    """A key with at most seven signs, respelled where it has more."""
    fifths = key.fifths
    while abs(fifths) > 7:
        fifths -= 12 if fifths > 0 else -12
    return Key.of_signature(fifths, key.mode)


def _add_key(attributes: ET.Element, key: Key) -> None:
    element = ET.SubElement(attributes, "key")
    ET.SubElement(element, "fifths").text = str(_written_key(key).fifths)
    ET.SubElement(element, "mode").text = (key.mode or Mode.MAJOR).value


def _add_time(attributes: ET.Element, metre: Metre) -> None:
    time = ET.SubElement(attributes, "time")
    ET.SubElement(time, "beats").text = str(metre.count)
    ET.SubElement(time, "beat-type").text = str(metre.unit)


def _is_low(voices: list[list[Struck]], staff: int) -> bool:
    """Whether a staff has a bass clef: the lower of two, or one whose notes lie low on the average."""
    midis = [note.pitch.midi for voice in voices for struck in voice for note in struck.notes]
    return staff == 2 or (bool(midis) and sum(midis) / len(midis) < BASS_CLEF_BELOW)


def _add_clef(attributes: ET.Element, sign: str, staff: int) -> None:
    clef = ET.SubElement(attributes, "clef", {"number": str(staff)} if staff else {})
    ET.SubElement(clef, "sign").text = sign
    ET.SubElement(clef, "line").text = "4" if sign == "F" else "2"


def _add_metronome(kind: ET.Element, bpm: float, metre: Metre) -> None:
    """A tempo as a player counts it: in dotted quarters where those are the beat."""
    is_dotted = metre.is_compound and metre.unit == 8
    metronome = ET.SubElement(kind, "metronome")
    ET.SubElement(metronome, "beat-unit").text = "quarter"
    if is_dotted:
        ET.SubElement(metronome, "beat-unit-dot")
    number = bpm / 1.5 if is_dotted else bpm
    ET.SubElement(metronome, "per-minute").text = f"{number:.4g}" if number < 1000 else f"{number:.0f}"


def _numbers(endings: tuple[int, ...]) -> str:
    return ", ".join(str(number) for number in endings)


def _clean(text: str) -> str:
    """Text without the control characters that XML 1.0 does not allow."""
    return "".join(sign for sign in text if sign >= " " or sign in "\t\n").replace("\ufffe", "").replace("\uffff", "")
