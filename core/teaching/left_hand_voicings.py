"""Where the left hand takes the chords of a part.

Root position is the rule; a part, or one chord, may be asked for in the nearest inversion. Each part begins in root
position, so that it can be learned by itself, unless its first chord is still held from the part before or is asked
for as the nearest one by name.
"""

from __future__ import annotations

from core.song.chord import NEAREST, Chord
from core.song.part import Part
from core.song.pitch import Pitch
from core.song.song import Song
from core.theory.voicing import Asked, voice_each

Voicing = tuple[Pitch, ...]


def voicings(song: Song, number: int) -> tuple[Voicing, ...]:
    """The voicing of each chord of a part, in the order of ``part.chords``; empty for 'no chord'.

    A chord stays below every melody note that sounds while it does, wherever the register allows.
    """
    part = song.part(number)
    asked = [asked_for(part, index) for index in range(len(part.chords))]
    if not leads_in(song, number):
        return voice_each(asked, song.hands)
    before = voicing_before(song, number)
    if before and _goes_on(song.part(number - 1), part):
        return (before, *voice_each(asked[1:], song.hands, before))
    return voice_each(asked, song.hands, before)


def voicing_before(song: Song, number: int) -> Voicing:
    """Where the hand is at the end of the part before; () where it holds no chord there."""
    if number == 1:
        return ()
    return next((voicing for voicing in reversed(voicings(song, number - 1)) if voicing), ())


def leads_in(song: Song, number: int) -> tuple[Part, ...]:
    """The parts before this one on which its voicings depend, backwards; mostly none."""
    parts: list[Part] = []
    while number > 1:
        part, last = song.part(number), song.part(number - 1)
        if not part.chords or not last.chords:
            break
        held_inverted = _goes_on(last, part) and style_of(last, last.chords[-1]) == NEAREST
        if not held_inverted and part.chords[0].voicing != NEAREST:
            break
        parts.append(last)
        number -= 1
    return tuple(parts)


def _goes_on(last: Part, part: Part) -> bool:
    """Whether a chord is held over the cut between two parts that have chords."""
    held, first = last.chords[-1], part.chords[0]
    return first.continued and first.onset == 0 and held.symbol == first.symbol and held.end == last.duration


def style_of(part: Part, chord: Chord) -> str:
    """How a chord of a part is taken: its own choice, else the part's."""
    return chord.voicing or part.teaching.voicing


def asked_for(part: Part, index: int) -> Asked:
    """A chord of a part as it is to be placed."""
    chord = part.chords[index]
    return Asked(chord.symbol, style_of(part, chord), _below_melody(part, chord.onset, chord.end))


def _below_melody(part: Part, start: int, end: int) -> int | None:
    """The highest MIDI number below every melody note that sounds between two moments; None without one."""
    lowest = min(
        (note.pitch.midi for note in part.notes if note.melody and note.onset < end and note.end > start),
        default=None,
    )
    return None if lowest is None else lowest - 1
