"""From what a source says to a song: bars and pick-up, key, hands and melody, sections, chords."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from msgspec.structs import replace

from core.arranging.plain import melody_of
from core.formats.reading import Reading
from core.formats.repeats import sections_of
from core.formats.source import Signature, Source, SourceBar, SourceNote
from core.song.chord import Chord, ChordSymbol
from core.song.key import FIFTHS_BELOW_MAJOR, Key, KeyChange, Mode
from core.song.metre import Metre, MetreChange
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.song import Song
from core.song.tempo import DEFAULT_TEMPO, FASTEST_TEMPO, SLOWEST_TEMPO, TempoChange
from core.song.wording import say, to_say
from core.teaching.hands import assign_hands, is_one_line
from core.theory.key_finding import find_key

NO_NOTES: Final = to_say("There is not a single sounding note.")
NO_CHORDS: Final = to_say(
    "There are no chord symbols, so there is nothing to teach the left hand from; none were invented."
)


def build_song(source: Source, fallback_title: str) -> Reading:
    """The song of a source.

    Args:
        source: what a reader found.
        fallback_title: the title where the source has none; folders before it are left out.
    """
    warnings = list(source.warnings)
    bars = _solid(source.bars, source.notes)
    start = 0 if source.cuts else _first_sounding_bar(bars, source.notes)
    if start:
        bars = bars[start:]
    origin = bars[0].onset
    chords = _chords(source.chords, origin, bars[-1].end, warnings)
    notes = sorted(source.notes, key=lambda note: (note.onset, bool(note.duration), note.pitch.midi))
    length = max(bars[-1].end, notes[-1].onset + 1 if notes else 0) - origin
    bars = [replace(bar, onset=bar.onset - origin) for bar in bars]
    notes = [replace(note, onset=note.onset - origin) for note in notes]
    pickup, metres = _metres(bars)
    sections = sections_of(bars)
    warnings.extend(sections.warnings)
    if not notes:
        warnings.append(say(NO_NOTES))
    if notes and not chords:
        warnings.append(say(NO_CHORDS))
    cuts = tuple(sorted({cut - origin for cut in source.cuts if 0 < cut - origin < length} | {0}))
    onsets = [bars[index].onset for index in sections.starts]
    order: tuple[int, ...] = sections.order
    if source.cuts:
        onsets, order = list(cuts), source.playing_order
        if any(not 1 <= number <= len(cuts) for number in order):
            order = ()
    song = Song(
        title=source.title or _title_of(fallback_title),
        parts=_parts(onsets, length, _with_hands(source, notes), chords),
        keys=_keys(source.signatures, origin, notes, warnings),
        metres=metres,
        tempos=_tempos(source.tempos, origin, warnings),
        pickup=pickup,
        playing_order=order,
        composer=source.composer,
        rights=source.rights,
    )
    slurs = tuple((first - origin, last - origin) for first, last in source.slurs)
    return Reading(song, tuple(dict.fromkeys(warnings)), has_cuts=bool(source.cuts), slurs=slurs)


def _title_of(file_name: str) -> str:
    """A file's own name as a title; bytes that no text has are shown as marks of the unknown."""
    name = re.split(r"[/\\]", file_name)[-1]
    return name.encode("utf-8", "replace").decode("utf-8")


def _solid(bars: Sequence[SourceBar], notes: Sequence[SourceNote]) -> list[SourceBar]:
    """Bars with length only; the signs of one without length go to its neighbours."""
    solid: list[SourceBar] = []
    starts, segno, coda = False, False, False
    for bar in bars:
        if bar.duration:
            bar = replace(bar, repeat_start=bar.repeat_start or starts, segno=bar.segno or segno, coda=bar.coda or coda)
            starts = segno = coda = False
            solid.append(bar)
            continue
        starts, segno, coda = starts or bar.repeat_start, segno or bar.segno, coda or bar.coda
        if solid:
            last = solid[-1]
            solid[-1] = replace(
                last,
                repeat_times=max(last.repeat_times, bar.repeat_times),
                to_coda=last.to_coda or bar.to_coda,
                fine=last.fine or bar.fine,
                jump=last.jump or bar.jump,
            )
    if solid:
        return solid
    end = max((note.onset + note.duration for note in notes), default=0)
    return [SourceBar(0, max(end, Metre().bar_ticks))]


