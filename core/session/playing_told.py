"""How somebody played along, told in sentences: how many notes, and in which bar what went otherwise."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Final

from msgspec import Struct

from core.performance.following import Verdict
from core.song.note import Hand
from core.song.pitch import NoteName
from core.song.song import Song
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import listed
from core.theory.spelling import name_in_key

MOST_BARS: Final = 4
"""So many bars are told one by one; of more there is only a count."""
TOLD: Final[dict[Verdict, str]] = {
    "early": "%1 came early",
    "late": "%1 came late",
    "missed": "%1 was missed",
    "wrong": "%1 was a wrong key",
    "apart": "the hands were apart",
}


class PlayedNote(Struct, frozen=True):
    """What became of a note that somebody was to play, or of a key that nobody wanted.

    Attributes:
        part: number of the part, from 1.
        tick: moment of the note, or of the note nearest to the wrong key, from the part's start.
        midi: the key.
        verdict: what became of it.
        hand: the hand that was to play it; None for a wrong key.
    """

    part: int
    tick: int
    midi: int
    verdict: Verdict
    hand: Hand | None = None


def name_of_key(song: Song, part: int, tick: int, midi: int) -> NoteName:
    """What a key is called at a moment of a part: as a note there spells it, else as its key does."""
    for note in song.part(part).notes:
        if note.onset <= tick < max(note.end, note.onset + 1) and note.pitch.midi == midi:
            return note.pitch.name
    return name_in_key(midi % 12, song.key_at(song.part_onsets[part - 1] + tick))


def playing_told(song: Song, played: Sequence[PlayedNote], called: Names = LETTER_NAMES) -> str:
    """How it went, in a few sentences; empty where no key was pressed.

    Args:
        song: the song.
        played: what became of each note and each wrong key, in any order.
        called: the names of notes.
    """
    counts = Counter(one.verdict for one in played)
    hit = counts["right"] + counts["early"] + counts["late"]
    if not hit and not counts["wrong"]:
        return ""
    meant = hit + counts["missed"]
    told = f"You played {hit} of {meant} {'note' if meant == 1 else 'notes'}" if meant else "You played no note yet"
    faults = _faults(song, played)
    if not faults:
        return f"{told}, all in time."
    both = len({one.hand for one in played if one.hand is not None}) > 1
    sentences = []
    for bar, those in faults[:MOST_BARS]:
        sentences.append(f"{_where(song, bar)}: {listed(_counted(_things(song, those, called, both=both)))}.")
    left = len(faults) - MOST_BARS
    if left > 0:
        sentences.append(f"And something in {left} more {'bar' if left == 1 else 'bars'}.")
    return " ".join([f"{told}.", *sentences])


def _faults(song: Song, played: Sequence[PlayedNote]) -> list[tuple[int, list[PlayedNote]]]:
    """What went otherwise, by the place of its bar in the song, in order."""
    bars = [bar.onset for bar in song.bars]
    starts = song.part_onsets
    by_bar: dict[int, list[PlayedNote]] = {}
    for one in played:
        if one.verdict in TOLD:
            by_bar.setdefault(bisect_right(bars, starts[one.part - 1] + one.tick) - 1, []).append(one)
    return sorted(by_bar.items())


def _where(song: Song, bar: int) -> str:
    number = song.bars[bar].number
    return f"Bar {number}" if number else "Pick-up"


def _things(song: Song, played: Sequence[PlayedNote], called: Names, *, both: bool) -> list[str]:
    """What went otherwise in a bar, in the order in which it was to be played; whose it was where both hands play."""
    starts = song.part_onsets

    def which(one: PlayedNote) -> str:
        name = called.said(name_of_key(song, one.part, one.tick, one.midi))
        if one.verdict == "wrong":
            return name
        return f"the {one.hand.value} hand's {name}" if both and one.hand is not None else f"the {name}"

    return [
        TOLD[one.verdict].replace("%1", which(one))
        for one in sorted(played, key=lambda one: (starts[one.part - 1] + one.tick, one.midi))
    ]


def _counted(things: Iterable[str]) -> list[str]:
    """Equal things once, with how often where that is more than once."""
    return [thing if count == 1 else f"{thing} ({count} times)" for thing, count in Counter(things).items()]
