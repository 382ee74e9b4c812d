"""Introductions and endings of two or four bars, made of the song's own chords.

An introduction goes through the song's last harmonies to the chord that leads into it: the dominant seventh in major
and minor, the chord below the tonic in dorian and mixolydian, the one above it in phrygian and locrian (common
practice). An ending plays the last harmonies once more and rests on the song's last chord. The right hand goes
through each chord's tones, one to a beat, near the melody.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from core.arranging.beats import beats_of
from core.song.chord import Chord, ChordSymbol, Quality
from core.song.errors import DomainError
from core.song.key import Key, Mode
from core.song.metre import Metre
from core.song.note import Hand, Note
from core.song.part import Part, Teaching, in_order
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.song.wording import say
from core.theory.chord_tones import chord_tones

LENGTHS: Final = (2, 4)
"""Bars that an introduction or an ending may have."""
OCTAVE: Final = 12
LOWEST_LINE: Final = 62
HIGHEST_LINE: Final = 81
"""D4 to A5: where the right hand's line lies."""


def introduction(song: Song, bars: int) -> Part:
    """A part that leads into the song; it ends where the song's pick-up begins.

    Args:
        song: a song with chords.
        bars: 2 or 4.

    Raises:
        DomainError: for another length, or a song without chords.
    """
    _check(song, bars)
    metre, key = song.metre, song.key
    last = _last_chords(song)
    symbols = [last[-1], leading_chord(key)] if bars == min(LENGTHS) else [last[-1], *last[1:3], leading_chord(key)]
    length = bars * metre.bar_ticks - song.pickup
    target = next((note.pitch for _, note in song.placed_notes() if note.melody), None)
    return _part(symbols, metre, length, target, held=False)


def ending(song: Song, bars: int) -> Part:
    """A part that closes the song; it begins by filling up the song's last bar.

    Args:
        song: a song with chords.
        bars: 2 or 4.

    Raises:
        DomainError: for another length, or a song without chords.
    """
    _check(song, bars)
    metre = song.metre_at(song.length - 1)
    last = _last_chords(song)
    symbols = [last[-1]] * 2 if bars == min(LENGTHS) else [*last[1:3], last[-1], last[-1]]
    target = next((note.pitch for _, note in reversed(list(song.placed_notes())) if note.melody), None)
    whole = _part(symbols, metre, bars * metre.bar_ticks, target, held=True)
    bar = song.bars[-1]
    missing = bar.onset + metre.bar_ticks - bar.end if bar.number else 0
    if not missing:
        return whole
    notes = [Note(note.onset + missing, note.duration, note.pitch, melody=True) for note in whole.notes]
    chords = [Chord(chord.onset + missing, chord.duration, chord.symbol) for chord in whole.chords]
    return Part(whole.duration + missing, in_order(notes), (Chord(0, missing, last[-1]), *chords), whole.teaching)


def leading_chord(key: Key) -> ChordSymbol:
    """The chord that leads into a key's tonic."""
    scale = key.scale
    if key.mode in (Mode.DORIAN, Mode.MIXOLYDIAN):
        return ChordSymbol(scale[6])
    if key.mode in (Mode.PHRYGIAN, Mode.LOCRIAN):
        return ChordSymbol(scale[1])
    return ChordSymbol(scale[4], Quality.DOMINANT, 7)


def _check(song: Song, bars: int) -> None:
    if bars not in LENGTHS:
        raise DomainError(say("the bars of an introduction or ending"), bars, say("2 or 4"))
    if all(chord.symbol.is_silent for _, chord in song.placed_chords()):
        raise DomainError(
            say("the chords of a song"), 0, say("at least one, so that an introduction can be made of them")
        )


def _last_chords(song: Song) -> list[ChordSymbol]:
    """The chords that begin the song's last four bars, the last one being what the song ends with."""
    sounding = [(onset, chord.symbol) for onset, chord in song.placed_chords() if not chord.symbol.is_silent]
    bars = [bar for bar in song.bars if bar.number][-max(LENGTHS) :]
    found: list[ChordSymbol] = []
    for bar in bars:
        before = [symbol for onset, symbol in sounding if onset <= bar.onset]
        found.append(before[-1] if before else sounding[0][1])
    found = [sounding[0][1]] * (max(LENGTHS) - len(found)) + found
    return [*found[:-1], sounding[-1][1]]


def _part(symbols: Sequence[ChordSymbol], metre: Metre, length: int, target: Pitch | None, *, held: bool) -> Part:
    """A bar for each chord up to a length; the line ends near `target`, held through the last bar if asked for."""
    bar = metre.bar_ticks
    chords: list[Chord] = []
    notes: list[Note] = []
    near = min(max(target.midi, LOWEST_LINE), HIGHEST_LINE) if target is not None else (LOWEST_LINE + HIGHEST_LINE) // 2
    beats = beats_of(metre)
    for place, symbol in enumerate(symbols):
        start = place * bar
        end = min(start + bar, length)
        if start >= end:
            break
        if chords and chords[-1].symbol == symbol and not held:
            chords[-1] = Chord(chords[-1].onset, end - chords[-1].onset, symbol)
        else:
            chords.append(Chord(start, end - start, symbol))
        line = _line(chord_tones(symbol), near, len(beats))
        if held and place == len(symbols) - 1:
            notes.append(Note(start, end - start, _nearest(symbol.root, near), Hand.RIGHT))
            continue
        for beat, pitch in zip(beats, line, strict=True):
            onset = start + beat.onset
            if onset < end:
                notes.append(Note(onset, min(beat.duration, end - onset), pitch, Hand.RIGHT))
    return Part(length, in_order(notes), tuple(chords), Teaching())


def _line(names: Sequence[NoteName], near: int, count: int) -> list[Pitch]:
    """Chord tones up from below a key and back, one to each beat."""
    tones = sorted((_nearest(name, near) for name in names[:3]), key=lambda pitch: pitch.midi)
    around = [*tones, *reversed(tones[1:-1])]
    return [around[place % len(around)] for place in range(count)]


def _nearest(name: NoteName, midi: int) -> Pitch:
    """The pitch of a name nearest to a key."""
    up = midi + (name.pitch_class - midi) % OCTAVE
    return Pitch.named(name, up if up - midi <= OCTAVE // 2 else up - OCTAVE)