def _first_sounding_bar(bars: Sequence[SourceBar], notes: Sequence[SourceNote]) -> int:
    if not notes:
        return 0
    first = min(note.onset for note in notes)
    return max(0, bisect_right(bars, first, key=lambda bar: bar.onset) - 1)


def _metres(bars: Sequence[SourceBar]) -> tuple[int, tuple[MetreChange, ...]]:
    """The pick-up, and metre changes that make the song's bars fall where the source's do.

    A bar that is shorter than its metre is followed by the same metre stated again, so that what follows is
    counted from its own bar line, unless what follows is the rest of it (before a repeat that begins with a pick-up,
    say); one that is longer has a metre of its own length where there is one.
    """
    metre = next((bar.metre for bar in bars if bar.metre), Metre())
    pickup = 0
    first = bars[0].metre or metre
    is_divided = len(bars) > 2 and bars[0].duration + bars[1].duration == first.bar_ticks
    if len(bars) > 1 and bars[0].duration < first.bar_ticks and not is_divided:
        pickup, metre = bars[0].duration, first
    changes: list[MetreChange] = []
    expected = pickup
    in_force: Metre | None = None
    for bar in bars[1 if pickup else 0 :]:
        metre = bar.metre or metre
        if in_force == metre and bar.onset < expected == bar.end:
            # The second half of a bar that a double bar or a repeat sign divides.
            continue
        fitting = _metre_of_length(metre, bar.duration) if bar.duration > metre.bar_ticks else metre
        if in_force is None or fitting != in_force or bar.onset != expected:
            changes.append(MetreChange(0 if in_force is None else bar.onset, fitting))
            in_force = fitting
        expected = bar.onset + fitting.bar_ticks
    if pickup and pickup >= changes[0].metre.bar_ticks:
        first = bars[0].metre or metre
        return pickup, (MetreChange(0, first), replace(changes[0], onset=pickup), *changes[1:])
    return pickup, tuple(changes)


def _metre_of_length(metre: Metre, duration: int) -> Metre:
    count, rest = divmod(duration, metre.unit_ticks)
    return metre if rest or count > 64 else Metre(count, metre.unit)


def _keys(
    signatures: Sequence[Signature], origin: int, notes: Sequence[SourceNote], warnings: list[str]
) -> tuple[KeyChange, ...]:
    sounding = [(note.onset, note.duration, note.pitch.midi) for note in notes]
    if not signatures:
        return (KeyChange(0, find_key(sounding).key, given=False),)
    changes: dict[int, KeyChange] = {}
    for here, following in pairwise([*signatures, None]):
        if here is None:
            break
        onset = max(0, here.onset - origin)
        until = None if following is None else following.onset - origin
        if until is not None and until <= 0:
            continue
        if here.mode is not None:
            changes[onset] = KeyChange(onset, Key.of_signature(here.fifths, here.mode))
        else:
            stretch = [note for note in sounding if note[0] >= onset and (until is None or note[0] < until)]
            changes[onset] = KeyChange(onset, _key_under(here.fifths, stretch or sounding), given=False)
            warnings.append(
                say("The source gives a key signature without a mode; major or minor was told from the notes.")
            )
    if 0 not in changes:
        first = [note for note in sounding if note[0] < min(changes)]
        changes[0] = KeyChange(0, find_key(first).key, given=False)
    return tuple(changes[onset] for onset in sorted(changes))


def _key_under(fifths: int, notes: Sequence[tuple[int, int, int]]) -> Key:
    """The key that a signature without a mode stands for."""
    found = find_key(notes).key
    if found.fifths == fifths:
        return found
    major, minor = Key.of_signature(fifths), Key.of_signature(fifths, Mode.MINOR)
    if not notes:
        return major
    bottom = min(note for note in notes if note[0] == max(other[0] for other in notes))[2] % 12
    if bottom == minor.tonic.pitch_class:
        return minor
    modes = [mode for mode in FIFTHS_BELOW_MAJOR if Key.of_signature(fifths, mode).tonic.pitch_class == bottom]
    likely = [mode for mode in modes if mode in (Mode.DORIAN, Mode.MIXOLYDIAN)]
    if likely and found.tonic.pitch_class == bottom:
        return Key.of_signature(fifths, likely[0])
    return major


