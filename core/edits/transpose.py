"""Moving a song to another key."""

from __future__ import annotations

from msgspec.structs import replace

from core.song.chord import Chord
from core.song.errors import DomainError, EditError
from core.song.key import Key, KeyChange
from core.song.part import Part
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.song.wording import say
from core.theory.intervals import Interval, above
from core.theory.key_finding import key_on

SEMITONES_UP_AT_MOST = 5
"""A move of six semitones and more goes down instead, so that the melody stays near where it was."""


def interval_to(song: Song, key: Key) -> Interval:
    """The nearest spelled interval to another key: down by up to six semitones or up by up to five."""
    semitones = (key.tonic.pitch_class - song.key.tonic.pitch_class) % 12
    steps = ("CDEFGAB".index(key.tonic.letter) - "CDEFGAB".index(song.key.tonic.letter)) % 7
    # A letter above with no semitones to go (C sharp to D flat), or none with eleven, wraps round the octave.
    if steps == 0 and semitones > 6:
        steps = 7
    if steps == 6 and semitones < 3:
        steps = -1
    return Interval(steps - 7, semitones - 12) if semitones > SEMITONES_UP_AT_MOST else Interval(steps, semitones)


def transpose(song: Song, pitch_class: int) -> Song:
    """Move a song to the key on a key of the keyboard, in the mode it has.

    The new key is the one with the fewest signs; every note and chord keeps its degree, so that spelling stays
    proper. A name that would need more than a double flat or sharp is written with its simpler neighbour's.
    Fingers of the teacher's own are dropped, since other keys lie under the hand; own words are marked.

    Args:
        song: the song before.
        pitch_class: of the new tonic, 0 (C) … 11 (B).

    Raises:
        EditError: where a note would leave the keyboard.
    """
    if pitch_class % 12 == song.key.tonic.pitch_class:
        return song
    key = key_on(pitch_class, song.key.mode)
    interval = interval_to(song, key)
    try:
        parts = tuple(_moved_part(part, interval) for part in song.parts)
    except DomainError as error:
        raise EditError(
            say("In {key} some notes would leave the keyboard; choose another key.", key=key.spoken)
        ) from error
    keys = tuple(KeyChange(change.onset, _moved_key(change.key, interval), change.given) for change in song.keys)
    return replace(song, parts=parts, keys=(replace(keys[0], key=key), *keys[1:]))


def _moved_part(part: Part, interval: Interval) -> Part:
    words = tuple(replace(own, review=True) for own in part.teaching.words)
    # A song has few pitches beside its notes.
    moved = {pitch: _moved_pitch(pitch, interval) for pitch in {note.pitch for note in part.notes}}
    return replace(
        part,
        notes=tuple(replace(note, pitch=moved[note.pitch], finger=None) for note in part.notes),
        chords=tuple(_moved_chord(chord, interval) for chord in part.chords),
        teaching=replace(part.teaching, words=words) if words else part.teaching,
    )


def _moved_pitch(pitch: Pitch, interval: Interval) -> Pitch:
    return Pitch.named(_moved_name(pitch.name, interval), pitch.midi + interval.semitones)


def _moved_chord(chord: Chord, interval: Interval) -> Chord:
    symbol = chord.symbol
    if symbol.is_silent:
        return chord
    bass = None if symbol.bass is None else _moved_name(symbol.bass, interval)
    return replace(chord, symbol=replace(symbol, root=_moved_name(symbol.root, interval), bass=bass))


def _moved_name(name: NoteName, interval: Interval) -> NoteName:
    """The name an interval away, respelled where that takes more than a double flat or sharp."""
    fifths = name.fifths + above(NoteName("C"), interval).fifths
    while fifths > NoteName("B", 2).fifths:
        fifths -= 12
    while fifths < NoteName("F", -2).fifths:
        fifths += 12
    return NoteName.at_fifths(fifths)


def _moved_key(key: Key, interval: Interval) -> Key:
    moved = Key(_moved_name(key.tonic, interval), key.mode)
    return moved if abs(moved.fifths) <= 7 else key_on(moved.tonic.pitch_class, key.mode)
