"""Chords that go on from what has been typed of a name: those of the song first, then those of the key.

The order is common practice: a song mostly comes back to the chords it has, then to the triads and sevenths that stand
on the notes of its key (major, minor and diminished as the scale has them, the fifth chord of minor also major with a
seventh), then to the usual families on the root that was typed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from core.song.chord import ChordSymbol
from core.song.errors import ChordSymbolError
from core.song.key import Key, Mode
from core.song.pitch import LETTERS
from core.song.song import Song
from core.theory.chord_symbols import parse_chord, write_chord

MOST: Final = 8
THIRD, FIFTH, SEVENTH = 2, 4, 6
"""Scale steps from the root."""
TRIADS: Final = {(4, 7): "", (3, 7): "m", (3, 6): "dim", (4, 8): "aug"}
SEVENTHS: Final = {
    (4, 7, 11): "maj7",
    (4, 7, 10): "7",
    (3, 7, 10): "m7",
    (3, 7, 11): "mM7",
    (3, 6, 10): "m7b5",
    (3, 6, 9): "dim7",
}
FAMILIES: Final = ("", "m", "7", "m7", "maj7", "6", "m6", "sus4", "7sus4", "sus2", "dim", "m7b5", "aug", "9", "add9")


def complete_chord(song: Song, key: Key, typed: str, most: int = MOST) -> tuple[str, ...]:
    """Chord names that begin with what has been typed, as `write_chord` writes them, the likeliest first.

    Args:
        song: the song, whose own chords come first, the most frequent at their head.
        key: the key at the place.
        typed: what has been typed so far; the case of its first letter does not count, and with nothing typed
            every chord of the song and the key may be meant.
        most: so many names at most.
    """
    beginning = typed.strip()
    beginning = beginning[:1].upper() + beginning[1:]
    found: dict[str, None] = {}
    for name in (*_of_song(song), *_of_key(key), *_of_root(beginning)):
        if name.startswith(beginning) and name != beginning:
            found.setdefault(name)
            if len(found) == most:
                break
    return tuple(found)


def _of_song(song: Song) -> list[str]:
    counted = Counter(write_chord(chord.symbol) for part in song.parts for chord in part.chords)
    return [name for name, _ in counted.most_common()]


def _of_key(key: Key) -> Iterator[str]:
    first = LETTERS.index(key.tonic.letter)
    names = [key.altered(LETTERS[(first + step) % len(LETTERS)]) for step in range(len(LETTERS))]
    size = len(names)
    sevenths = []
    for step, root in enumerate(names):
        tones = [names[(step + up) % size].pitch_class - root.pitch_class for up in (THIRD, FIFTH, SEVENTH)]
        third, fifth, seventh = (tone % 12 for tone in tones)
        triad = TRIADS.get((third, fifth))
        if triad is not None:
            yield _written(f"{root.plain}{triad}")
        kind = SEVENTHS.get((third, fifth, seventh))
        if kind is not None:
            sevenths.append(_written(f"{root.plain}{kind}"))
    if key.mode is Mode.MINOR:
        yield _written(f"{names[FIFTH].plain}7")
    yield from sevenths


def _of_root(beginning: str) -> Iterator[str]:
    root = beginning[:1] + "".join(sign for sign in beginning[1:3] if sign in "#b")
    if root[:1] in LETTERS and root:
        for family in FAMILIES:
            symbol = _read(root + family)
            if symbol is not None:
                yield write_chord(symbol)


def _written(name: str) -> str:
    return write_chord(parse_chord(name))


def _read(name: str) -> ChordSymbol | None:
    try:
        return parse_chord(name)
    except ChordSymbolError:
        return None
