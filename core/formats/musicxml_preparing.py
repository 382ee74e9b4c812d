"""A MusicXML score made ready for music21: only what is read stays, and what is left out is noted.

music21 reads notes, their times, ties and staves, key and metre. It is slow and easily upset over everything else,
so lyrics, layout and signs are taken out before, which also shortens its work. Chord symbols and tempos are read
here and stand in the tree as rehearsal marks whose text is a number in `Prepared.marks`: music21 finds their moment.
"""

from __future__ import annotations

from contextlib import suppress
from enum import Enum
from fractions import Fraction
from math import ceil
from typing import Final
from xml.etree import ElementTree as ET

from msgspec import Struct, field

from core.formats.musicxml_chords import read_harmony
from core.formats.musicxml_facts import NO_FACTS, Facts, facts_of, text_of
from core.formats.musicxml_repeats import BarSigns, RepeatScan
from core.formats.musicxml_signs import BEAT_UNITS, LEFT_OUT, counted_time, is_usual_key, metronome_tempo
from core.song.chord import ChordSymbol
from core.song.errors import BrokenFileError, ChordSymbolError, DomainError
from core.song.wording import say, to_say

NOTE_PARTS: Final = frozenset({"grace", "chord", "pitch", "rest", "unpitched", "duration", "tie", "staff"})


class SlurEnd(Enum):
    """An end of a slur."""

    FIRST = "start"
    LAST = "stop"


Sign = ChordSymbol | float | SlurEnd | None


class Mark(Struct):
    """What stands above the music: a chord symbol, a tempo in quarters a minute, a slur's end, None for a part.

    Its moment is where music21 finds its number, and `offset` quarter notes after it (offsets stay out of the tree,
    since music21 lengthens a bar for one that leads past its last note).
    """

    sign: Sign
    offset: Fraction = Fraction(0)


class PreparedPart(Struct):
    """One part of the score: its name, and whether it has words, tablature or transposition."""

    name: str
    has_words: bool = False
    has_tablature: bool = False
    transposes: bool = False


class Prepared(Struct):
    """A score ready for music21, and what was read from it before.

    Attributes:
        root: the pruned score; its parts are ``part0``, ``part1`` …
        marks: chord symbols, tempos, ends of slurs and parts of a lesson; their numbers stand in the tree.
        slurs: the first and last mark of each slur over a part's first staff, by their numbers.
        parts: in order.
        bar_signs: repeat signs by the bar's place.
        facts: title and what else stands before the music.
        warnings: what was left out.
    """

    root: ET.Element
    marks: list[Mark] = field(default_factory=list)
    slurs: list[tuple[int, int]] = field(default_factory=list)
    parts: list[PreparedPart] = field(default_factory=list)
    bar_signs: list[BarSigns] = field(default_factory=list)
    facts: Facts = NO_FACTS
    warnings: list[str] = field(default_factory=list)


def prepared(name: str, score: ET.Element) -> Prepared:
    """A score made ready; raises BrokenFileError where a note makes no sense, with its bar."""
    preparing = _Preparing(name, score)
    preparing.prepare_parts()
    return preparing.result()


