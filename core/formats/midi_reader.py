"""Reading Standard MIDI Files of format 0 and 1 through mido.

Where a file says nothing of hands, they are told from the notes; two tracks named right and left name them. Bare
key numbers are spelled to suit the key. Times are taken to the nearest tick.
"""

from __future__ import annotations

import io
import re
from collections import defaultdict, deque
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

from core.formats.line_names import is_melody_name, named_hand
from core.formats.midi_conventions import MICROSECONDS_A_MINUTE, PART_MARKER, PREFIX
from core.formats.midi_mending import HEADER, mended
from core.formats.reading import Reading
from core.formats.song_building import build_song
from core.formats.source import Signature, Source, SourceBar, SourceNote
from core.song.chord import ChordSymbol
from core.song.errors import BrokenFileError, ChordSymbolError, DomainError, ForeignFileError, FormatError
from core.song.key import Key, Mode
from core.song.metre import Metre, MetreChange, bars_of
from core.song.note import Hand
from core.song.pitch import Pitch
from core.song.time import TICKS_PER_QUARTER
from core.song.wording import say, to_say
from core.theory.chord_symbols import parse_chord
from core.theory.key_finding import find_key
from core.theory.spelling import spell

if TYPE_CHECKING:
    from mido import MidiFile
    from mido.messages import BaseMessage

PERCUSSION_CHANNEL: Final = 9
"""Channel 10 as musicians count (General MIDI)."""
SECONDS_A_QUARTER: Final = Fraction(1, 2)
"""What a quarter note is taken to last in a file that counts in seconds: the 120 a minute that MIDI presumes."""
LONGEST_SONG: Final = 100_000
"""Quarter notes; longer than any piece of music, shorter than a damaged time."""

LEFT_OUT: Final = {
    "pitchwheel": to_say("Pitch bends were left out."),
    "polytouch": to_say("The pressure on held keys was left out."),
    "aftertouch": to_say("The pressure on held keys was left out."),
    "lyrics": to_say("The words of the song were left out."),
    "sysex": to_say("Messages to particular instruments were left out."),
}
_NO_TITLE: Final = re.compile(
    r"((master|new|tempo|midi) )?track( ?\d+)?|(inst|instrument|staff|voice|part|channel)( ?\d+)?|untitled"
    r"|((acoustic )?grand )?piano( ?\d+)?|melody|conductor",
    re.IGNORECASE,
)
"""Names of tracks that programs give by themselves."""
PEDAL: Final = 64
"""Controller number of the sustain pedal (MIDI 1.0)."""


class _RawNote(Struct):
    onset: int
    end: int
    midi: int
    track: int


class _Contents(Struct):
    """What the tracks hold, in the file's own ticks."""

    notes: list[_RawNote] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    metres: dict[int, Metre] = field(default_factory=dict)
    tempos: dict[int, int] = field(default_factory=dict)
    signatures: dict[int, tuple[int, Mode]] = field(default_factory=dict)
    keys: dict[int, Key] = field(default_factory=dict)
    chords: dict[int, ChordSymbol] = field(default_factory=dict)
    markers: dict[int, str] = field(default_factory=dict)
    playing_order: tuple[int, ...] = ()
    pickup: Fraction | None = None
    rights: str = ""
    end_of_facts: int = 0
    warnings: list[str] = field(default_factory=list)

    def warn(self, sentence: str) -> None:
        if sentence not in self.warnings:
            self.warnings.append(sentence)


class MidiReader:
    """Reads Standard MIDI Files."""

    endings: Final = (".mid", ".midi")

    def titles(self, name: str, data: bytes) -> tuple[str, ...]:
        """The song's title, as a list of one."""
        return (self.read(name, data).song.title,)

    def read(self, name: str, data: bytes, tune: int | None = None) -> Reading:  # noqa: ARG002 - one song a file
        """The song of a MIDI file.

        Raises:
            ForeignFileError: no MIDI file.
            BrokenFileError: nothing of it can be read.
            FormatError: format 2, whose tracks are songs of their own.
        """
        file, contents = _opened(name, data)
        if file.type == 2:
            trouble = say("it is a MIDI file of format 2, whose tracks do not run side by side")
            raise FormatError(name, "", trouble, say("save it as format 0 or 1 in the program that made it"))
        ticks_of = _clock(file.ticks_per_beat, contents)
        for number, track in enumerate(file.tracks):
            _read_track(number, track, contents)
        return build_song(_source(contents, ticks_of), name.rpartition(".")[0] or name)


