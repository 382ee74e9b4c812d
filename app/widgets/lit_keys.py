"""Which keys the keyboard shows for what is selected, with the fingers that play them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.widgets.selection import Place
from core.drawing.hand_brackets import HandBracket
from core.drawing.keyboard import LitKey
from core.session.analysis import PartAnalysis, analyse_part
from core.song.identity_cache import IdentityCache
from core.song.note import Hand
from core.song.part import Part
from core.song.pitch import LETTERS, NoteName, Pitch
from core.song.song import Song
from core.teaching.naming import Names, Naming

BOTH_HANDS: Final = frozenset(Hand)
CHORD_REGISTER: Final = (45, 67)
"""MIDI numbers between which the left hand's chords are voiced, a low octave included."""


def keys_for(song: Song, place: Place, hands: frozenset[Hand] = BOTH_HANDS) -> dict[int, LitKey]:
    """Keys by MIDI number, of both hands or of one.

    For a note: its key and the chord that sounds with it. For a chord: its voicing, and the note it lands with.
    For a part as a whole: the keys of its right hand, each with the finger that plays it first, and its first
    chord.
    """
    if place.part > len(song.parts):
        return {}
    part, analysis = song.parts[place.part - 1], analyse_part(song, place.part)
    note, chord = place.note(song), place.chord(song)
    right: dict[int, int] = {}
    written: dict[int, int] = {}
    index: int | None = 0 if part.chords else None
    if note is not None and note.hand is Hand.LEFT:
        index = None
        for number, other in enumerate(part.notes):
            if other.onset == note.onset:
                keys = written if other.hand is Hand.LEFT else right
                keys[other.pitch.midi] = _finger(part, analysis, number)
    elif note is not None:
        right[note.pitch.midi] = _finger(part, analysis, place.index)
        index = _sounding_chord(part, note.onset)
    elif chord is not None:
        index = place.index
        for number, other in enumerate(part.notes):
            if other.melody and other.onset == chord.onset:
                right[other.pitch.midi] = _finger(part, analysis, number)
    else:
        for number, other in enumerate(part.notes):
            if other.melody:
                right.setdefault(other.pitch.midi, _finger(part, analysis, number))
    left = written or _left_keys(analysis, index)
    left = left if Hand.LEFT in hands else {}
    right = right if Hand.RIGHT in hands else {}
    lit = {midi: LitKey(Hand.LEFT, finger) for midi, finger in left.items()}
    lit.update({midi: LitKey(Hand.RIGHT, finger, shared=midi in left) for midi, finger in right.items()})
    return lit


def brackets_for(song: Song, place: Place, hands: frozenset[Hand] = BOTH_HANDS) -> tuple[HandBracket, ...]:
    """Where the hands lie at what is selected: at its moment, or at the part's beginning."""
    if place.part > len(song.parts):
        return ()
    return brackets_at(song, place.part, place.onset(song) or 0, hands)


def brackets_at(song: Song, number: int, tick: int, hands: frozenset[Hand] = BOTH_HANDS) -> tuple[HandBracket, ...]:
    """Where the hands lie at a moment of a part; a hand that has not begun to play lies where it will begin."""
    found: list[HandBracket] = []
    for hand, positions in analyse_part(song, number).positions:
        begun = [position for position in positions if position.onset <= tick]
        here = begun[-1:] or positions[:1]
        if hand in hands:
            found.extend(HandBracket(hand, position.thumb.midi, position.little.midi) for position in here)
    return tuple(found)


def names_of_keys(song: Song, place: Place, naming: Naming, lit: Mapping[int, LitKey]) -> dict[int, str]:
    """Names to write on the keys: on every white key its own, on lit keys the one that the song gives them."""
    here = min(place.part, len(song.parts))
    called = Names.of_part(song, here, naming)
    names = {Pitch(letter, 0, octave).midi: called.shown(NoteName(letter)) for octave in range(9) for letter in LETTERS}
    if place.part <= len(song.parts):
        analysis = analyse_part(song, place.part)
        spelled = [note.pitch for note in song.parts[place.part - 1].notes]
        spelled += [pitch for voicing in analysis.voicings for pitch in voicing]
        names.update({pitch.midi: called.shown(pitch.name) for pitch in spelled if pitch.midi in lit})
    return names


_keys_of_parts: IdentityCache[frozenset[int]] = IdentityCache(2048)


def keys_of_song(song: Song) -> frozenset[int]:
    """The written keys of a song, and where chords are voiced if it has any, for the keyboard's range."""
    register = CHORD_REGISTER if any(part.chords for part in song.parts) else ()
    return frozenset(register).union(*map(_keys_of_part, song.parts))


def _keys_of_part(part: Part) -> frozenset[int]:
    known = _keys_of_parts.get((part,), ())
    if known is not None:
        return known
    return _keys_of_parts.put((part,), (), frozenset(note.pitch.midi for note in part.notes))


def finger_on(song: Song, number: int, tick: int, midi: int) -> int | None:
    """The finger that strikes a key at a moment of a part, or None where none is known."""
    part, analysis = song.parts[number - 1], analyse_part(song, number)
    for index, note in enumerate(part.notes):
        if note.onset == tick and note.pitch.midi == midi:
            return _finger(part, analysis, index)
    return _left_keys(analysis, _sounding_chord(part, tick)).get(midi)


def _finger(part: Part, analysis: PartAnalysis, index: int) -> int:
    return part.notes[index].finger or analysis.fingers[index].finger


def _sounding_chord(part: Part, onset: int) -> int | None:
    return next((index for index, chord in enumerate(part.chords) if chord.onset <= onset < chord.end), None)


def _left_keys(analysis: PartAnalysis, index: int | None) -> dict[int, int]:
    if index is None or index >= len(analysis.voicings):
        return {}
    voicing, fingers = analysis.voicings[index], analysis.chord_fingers[index]
    return {pitch.midi: finger for pitch, finger in zip(voicing, fingers, strict=True)}
