"""An ABC tune made ready for music21: split into voices and rewritten in the plain ABC that music21 knows.

music21 turns letters into pitches and lengths. Bar lines, endings, chord symbols, jumps and changes of metre, key
and tempo are read here (ABC standard 2.1) and stand in the rewritten text as fields ``N:12`` whose number points
into the marks of a `core.formats.abc_marks.Voice`; chord symbols stand as ``"12"`` before their note. Ends of lines
are taken out with everything else that is only layout: they say nothing about phrases.

An accidental holds to the end of its bar, in every octave, and over a tie (the standard's default; music21 lets it
hold for one note only in files that do not say which version of the standard they follow).
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from core.formats.abc_book import BookTune, readable_text
from core.formats.abc_fields import AbcKey, read_key, read_metre, read_tempo, read_unit, unit_of
from core.formats.abc_marks import BarLine, Jump, MetreField, PreparedTune, Voice
from core.song.chord import ChordSymbol
from core.song.errors import ChordSymbolError, DomainError
from core.song.key import Key
from core.song.metre import Metre
from core.song.wording import say
from core.theory.chord_symbols import parse_chord

_FIELD: Final = re.compile(r"([A-Za-z]):(?![|:])(.*)")
_BAR: Final = re.compile(r"(:*)(\[\||\|)[|\]]*(:*)|(::+)")
_ENDING: Final = re.compile(r"\s*\[(\d[\d,.\-]*)|(?<=[|:\]])(\d[\d,.\-]*)")
_NOTE: Final = re.compile(r"([\^_=]*)([A-Ga-g])([,']*)([\d/]*)")
_REST: Final = re.compile(r"[zx]([\d/]*)")
_BARS_OF_REST: Final = re.compile(r"[ZX](\d*)")
_TUPLET: Final = re.compile(r"\((\d)(:\d?)?(:\d?)?")
_SIGN: Final = re.compile(r"!([^!\n]*)!|\+([A-Za-z0-9.<>()]+)\+")
_INLINE: Final = re.compile(r"\[([A-Za-z]):([^\]]*)\]")
_LENGTH: Final = re.compile(r"[\d/]*")
_BROKEN: Final = re.compile(r"[<>]{1,3}")
_JUMPS: Final = {
    "segno": "segno", "coda": "coda", "fine": "fine", "d.c.": "capo", "dc": "capo", "dacapo": "capo",
    "d.c.alfine": "capo", "d.c.alcoda": "capo", "d.s.": "dal segno", "ds": "dal segno", "d.s.alfine": "dal segno",
    "d.s.alcoda": "dal segno", "dacoda": "to coda", "tocoda": "to coda",
}  # fmt: skip  # a table, read line by line
_NO_CHORD: Final = frozenset({"nc", "n.c.", "n.c", "no chord", "none", "tacet"})
MOST_PASSES: Final = 20
MOST_LISTED: Final = 5
"""How many of the words that were left out a warning lists."""


def prepared_tune(tune: BookTune) -> PreparedTune:
    """A tune made ready."""
    preparing = _Preparing(tune)
    preparing.read()
    return preparing.result


class _Preparing:
    def __init__(self, tune: BookTune) -> None:
        self._tune = tune
        self.result = PreparedTune(title=tune.title)
        self._metre: Metre | None = None
        self._unit: Fraction | None = None
        self._key: AbcKey | None = None
        self._tempo = ""
        self._voices: dict[str, Voice] = {}
        self._names: dict[str, str] = {}
        self._voice: Voice | None = None
        self._propagation = "pitch"
        self._remarks: list[str] = []

    def _leave_out(self, sentence: str) -> None:
        if sentence not in self.result.warnings:
            self.result.warnings.append(sentence)

    def read(self) -> None:
        """Go through the tune's lines."""
        in_head, after_gap = True, False
        for line in self._tune.text.splitlines():
            if not line.strip():
                after_gap = True
                continue
            if line.startswith("%%"):
                words = line[2:].split()
                if len(words) > 1 and words[0] == "propagate-accidentals" and words[1] in ("not", "octave", "pitch"):
                    self._propagation = words[1]
                continue
            content = _without_comment(line)
            found = _FIELD.match(content)
            if not in_head and after_gap and found is None and "|" not in content:
                # An empty line ends a tune; what follows is talk, unless it plainly is music.
                break
            after_gap = False
            if in_head:
                if found is not None:
                    in_head = self._read_head(found[1], found[2].strip())
            elif found is not None:
                self._read_field(found[1], found[2].strip())
            else:
                self._read_music(content)
        if self._remarks:
            remarks = list(dict.fromkeys(self._remarks))
            listed = ", ".join(remarks[:MOST_LISTED]) + (" …" if len(remarks) > MOST_LISTED else "")
            self._leave_out(
                say("Words over the music that are no chord symbols ({words}) were left out.", words=listed)
            )
        self.result.voices = [voice for voice in self._voices.values() if _NOTE.search(voice.text) or voice.marks]

    def _read_head(self, letter: str, text: str) -> bool:
        """Take in a field before the music; whether the head goes on after it."""
        if letter == "C":
            self.result.composer = self.result.composer or readable_text(text)
        elif letter == "M":
            self._metre = read_metre(text)
        elif letter == "L":
            self._unit = read_unit(text)
        elif letter == "Q":
            self._tempo = text
        elif letter == "V":
            self._name_voice(text)
        elif letter == "P":
            self._leave_out(say("The order of parts (P:) was left out."))
        elif letter == "K":
            self._key = read_key(text)
            if self._key is not None and self._key.has_extra_signs:
                self._leave_out(say("The signs that the key adds to its signature were left out."))
        return letter != "K"

    def _name_voice(self, text: str) -> str:
        name, _, rest = text.partition(" ")
        named = re.search(r'\b(?:name|nm)\s*=\s*"([^"]*)"', rest)
        if named:
            self._names[name] = readable_text(named[1])
        return name

    def _current(self) -> Voice:
        if self._voice is None:
            self._voice = self._voice_named("")
        return self._voice

    def _voice_named(self, name: str) -> Voice:
        if name in self._voices:
            return self._voices[name]
        unit = self._unit or unit_of(self._metre)
        voice = Voice(self._names.get(name, name), self._metre, unit)
        self._voices[name] = voice
        fifths = self._key.fifths if self._key is not None else 0
        voice.pieces.append("X:1\n")
        self._put_metre(voice, self._metre)
        voice.pieces.append(f"L:{_unit_text(unit)}\nK:{Key.of_signature(fifths).tonic.plain}\n")
        if self._key is not None:
            voice.pieces.append(f"N:{voice.mark(self._key)}\n")
        tempo = read_tempo(self._tempo, unit) if self._tempo else None
        if tempo is not None:
            voice.pieces.append(f"N:{voice.mark(tempo)}\n")
        return voice

    def _put_metre(self, voice: Voice, metre: Metre | None) -> None:
        voice.metre = metre
        voice.pieces.append(f"\nN:{voice.mark(MetreField(metre))}\n")
        if metre is not None:
            voice.pieces.append(f"M:{metre}\n")

    def _read_field(self, letter: str, text: str) -> None:
        """Take in a field among the music."""
        if letter == "V":
            self._voice = self._voice_named(self._name_voice(text))
            return
        voice = self._current()
        if letter == "M":
            self._put_metre(voice, read_metre(text))
        elif letter == "L":
            voice.unit = read_unit(text) or voice.unit
            voice.pieces.append(f"\nL:{_unit_text(voice.unit)}\n")
        elif letter == "K":
            key = read_key(text)
            if key is not None:
                tonic = Key.of_signature(key.fifths).tonic.plain
                voice.pieces.append(f"\nK:{tonic}\nN:{voice.mark(key)}\n")
                if key.has_extra_signs:
                    self._leave_out(say("The signs that the key adds to its signature were left out."))
        elif letter == "Q":
            tempo = read_tempo(text, voice.unit)
            if tempo is not None:
                voice.pieces.append(f"\nN:{voice.mark(tempo)}\n")
        elif letter in "wW":
            self._leave_out(say("The words of the tune were left out."))

    def _read_music(self, line: str) -> None:
        """Rewrite a line of music."""
        place = 0
        while place < len(line):
            place = self._read_piece(line, place)
        self._current().pieces.append(" ")

    def _read_piece(self, line: str, place: int) -> int:
        """Rewrite what begins at a place; the place after it."""
        voice = self._current()
        sign = line[place]
        if sign == '"':
            end = line.find('"', place + 1)
            if end < 0:
                return len(line)
            self._take_text(line[place + 1 : end].strip())
            return end + 1
        if sign == "&":
            self._leave_out(say("Second voices laid over a bar (&) were left out."))
            found = _BAR.search(line, place)
            return found.start() if found else len(line)
        if sign == "[":
            return self._read_bracket(line, place)
        if sign in "{}":
            if line.startswith("{/", place):
                place += 1
            voice.pieces.append(sign)
            return place + 1
        if sign == "-":
            voice.pieces.append("-")
            return place + 1
        for pattern, take in (
            (_NOTE, self._take_note),
            (_REST, self._take_rest),
            (_BAR, self._take_bar),
            (_TUPLET, self._take_tuplet),
            (_BROKEN, self._take_broken),
            (_BARS_OF_REST, self._take_bars_of_rest),
            (_SIGN, self._take_sign),
        ):
            found = pattern.match(line, place)
            if found is not None:
                return take(found, line)
        if sign in "()":
            self._leave_out(say("Slurs were left out."))
        return place + 1

    def _read_bracket(self, line: str, place: int) -> int:
        inline = _INLINE.match(line, place)
        if inline is not None:
            self._read_field(inline[1], inline[2].strip())
            return inline.end()
        bar = _BAR.match(line, place)
        if bar is not None:
            return self._take_bar(bar, line)
        ending = _ENDING.match(line, place)
        if ending is not None:
            self._put_bar(BarLine(endings=_passes(ending[1])))
            return ending.end()
        end = line.find("]", place)
        if end < 0:
            return place + 1
        notes = "".join(self._spelled(found) for found in _NOTE.finditer(line[place + 1 : end]))
        length = _LENGTH.match(line, end + 1)
        after = length.end() if length is not None else end + 1
        if notes:
            # A tie inside the brackets is taken to hold for the whole chord.
            is_tied = "-" in line[place:end] and not line.startswith("-", after)
            self._current().pieces.append(f"[{notes}]{line[end + 1 : after]}{'-' if is_tied else ''}")
        return after

    def _spelled(self, found: re.Match[str]) -> str:
        """A note with its accidental written out, wherever in the bar it was set."""
        voice = self._current()
        signs, letter, octave, length = found.groups()
        place = letter + octave if self._propagation == "octave" else letter.upper()
        if signs:
            voice.accidentals[place] = signs
        elif self._propagation != "not":
            signs = voice.accidentals.get(place, "")
        return f"{signs}{letter}{octave}{length}"

    def _take_note(self, found: re.Match[str], line: str) -> int:
        voice = self._current()
        written = self._spelled(found)
        bare = found[2] + found[3]
        if not found[1] and voice.tied.lstrip("^_=") == bare:
            # A tie carries its accidental over the bar line.
            written = voice.tied + found[4]
        voice.pieces.append(written)
        is_tied = line[found.end() :].lstrip().startswith("-")
        voice.tied = written.removesuffix(found[4]) if is_tied else ""
        return found.end()

    def _take_rest(self, found: re.Match[str], line: str) -> int:  # noqa: ARG002 - like the others
        self._current().pieces.append(f"z{found[1]}")
        return found.end()

    def _take_tuplet(self, found: re.Match[str], line: str) -> int:  # noqa: ARG002 - like the others
        self._current().pieces.append(found[0])
        return found.end()

    def _take_broken(self, found: re.Match[str], line: str) -> int:  # noqa: ARG002 - like the others
        self._current().pieces.append(found[0])
        return found.end()

    def _take_bars_of_rest(self, found: re.Match[str], line: str) -> int:  # noqa: ARG002 - like the others
        voice = self._current()
        bar = Fraction(4 * (voice.metre or Metre()).count, (voice.metre or Metre()).unit) / voice.unit
        count = min(int(found[1] or 1), 1000)
        voice.pieces.append("|".join([f"z{bar.numerator}/{bar.denominator}"] * count))
        return found.end()

    def _take_bar(self, found: re.Match[str], line: str) -> int:
        if found[4]:
            times, starts = len(found[4]) // 2 + 1, True
        else:
            times, starts = (len(found[1]) + 1 if found[1] else 0), bool(found[3])
        end = found.end()
        ending = _ENDING.match(line, end)
        endings: tuple[int, ...] = ()
        if ending is not None:
            endings, end = _passes(ending[1] or ending[2]), ending.end()
        is_plain = found[0].lstrip(".") == "|" and not endings
        if is_plain:
            self._current().pieces.append("|")
            self._current().accidentals.clear()
        else:
            self._put_bar(BarLine(min(times, MOST_PASSES), starts, endings))
        return end

    def _put_bar(self, bar_line: BarLine) -> None:
        voice = self._current()
        voice.pieces.append(f"|\nN:{voice.mark(bar_line)}\n")
        voice.accidentals.clear()

    def _take_sign(self, found: re.Match[str], line: str) -> int:  # noqa: ARG002 - like the others
        name = (found[1] or found[2] or "").replace(" ", "").lower()
        if name in _JUMPS:
            voice = self._current()
            voice.pieces.append(f"\nN:{voice.mark(Jump(_JUMPS[name]))}\n")
        elif name:
            self._leave_out(say("Signs of expression were left out."))
        return found.end()

    def _take_text(self, text: str) -> None:
        """Take in text in quotes: a chord symbol, a jump, or a remark."""
        voice = self._current()
        name = text.lstrip("^_<>@").replace(" ", "").lower().rstrip("!")
        if name in _JUMPS:
            voice.pieces.append(f"\nN:{voice.mark(Jump(_JUMPS[name]))}\n")
        elif not text or text[0] in "^_<>@":
            self._leave_out(say("Remarks written over the music were left out."))
        else:
            symbol = _chord_symbol(text)
            if symbol is None:
                self._remarks.append(f"“{text}”")
            else:
                voice.pieces.append(f'"{voice.mark(symbol)}"')


def _chord_symbol(text: str) -> ChordSymbol | None:
    """A chord symbol as ABC has it; of two, one of them in brackets, the first."""
    text = text.partition("(")[0].strip() or text.strip("() ")
    try:
        return parse_chord("N.C." if text.lower() in _NO_CHORD else text)
    except (ChordSymbolError, DomainError):
        return None


def _passes(text: str) -> tuple[int, ...]:
    numbers: list[int] = []
    for piece in re.findall(r"\d+(?:-\d+)?", text):
        first, _, last = piece.partition("-")
        numbers.extend(range(int(first), min(int(last or first), int(first) + MOST_PASSES) + 1))
    return tuple(sorted(set(numbers)))


def _unit_text(unit: Fraction) -> str:
    whole = unit / 4
    return f"{whole.numerator}/{whole.denominator}"


def _without_comment(line: str) -> str:
    quoted = False
    for place, sign in enumerate(line):
        if sign == '"':
            quoted = not quoted
        elif sign == "%" and not quoted and (not place or line[place - 1] != "\\"):
            return line[:place]
    return line
