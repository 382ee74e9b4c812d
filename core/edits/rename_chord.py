"""Giving a chord another name."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import the_chord, the_part, with_chords
from core.song.chord import ChordSymbol
from core.song.song import Song


def rename_chord(song: Song, number: int, index: int, symbol: ChordSymbol) -> Song:
    """Give a chord of a part another symbol; the second half of a divided chord becomes a chord of its own.

    A chord that goes on over the cut behind it is renamed in both halves. A suggested chord becomes the teacher's.

    Raises:
        EditError: for a chord that is not there.
    """
    chord = the_chord(song, number, index)
    if chord.symbol == symbol:
        return song
    chords = list(the_part(song, number).chords)
    chords[index] = replace(chord, symbol=symbol, continued=False, given=True)
    after = with_chords(song, number, chords)
    following = number
    while chord.end == song.parts[following - 1].duration and following < len(song.parts):
        first = song.parts[following].chords[:1]
        if not first or not first[0].continued or first[0].onset or first[0].symbol != chord.symbol:
            break
        following += 1
        chord = first[0]
        renamed = (replace(chord, symbol=symbol, given=True), *song.parts[following - 1].chords[1:])
        after = with_chords(after, following, renamed)
    return after