def _opened(name: str, data: bytes) -> tuple[MidiFile, _Contents]:
    from mido import KeySignatureError, MidiFile

    start = data.find(HEADER, 0, 512)
    if start < 0:
        trouble = say("this is not a MIDI file") if data else say("the file is empty")
        raise ForeignFileError(name, "", trouble, say("open the file that it was exported from"))
    contents = _Contents()
    data = data[start:]
    try:
        return MidiFile(file=io.BytesIO(data)), contents
    except (KeySignatureError, OSError, EOFError, ValueError, LookupError, TypeError):
        # mido gives up on a fault anywhere; most of such files can be read once the fault is taken out.
        data, contents.warnings[:] = mended(data)[0], mended(data)[1]
    try:
        file = MidiFile(file=io.BytesIO(data))
    except (KeySignatureError, OSError, EOFError, ValueError, LookupError, TypeError) as error:
        raise BrokenFileError(name, "", say("the MIDI file is damaged"), say("export it once more")) from error
    if not file.tracks:
        raise BrokenFileError(name, "", say("the MIDI file ends before its first track"), say("export it once more"))
    return file, contents


class _Ticks:
    """The file's ticks as ours, to the nearest."""

    def __init__(self, per_quarter: Fraction) -> None:
        self._factor = TICKS_PER_QUARTER / per_quarter
        self._whole = self._factor.numerator if self._factor.denominator == 1 else 0

    def __call__(self, tick: int) -> int:
        return tick * self._whole if self._whole else round(tick * self._factor)


def _clock(division: int, contents: _Contents) -> _Ticks:
    if division > 0:
        return _Ticks(Fraction(division))
    if division == 0:
        contents.warn(say("The file does not say how long a quarter note is; 480 ticks were taken."))
        return _Ticks(Fraction(480))
    # SMPTE: the upper byte is minus the frames a second (29 meaning 30/1.001), the lower the ticks a frame.
    frames, ticks_a_frame = -(division >> 8), division & 0xFF
    rate = Fraction(30_000, 1001) if frames == 29 else Fraction(frames)
    contents.warn(say("The file counts in seconds, not in beats; a quarter note was taken to last half a second."))
    return _Ticks(rate * max(1, ticks_a_frame) * SECONDS_A_QUARTER)


def _read_track(number: int, track: Sequence[BaseMessage], contents: _Contents) -> None:
    now = 0
    sounding: dict[tuple[int, int], deque[_RawNote]] = defaultdict(deque)
    name = ""
    is_grace = False
    for message in track:
        now += message.time
        kind = message.type
        if kind == "note_on" and message.velocity:
            if message.channel == PERCUSSION_CHANNEL:
                contents.warn(say("Percussion was left out."))
                continue
            note = _RawNote(now, -1, message.note, number)
            sounding[message.channel, message.note].append(note)
            contents.notes.append(note)
            if is_grace:
                note.end, is_grace = now, False
        elif kind in ("note_off", "note_on"):
            waiting = sounding[message.channel, message.note]
            if waiting:
                note = waiting.popleft()
                note.end = now if note.end < 0 else note.end
        elif kind == "track_name":
            name = name or _text(message.name)
        elif kind == "text":
            is_grace = _read_own_text(_text(message.text), now, contents) or is_grace
        elif kind == "control_change":
            if message.control == PEDAL and message.value >= 64:
                contents.warn(say("The pedal was left out."))
        elif kind in LEFT_OUT:
            contents.warn(say(LEFT_OUT[kind]))
        elif message.is_meta:
            _read_fact(message, now, contents)
    for waiting in sounding.values():
        for note in waiting:
            if note.end < 0:
                note.end = now
                contents.warn(say("A note without an end was ended with its track."))
    contents.names.append(name)
    if number == 0:
        contents.end_of_facts = now


