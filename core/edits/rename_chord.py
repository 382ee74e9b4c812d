"""Giving a chord another name."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.part_contents import the_chord, the_part, with_chords
from core.song.chord import ChordSymbol
from core.song.song import Song


def rename_chord(song: Song, number: int, index: int, symbol: ChordSymbol) -> Song:
    """Give a chord of a part another symbol; the second half of a divided chord becomes a chord of its own.

    A chord that goes on over the cut behind it is renamed in both halves. A suggested chord becomes the teacher's,
    also where it keeps its name, which confirms it; so do then the halves that it goes on from and in.

    Raises:
        EditError: for a chord that is not there.
    """
    chord = the_chord(song, number, index)
    if chord.symbol == symbol:
        return song if chord.given else _confirmed(song, number, index)
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


def _confirmed(song: Song, number: int, index: int) -> Song:
    """The song with a suggested chord stated by the teacher, on both sides of cuts that divide it."""
    while index == 0 and number > 1 and song.parts[number - 1].chords[0].continued:
        before = song.parts[number - 2]
        if not before.chords or before.chords[-1].end != before.duration:
            break
        if before.chords[-1].symbol != song.parts[number - 1].chords[0].symbol:
            break
        number, index = number - 1, len(before.chords) - 1
    after = song
    while True:
        chords = list(after.parts[number - 1].chords)
        chord = chords[index]
        chords[index] = replace(chord, given=True)
        after = with_chords(after, number, chords)
        following = after.parts[number].chords[:1] if number < len(after.parts) else ()
        goes_on = following and following[0].continued and not following[0].onset
        if chord.end != after.parts[number - 1].duration or not goes_on or following[0].symbol != chord.symbol:
            return after
        number, index = number + 1, 0