class _Preparing:
    def __init__(self, name: str, score: ET.Element) -> None:
        self._name = name
        self._score = score
        self._prepared = Prepared(ET.Element("score-partwise", {"version": score.get("version", "4.0")}))
        self._left_out: dict[str, str] = {}
        self._repeats = RepeatScan()
        self._bar = ""
        self._part = PreparedPart("")
        self._prepared.facts = facts_of(score)
        self._divisions = 1.0
        self._waiting: list[Mark] = []
        self._open_slurs: dict[str, int] = {}

    def result(self) -> Prepared:
        prepared = self._prepared
        prepared.bar_signs = self._repeats.bar_signs()
        prepared.warnings.extend(self._repeats.warnings)
        if self._left_out:
            listed = ", ".join(
                say("{sign} (bar {bar})", sign=say(what), bar=bar) if bar else say(what)
                for what, bar in self._left_out.items()
            )
            prepared.warnings.append(say("Left out, with the first bar of each: {signs}.", signs=listed))
        return prepared

    def _leave_out(self, what: str) -> None:
        """Note what is left out, a text to be said, and the first bar that has it."""
        self._left_out.setdefault(what, self._bar)

    def _warn(self, sentence: str) -> None:
        if sentence not in self._prepared.warnings:
            self._prepared.warnings.append(sentence)

    def _broken(self, trouble: str) -> BrokenFileError:
        return BrokenFileError(
            self._name, say("bar {bar}", bar=self._bar), trouble, say("export it once more or mend that bar")
        )

    def prepare_parts(self) -> None:
        """Copy what is read of every part."""
        encoding = self._score.find("identification/encoding")
        if encoding is not None:
            # music21 treats the rests of one music program's files apart, so it must see which program wrote this.
            ET.SubElement(self._prepared.root, "identification").append(encoding)
        part_list = ET.SubElement(self._prepared.root, "part-list")
        names = {entry.get("id"): text_of(entry, "part-name") for entry in self._score.iterfind("part-list/score-part")}
        for number, part in enumerate(self._score.iterfind("part")):
            self._part = PreparedPart(names.get(part.get("id"), ""))
            self._prepared.parts.append(self._part)
            self._repeats.begin_part()
            self._open_slurs = {}
            entry = ET.SubElement(part_list, "score-part", {"id": f"part{number}"})
            ET.SubElement(entry, "part-name")
            ready = ET.SubElement(self._prepared.root, "part", {"id": f"part{number}"})
            self._divisions = 0.0
            for index, bar in enumerate(part.iterfind("measure")):
                self._bar = bar.get("number") or str(index + 1)
                ready.append(self._prepared_bar(index, bar))

    def _prepared_bar(self, index: int, bar: ET.Element) -> ET.Element:
        ready = ET.Element("measure", {"number": str(index + 1)})
        self._waiting = []
        for element in bar:
            tag = element.tag
            if tag == "note":
                note = self._prepared_note(element)
                if note is not None:
                    self._ensure_divisions(ready)
                    self._mark_slurs(element, ready)
                    _append_note(ready, note)
                    if note.find("grace") is None and note.find("chord") is None:
                        self._share_note(float(note.findtext("duration", "0")))
            elif tag in ("backup", "forward"):
                self._check_duration(element)
                self._waiting = []
                ET.SubElement(ET.SubElement(ready, tag), "duration").text = element.findtext("duration", "0")
            elif tag == "attributes":
                ready.append(self._prepared_attributes(element))
            elif tag == "harmony":
                self._take_harmony(element, ready)
            elif tag == "direction":
                self._take_direction(index, element, ready)
            elif tag == "sound":
                self._repeats.take_sound(index, element)
                self._mark_tempo(element, element, ready)
            elif tag == "barline":
                self._repeats.take_barline(index, element)
            elif tag in LEFT_OUT:
                self._leave_out(LEFT_OUT[tag])
        self._repeats.take_bar(index)
        return ready

    def _ensure_divisions(self, ready: ET.Element) -> None:
        """Take a duration of 1 for a quarter note where a part does not say what it means."""
        if not self._divisions:
            self._divisions = 1.0
            ET.SubElement(ET.SubElement(ready, "attributes"), "divisions").text = "1"

    def _check_duration(self, element: ET.Element) -> None:
        try:
            duration = float(element.findtext("duration", "0"))
        except ValueError:
            raise self._broken(say("a duration is no number")) from None
        if not 0 <= duration < 1e9:
            raise self._broken(say("a duration is out of all bounds"))

    def _prepared_note(self, note: ET.Element) -> ET.Element | None:
        self._check_duration(note)
        ready = ET.Element("note")
        is_grace = note.find("grace") is not None
        # A rest's type tells music21 whether it fills its bar.
        needs_type = is_grace or note.find("rest") is not None
        for element in note:
            tag = element.tag
            if tag in NOTE_PARTS or (needs_type and (tag == "dot" or (tag == "type" and element.text in BEAT_UNITS))):
                ready.append(element)
            elif tag == "notations":
                fingering = self._take_notations(element)
                if fingering is not None:
                    ready.append(fingering)
            elif tag == "lyric":
                self._part.has_words = True
                self._leave_out(LEFT_OUT[tag])
        if note.find("cue") is not None:
            return self._silenced(ready, is_grace, to_say("cue notes, which are for reading only"))
        if ready.find("unpitched") is not None:
            return self._silenced(ready, is_grace, to_say("notes without a pitch (percussion)"))
        pitch = ready.find("pitch")
        if pitch is not None:
            self._check_pitch(pitch)
        elif ready.find("rest") is None:
            return self._silenced(ready, is_grace, to_say("notes without a pitch (percussion)"))
        elif is_grace:
            return None
        return ready

    def _silenced(self, note: ET.Element, is_grace: bool, what: str) -> ET.Element | None:
        """A rest in a note's place, or nothing where the note takes no time of its own."""
        self._leave_out(what)
        if is_grace or note.find("chord") is not None:
            return None
        kept = [element for element in note if element.tag in ("duration", "staff")]
        note[:] = [ET.Element("rest"), *kept]
        return note

    def _check_pitch(self, pitch: ET.Element) -> None:
        step = (pitch.findtext("step") or "").strip()
        try:
            octave, alter = int(pitch.findtext("octave", "")), float(pitch.findtext("alter") or "0")
        except ValueError:
            raise self._broken(say("a pitch has no octave")) from None
        if step not in set("ABCDEFG") or not -1 <= octave <= 9 or not -4 <= alter <= 4:
            raise self._broken(say("“{step}” in octave {octave} is no pitch", step=step, octave=octave))
        sign = pitch.find("alter")
        if sign is not None and alter != int(alter):
            self._leave_out(to_say("quarter tones (the nearest key was taken)"))
            sign.text = str(int(alter))

    def _take_notations(self, notations: ET.Element) -> ET.Element | None:
        fingering: ET.Element | None = None
        for sign in notations:
            if sign.tag == "technical":
                fingers = sign.findall("fingering")
                if len(fingers) == 1:
                    fingering = ET.Element("notations")
                    ET.SubElement(ET.SubElement(fingering, "technical"), "fingering").text = fingers[0].text
                if any(other.tag != "fingering" for other in sign):
                    self._leave_out(LEFT_OUT["technical"])
            elif sign.tag in LEFT_OUT:
                self._leave_out(LEFT_OUT[sign.tag])
        return fingering

    def _prepared_attributes(self, attributes: ET.Element) -> ET.Element:
        ready = ET.Element("attributes")
        for element in attributes:
            tag = element.tag
            if tag == "divisions":
                self._check_divisions(element)
                ready.append(element)
            elif tag == "staves":
                if (element.text or "").strip().isdecimal():
                    ready.append(element)
            elif tag == "key":
                if is_usual_key(element):
                    ready.append(element)
                else:
                    self._leave_out(to_say("unusual key signatures"))
            elif tag == "time":
                time = counted_time(element)
                if time is not None:
                    ready.append(time)
                else:
                    self._leave_out(to_say("metres that cannot be counted"))
            elif tag == "transpose":
                self._part.transposes = True
                ready.append(element)
            elif tag == "clef":
                self._part.has_tablature |= text_of(element, "sign") == "TAB"
            elif tag == "measure-style":
                for style in element:
                    if style.tag in LEFT_OUT:
                        self._leave_out(LEFT_OUT[str(style.tag)])
        return ready

    def _check_divisions(self, divisions: ET.Element) -> None:
        try:
            self._divisions = float(divisions.text or "")
            if 0 < self._divisions < 1e7:
                return
        except ValueError:
            pass
        raise self._broken(say("the divisions of a quarter note are no number above 0"))

    def _take_harmony(self, harmony: ET.Element, ready: ET.Element) -> None:
        if harmony.find("frame") is not None:
            self._leave_out(LEFT_OUT["frame"])
        try:
            symbol = read_harmony(harmony)
        except (ChordSymbolError, DomainError, ValueError) as error:
            reason = str(error).rstrip(".")
            self._warn(say("The chord symbol in bar {bar} was left out: {reason}.", bar=self._bar, reason=reason))
            return
        if len(harmony.findall("kind")) > 1:
            self._warn(say("Of several chords in one symbol in bar {bar} the first was taken.", bar=self._bar))
        self._waiting.append(self._mark(symbol, harmony, ready))

    def _share_note(self, duration: float) -> None:
        """Spread chord symbols that stand before one note, at one moment, evenly over its length.

        Several symbols before one note mean that the harmony changes while it lasts (so the description of file 71g
        of the MusicXML test suite). A change that would fall between beats falls on the next one.
        """
        waiting = [mark for mark in self._waiting if not mark.offset]
        self._waiting = []
        if len(waiting) < 2:
            return
        self._warn(say("Chord symbols that stand together over one note share its length."))
        beats = Fraction(duration) / Fraction(self._divisions)
        for place, mark in enumerate(waiting):
            mark.offset = place * beats / len(waiting)
            if ceil(mark.offset) < beats and len(waiting) <= beats:
                mark.offset = Fraction(ceil(mark.offset))

    def _mark_slurs(self, note: ET.Element, ready: ET.Element) -> None:
        """Mark where slurs over the first staff begin and end: they say where phrases do not."""
        if note.find("chord") is not None or note.find("grace") is not None or note.findtext("staff", "1") != "1":
            return
        slurs = sorted(note.iterfind("notations/slur"), key=lambda slur: slur.get("type") != SlurEnd.LAST.value)
        for slur in slurs:  # one that ends here may lend its number to one that begins here
            number, kind = slur.get("number", "1"), slur.get("type")
            here = len(self._prepared.marks)
            if kind == SlurEnd.LAST.value and number in self._open_slurs:
                self._mark(SlurEnd.LAST, note, ready)
                self._prepared.slurs.append((self._open_slurs.pop(number), here))
            elif kind == SlurEnd.FIRST.value:
                self._mark(SlurEnd.FIRST, note, ready)
                self._open_slurs[number] = here

    def _take_direction(self, index: int, direction: ET.Element, ready: ET.Element) -> None:
        sound = direction.find("sound")
        if sound is not None:
            self._repeats.take_sound(index, sound)
        tempo: float | None = None
        for sign in direction.iterfind("direction-type/*"):
            tag = str(sign.tag)
            if tag == "metronome":
                tempo = metronome_tempo(sign)
                if tempo is None:
                    self._leave_out(to_say("tempos that name no number"))
            elif tag == "rehearsal" and self._prepared.facts.is_own:
                self._mark(None, direction, ready)
            elif tag in ("segno", "coda"):
                self._repeats.take_sign(index, tag)
            elif tag == "words":
                if not self._repeats.take_words(index, sign.text or "") and (sign.text or "").strip():
                    self._leave_out(LEFT_OUT[tag])
            elif tag in LEFT_OUT:
                self._leave_out(LEFT_OUT[tag])
        if sound is not None and self._mark_tempo(sound, direction, ready):
            return
        if tempo is not None:
            self._mark(tempo, direction, ready)

    def _mark_tempo(self, sound: ET.Element, at: ET.Element, ready: ET.Element) -> bool:
        try:
            tempo = float(sound.get("tempo", ""))
        except ValueError:
            return False
        if tempo <= 0:
            return False
        self._mark(tempo, at, ready)
        return True

    def _mark(self, sign: Sign, at: ET.Element, ready: ET.Element) -> Mark:
        """Put a mark into the tree where an element stood."""
        mark = Mark(sign)
        with suppress(ValueError, ZeroDivisionError):
            mark.offset = Fraction(float(at.findtext("offset") or "0")) / Fraction(self._divisions)
        direction = ET.SubElement(ready, "direction")
        rehearsal = ET.SubElement(ET.SubElement(direction, "direction-type"), "rehearsal")
        rehearsal.text = str(len(self._prepared.marks))
        self._prepared.marks.append(mark)
        return mark


def _append_note(bar: ET.Element, note: ET.Element) -> None:
    """Append a note; one of a chord directly behind the chord's other notes, where music21 looks for it."""
    place = len(bar)
    if note.find("chord") is not None:
        while place and bar[place - 1].tag == "direction":
            place -= 1
    bar.insert(place, note)