def _read_fact(message: BaseMessage, now: int, contents: _Contents) -> None:
    if message.type == "set_tempo":
        contents.tempos[now] = max(1, message.tempo)
    elif message.type == "time_signature":
        try:
            contents.metres[now] = Metre(message.numerator, message.denominator)
        except DomainError:
            metre = f"{message.numerator}/{message.denominator}"
            contents.warn(say("A metre of {metre} was left out.", metre=metre))
    elif message.type == "key_signature":
        is_minor = message.key.endswith("m")
        tonic = message.key.removesuffix("m")
        key = Key.parse(f"{tonic} {'minor' if is_minor else 'major'}")
        contents.signatures[now] = (key.fifths, key.mode)
    elif message.type == "marker":
        contents.markers[now] = _text(message.text)
    elif message.type == "copyright":
        contents.rights = contents.rights or _text(message.text)


def _read_own_text(text: str, now: int, contents: _Contents) -> bool:
    """Take in a text event of our own writing; whether it announces a grace note."""
    if not text.startswith(PREFIX):
        return False
    word, _, rest = text.removeprefix(PREFIX).partition(" ")
    try:
        if word == "chord":
            contents.chords[now] = parse_chord(rest)
        elif word == "key":
            contents.keys[now] = Key.parse(rest)
        elif word == "pick-up":
            contents.pickup = Fraction(rest)
        elif word == "playing":
            contents.playing_order = tuple(int(number) for number in rest.split()[1:])
    except (ChordSymbolError, DomainError, ValueError, ZeroDivisionError):
        contents.warn(say("The text event “{text}” was left out; it has been changed by another program.", text=text))
    return word == "grace"


def _text(latin: str) -> str:
    """The text of a meta event, which mido hands over as Latin-1: as UTF-8 where it is that.

    Empty where it is neither: Latin-1 text has no control characters.
    """
    try:
        text = latin.encode("latin-1", "replace").decode("utf-8")
    except UnicodeDecodeError:
        text = latin
    text = text.strip(" \0\r\n\t")
    return text if text.isprintable() else ""


def _source(contents: _Contents, ticks_of: _Ticks) -> Source:
    limit = LONGEST_SONG * TICKS_PER_QUARTER
    raw = [note for note in contents.notes if ticks_of(note.end) <= limit]
    if len(raw) < len(contents.notes):
        contents.warn(say("Notes after a time that no music lasts were left out."))
    raw.sort(key=lambda note: (note.onset, note.midi))
    is_own = bool(contents.playing_order)
    bars = _bars(contents, raw, ticks_of, is_own)
    keys = {ticks_of(tick): key for tick, key in contents.keys.items()}
    signatures = [
        Signature(ticks_of(tick), fifths, mode) for tick, (fifths, mode) in sorted(contents.signatures.items())
    ]
    if keys:
        signatures = [Signature(tick, key.fifths, key.mode) for tick, key in sorted(keys.items())]
    pitches = _spelled(raw, signatures, ticks_of)
    hands = _named_hands(contents)
    return Source(
        title=_title(contents),
        rights=contents.rights,
        notes=tuple(
            SourceNote(
                ticks_of(note.onset),
                ticks_of(note.end) - ticks_of(note.onset),
                pitch,
                hands.get(note.track),
                line=note.track,
            )
            for note, pitch in zip(raw, pitches, strict=True)
        ),
        bars=bars,
        chords=tuple((ticks_of(tick), symbol) for tick, symbol in sorted(contents.chords.items())),
        signatures=tuple(signatures),
        tempos=tuple((ticks_of(tick), _beats_a_minute(tempo)) for tick, tempo in sorted(contents.tempos.items())),
        cuts=tuple(
            ticks_of(tick) for tick, text in sorted(contents.markers.items()) if is_own and _is_part_marker(text)
        ),
        playing_order=contents.playing_order,
        melody_line=_melody_line(contents),
        warnings=tuple(contents.warnings),
    )