def _tempos(tempos: Sequence[tuple[int, float]], origin: int, warnings: list[str]) -> tuple[TempoChange, ...]:
    changes: dict[int, TempoChange] = {}
    for onset, bpm in tempos:
        if not SLOWEST_TEMPO <= bpm <= FASTEST_TEMPO:
            warnings.append(say("A tempo of {tempo} quarter notes a minute was left out.", tempo=f"{bpm:g}"))
            continue
        onset = max(0, onset - origin)
        changes[onset] = TempoChange(onset, bpm)
    if 0 not in changes:
        # A tempo that the source states only later is no statement about the beginning, but the best there is.
        first = changes[min(changes)].bpm if changes else DEFAULT_TEMPO
        changes[0] = TempoChange(0, first, given=False)
    return _without_repetition([changes[onset] for onset in sorted(changes)])


def _without_repetition(changes: Sequence[TempoChange]) -> tuple[TempoChange, ...]:
    kept = [changes[0]]
    for change in changes[1:]:
        if change.bpm != kept[-1].bpm or not kept[-1].given:
            kept.append(change)
    return tuple(kept)


def _with_hands(source: Source, notes: Sequence[SourceNote]) -> list[tuple[int, Note]]:
    """Notes with hand and melody."""
    named = all(note.hand is not None for note in notes)
    sounding = [(note.onset, note.duration, note.pitch.midi) for note in notes]
    if named or source.is_tune or is_one_line(sounding):
        hands = [note.hand or Hand.RIGHT for note in notes]
    else:
        known = {
            index: note.hand or Hand.RIGHT
            for index, note in enumerate(notes)
            if note.hand or note.line == source.melody_line
        }
        hands = [guess.hand for guess in assign_hands(sounding, known)]
    placed = [
        Note(note.onset, note.duration, note.pitch, hand, note.hand is not None, melody=False, finger=note.finger)
        for note, hand in zip(notes, hands, strict=True)
    ]
    considered = [
        index for index, note in enumerate(notes) if source.melody_line is None or note.line == source.melody_line
    ]
    flags = melody_of([placed[index] for index in considered])
    for index, flag in zip(considered, flags, strict=True):
        if flag:
            placed[index] = replace(placed[index], melody=True)
    return [(note.onset, note) for note in placed]


def _chords(
    chords: Sequence[tuple[int, ChordSymbol]], origin: int, end: int, warnings: list[str]
) -> list[tuple[int, int, ChordSymbol]]:
    """Chords as onset, end and symbol from the song's start, each up to the next one."""
    moments: dict[int, ChordSymbol] = {}
    for onset, symbol in chords:
        if onset >= end:
            warnings.append(say("A chord symbol behind the last bar was left out."))
        elif onset in moments:
            warnings.append(say("Where two chord symbols stand at one moment, the first was taken."))
        else:
            moments[onset] = symbol
    before = [onset for onset in moments if onset < origin]
    if before:
        held = moments[before[-1]]
        if origin not in moments:
            moments[origin] = held
        warnings.append(say("The bars before the first note were left out, and their chord symbols with them."))
    onsets = sorted(onset for onset in moments if onset >= origin)
    return [(onset - origin, following - origin, moments[onset]) for onset, following in pairwise([*onsets, end])]


def _parts(
    onsets: Sequence[int],
    length: int,
    notes: Sequence[tuple[int, Note]],
    chords: Sequence[tuple[int, int, ChordSymbol]],
) -> tuple[Part, ...]:
    parts = []
    for start, end in pairwise([*onsets, length]):
        inside = [replace(note, onset=onset - start) for onset, note in notes if start <= onset < end]
        parts.append(
            Part(
                end - start,
                in_order(inside),
                tuple(
                    Chord(max(onset, start) - start, min(until, end) - max(onset, start), symbol, onset < start)
                    for onset, until, symbol in chords
                    if onset < end and until > start
                ),
            )
        )
    return tuple(parts)
