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
from core.song.wording import say, say_counted, to_say
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import listed
from core.theory.spelling import name_in_key

MOST_BARS: Final = 4
"""So many bars are told one by one; of more there is only a count."""
TOLD: Final[dict[tuple[Verdict, Hand | None], str]] = {
    ("early", None): to_say("the {note} came early"),
    ("late", None): to_say("the {note} came late"),
    ("missed", None): to_say("the {note} was missed"),
    ("wrong", None): to_say("{note} was a wrong key"),
    ("apart", None): to_say("the hands were apart"),
    ("early", Hand.RIGHT): to_say("the right hand's {note} came early"),
    ("late", Hand.RIGHT): to_say("the right hand's {note} came late"),
    ("missed", Hand.RIGHT): to_say("the right hand's {note} was missed"),
    ("early", Hand.LEFT): to_say("the left hand's {note} came early"),
    ("late", Hand.LEFT): to_say("the left hand's {note} came late"),
    ("missed", Hand.LEFT): to_say("the left hand's {note} was missed"),
}
"""What went otherwise, with the hand where it has to be told."""


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
    faults = _faults(song, played)
    if not faults:
        return say_counted(
            "You played {hit} of {count} note, all in time.",
            "You played {hit} of {count} notes, all in time.",
            meant,
            hit=hit,
        )
    both = len({one.hand for one in played if one.hand is not None}) > 1
    sentences = [
        say_counted("You played {hit} of {count} note.", "You played {hit} of {count} notes.", meant, hit=hit)
        if meant
        else say("You played no note yet.")
    ]
    for bar, those in faults[:MOST_BARS]:
        sentences.append(_in_bar(song, bar, listed(_counted(_things(song, those, called, both=both)))))
    left = len(faults) - MOST_BARS
    if left > 0:
        sentences.append(say_counted("And something in {count} more bar.", "And something in {count} more bars.", left))
    return " ".join(sentences)


def _faults(song: Song, played: Sequence[PlayedNote]) -> list[tuple[int, list[PlayedNote]]]:
    """What went otherwise, by the place of its bar in the song, in order."""
    bars = [bar.onset for bar in song.bars]
    starts = song.part_onsets
    by_bar: dict[int, list[PlayedNote]] = {}
    for one in played:
        if one.verdict != "right":
            by_bar.setdefault(bisect_right(bars, starts[one.part - 1] + one.tick) - 1, []).append(one)
    return sorted(by_bar.items())


def _in_bar(song: Song, bar: int, things: str) -> str:
    number = song.bars[bar].number
    return (
        say("Bar {bar}: {things}.", bar=number, things=things) if number else say("Pick-up: {things}.", things=things)
    )


def _things(song: Song, played: Sequence[PlayedNote], called: Names, *, both: bool) -> list[str]:
    """What went otherwise in a bar, in the order in which it was to be played; whose it was where both hands play."""
    starts = song.part_onsets

    def thing(one: PlayedNote) -> str:
        text = (both and TOLD.get((one.verdict, one.hand))) or TOLD[one.verdict, None]
        return say(text, note=called.said(name_of_key(song, one.part, one.tick, one.midi)))

    return [thing(one) for one in sorted(played, key=lambda one: (starts[one.part - 1] + one.tick, one.midi))]


def _counted(things: Iterable[str]) -> list[str]:
    """Equal things once, with how often where that is more than once."""
    return [
        thing if count == 1 else say_counted("{thing} ({count} time)", "{thing} ({count} times)", count, thing=thing)
        for thing, count in Counter(things).items()
    ]