def _bars(contents: _Contents, notes: Sequence[_RawNote], ticks_of: _Ticks, is_own: bool) -> tuple[SourceBar, ...]:
    changes = [MetreChange(ticks_of(tick), metre) for tick, metre in sorted(contents.metres.items())]
    changes = [change for index, change in enumerate(changes) if not index or change.onset > changes[index - 1].onset]
    if not changes or changes[0].onset:
        changes.insert(0, MetreChange(0, Metre()))
    pickup = 0
    if len(changes) > 1 and changes[1].onset == changes[0].metre.bar_ticks < changes[1].metre.bar_ticks:
        # One short bar before the metre proper is how a file that knows no pick-up says it.
        pickup = changes[1].onset
        changes = [MetreChange(0, changes[1].metre), *changes[2:]]
    elif contents.pickup is not None:
        pickup = round(contents.pickup * TICKS_PER_QUARTER)
        pickup = pickup if 0 < pickup < changes[0].metre.bar_ticks else 0
    last = max((ticks_of(note.end) for note in notes), default=0)
    end = ticks_of(contents.end_of_facts) if is_own or not notes else last
    end = max(end, max((ticks_of(note.onset) + 1 for note in notes), default=0), 1)
    bars = bars_of(tuple(changes), pickup, min(end, LONGEST_SONG * TICKS_PER_QUARTER))
    found = [SourceBar(bar.onset, bar.duration, bar.metre) for bar in bars]
    if not is_own and bars[-1].number:
        # The last bar is counted whole, wherever the last note ends.
        found[-1] = SourceBar(bars[-1].onset, bars[-1].metre.bar_ticks, bars[-1].metre)
    return tuple(found)


def _spelled(notes: Sequence[_RawNote], signatures: Sequence[Signature], ticks_of: _Ticks) -> list[Pitch]:
    """The notes' pitches, spelled stretch by stretch to suit the key of each."""
    if not signatures:
        key = find_key([(note.onset, note.end - note.onset, note.midi) for note in notes]).key
        return list(spell([note.midi for note in notes], key))
    pitches: list[Pitch] = []
    for key, stretch in _stretches(notes, signatures, ticks_of):
        pitches.extend(spell([note.midi for note in stretch], key))
    return pitches


def _stretches(
    notes: Sequence[_RawNote], signatures: Sequence[Signature], ticks_of: _Ticks
) -> Iterator[tuple[Key, list[_RawNote]]]:
    edges = [signature.onset for signature in signatures[1:]]
    keys = [Key.of_signature(signature.fifths, signature.mode or Mode.MAJOR) for signature in signatures]
    stretch: list[_RawNote] = []
    index = 0
    for note in notes:
        while index < len(edges) and ticks_of(note.onset) >= edges[index]:
            yield keys[index], stretch
            stretch, index = [], index + 1
        stretch.append(note)
    yield keys[index], stretch


def _named_hands(contents: _Contents) -> dict[int, Hand]:
    """Hands by track, where two tracks are clearly named right and left."""
    tracks = {note.track for note in contents.notes}
    named = {number: named_hand(contents.names[number]) for number in tracks}
    hands = {number: hand for number, hand in named.items() if hand is not None}
    is_own = bool(contents.playing_order)
    return hands if is_own or set(hands.values()) == {Hand.RIGHT, Hand.LEFT} else {}


def _melody_line(contents: _Contents) -> int | None:
    tracks = sorted({note.track for note in contents.notes})
    named = [number for number in tracks if is_melody_name(contents.names[number])]
    return named[0] if len(named) == 1 and len(tracks) > 1 else None


def _is_part_marker(text: str) -> bool:
    return text.startswith(PART_MARKER) and text.removeprefix(PART_MARKER).isdecimal()


def _title(contents: _Contents) -> str:
    """The name of the first track, unless it is plainly the name of an instrument or a hand."""
    name = contents.names[0] if contents.names else ""
    has_notes = any(note.track == 0 for note in contents.notes)
    names_a_hand = has_notes and named_hand(name) is not None
    if names_a_hand or _NO_TITLE.fullmatch(name) or (has_notes and len(contents.names) > 1):
        return ""
    return name


def _beats_a_minute(microseconds: int) -> float:
    """The roundest tempo that a number of microseconds a quarter note, rounded or cut, stands for."""
    exact = MICROSECONDS_A_MINUTE / microseconds
    for digits in range(5):
        rounded = round(exact, digits)
        if rounded and abs(MICROSECONDS_A_MINUTE / rounded - microseconds) < 1:
            return rounded
    return round(exact, 6)
