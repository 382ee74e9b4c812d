"""Why a key is easy or hard, in a sentence."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from core.session.key_passages import HandsInKey
from core.song.key import Key
from core.song.pitch import Pitch
from core.teaching.effort import Causes
from core.teaching.effort_reasons import COUNTS, interval_named

WIDE: Final = 9
"""From a sixth on a stretch is worth a word; semitones."""
FINGERING_FELT: Final = 0.1
"""From where on a difference of the fingering is worth a word; points a note."""
EFFORT_FELT: Final = 0.5
CAUSE_FELT: Final = 2.0
"""From where on a difference of the whole effort, or of one cause, is worth a word."""
MOST_SAID: Final = 3
MOVED_CAUSES: Final = {
    "black_keys": ("white and black keys change less often", "white and black keys change more often"),
    "reach": ("the hands are stretched less", "the hands are stretched more"),
    "travel": ("the hands move about less", "the hands move about more"),
}
"""Causes that a key can change, in words where it lessens and where it grows."""


class KeyEffort(Struct, frozen=True):
    """A key and what the song costs in it.

    Attributes:
        key: the key.
        effort: 0 … 100 of the whole song, its fingering weighed in.
        is_own: whether it is the key the song is in.
        is_best: whether it is the easiest that fits the singer, where one is asked for; of equals the nearest.
        fits: whether the melody lies within the singer's notes; always where none are given.
        lowest: lowest note of the melody in this key, or None without a melody.
        highest: highest note of the melody in this key.
        reason: one sentence on what makes the key easy or hard.
    """

    key: Key
    effort: float
    is_own: bool
    is_best: bool = False
    fits: bool = True
    lowest: Pitch | None = None
    highest: Pitch | None = None
    reason: str = ""


class Met(Struct, frozen=True):
    """What the hands meet in a key, and the causes of its effort."""

    hands: HandsInKey
    causes: Causes


def reason_for_key(choice: KeyEffort, here: Met, own: KeyEffort, at_home: Met, singer: bool) -> str:
    """Why a key is easy or hard: ``E minor is easiest: one black key instead of four; the fingers lie better.``.

    Args:
        choice: the key.
        here: what the hands meet in it.
        own: the song's own key.
        at_home: what they meet there.
        singer: whether a singer's notes were given.
    """
    easiest = "easiest that fits the voice" if singer else "easiest"
    if choice.is_own:
        place = f"is the song's own key and the {easiest}" if choice.is_best else "is the song's own key"
        causes = _own(here.hands)
    else:
        more = choice.effort - own.effort
        if choice.is_best:
            place = "is the easiest that fits the voice" if singer else "is easiest"
        elif abs(more) < EFFORT_FELT:
            place = "is as easy as the song's own key"
        else:
            place = "is easier" if more < 0 else "is harder"
        differences = _differences(here, at_home)
        agreeing = [text for sign, text in differences if (sign > 0) == (more > 0)]
        causes = agreeing[:MOST_SAID] or [text for _, text in differences[:1]] or ["the hands meet the same there"]
    if not choice.fits:
        causes.append(_out_of_voice(choice))
    return f"{choice.key.spoken} {place}: {'; '.join(causes)}."


def _own(hands: HandsInKey) -> list[str]:
    causes = [_blacks(hands.black_keys)]
    if hands.black_keys:
        causes[0] += f", {_share(hands)} of the notes"
    if hands.widest >= WIDE:
        where = "white keys" if hands.widest_is_white else "a black key"
        causes.append(f"the stretch of {interval_named(hands.widest)} falls on {where}")
    return causes


def _differences(here: Met, own: Met) -> list[tuple[float, str]]:
    """What differs from the song's own key: more than 0 where it makes things harder, and the words."""
    hands, home = here.hands, own.hands
    found: list[tuple[float, str]] = []
    if hands.black_keys != home.black_keys:
        found.append(
            (hands.black_keys - home.black_keys, f"{_blacks(hands.black_keys)} instead of {_number(home.black_keys)}")
        )
    elif _share(hands) != _share(home):
        share = f"{_share(hands)} of the notes on black keys instead of {_share(home)}"
        found.append((hands.black_notes - home.black_notes, share))
    if hands.widest != home.widest and max(hands.widest, home.widest) >= WIDE:
        stretch = f"the widest stretch is {interval_named(hands.widest)} instead of {interval_named(home.widest)}"
        found.append((hands.widest - home.widest, stretch))
    elif hands.widest >= WIDE and hands.widest_is_white != home.widest_is_white:
        where = "white keys" if hands.widest_is_white else "a black key"
        sign = -1 if hands.widest_is_white else 1
        found.append((sign, f"the stretch of {interval_named(hands.widest)} falls on {where}"))
    for cause, (less, more) in MOVED_CAUSES.items():
        change = getattr(here.causes, cause) - getattr(own.causes, cause)
        if abs(change) >= CAUSE_FELT:
            found.append((change, less if change < 0 else more))
    change = hands.fingering - home.fingering
    if abs(change) >= FINGERING_FELT:
        found.append((change, f"the fingers lie {'better' if change < 0 else 'worse'}"))
    return found


def _share(hands: HandsInKey) -> str:
    return f"{round(100 * hands.black_notes / max(1, len(hands.played)))} %"


def _out_of_voice(choice: KeyEffort) -> str:
    low, high = choice.lowest, choice.highest
    if low is None or high is None:
        return "it does not fit the voice"
    return f"the tune does not fit the voice, it goes from {low.plain} to {high.plain}"


def _blacks(number: int) -> str:
    return f"{_number(number)} black key{'' if number == 1 else 's'}"


def _number(number: int) -> str:
    return COUNTS[number] if number < len(COUNTS) else str(number)
