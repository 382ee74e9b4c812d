"""Why a key is easy or hard, in a sentence."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from core.session.key_passages import HandsInKey
from core.song.key import Key
from core.song.pitch import Pitch
from core.song.wording import say, say_counted, to_say
from core.teaching.effort import Causes
from core.teaching.effort_reasons import count_said, interval_named

WIDE: Final = 9
"""From a sixth on a stretch is worth a word; semitones."""
FINGERING_FELT: Final = 0.1
"""From where on a difference of the fingering is worth a word; points a note."""
EFFORT_FELT: Final = 0.5
CAUSE_FELT: Final = 2.0
"""From where on a difference of the whole effort, or of one cause, is worth a word."""
MOST_SAID: Final = 3
MOVED_CAUSES: Final = {
    "black_keys": (to_say("white and black keys change less often"), to_say("white and black keys change more often")),
    "reach": (to_say("the hands are stretched less"), to_say("the hands are stretched more")),
    "travel": (to_say("the hands move about less"), to_say("the hands move about more")),
}
"""Causes that a key can change, in words where it lessens and where it grows."""
_EASIEST: Final = {
    (True, False): to_say("{key} is the song's own key and the easiest: {causes}."),
    (True, True): to_say("{key} is the song's own key and the easiest that fits the voice: {causes}."),
    (False, False): to_say("{key} is easiest: {causes}."),
    (False, True): to_say("{key} is the easiest that fits the voice: {causes}."),
}
"""Whether it is the song's own key, and whether a singer is asked for."""


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
    more = choice.effort - own.effort
    if choice.is_best:
        text = _EASIEST[choice.is_own, singer]
    elif choice.is_own:
        text = to_say("{key} is the song's own key: {causes}.")
    elif abs(more) < EFFORT_FELT:
        text = to_say("{key} is as easy as the song's own key: {causes}.")
    else:
        text = to_say("{key} is easier: {causes}.") if more < 0 else to_say("{key} is harder: {causes}.")
    if choice.is_own:
        causes = _own(here.hands)
    else:
        differences = _differences(here, at_home)
        agreeing = [told for sign, told in differences if (sign > 0) == (more > 0)]
        causes = agreeing[:MOST_SAID] or [told for _, told in differences[:1]] or [say("the hands meet the same there")]
    if not choice.fits:
        causes.append(_out_of_voice(choice))
    return say(text, key=choice.key.spoken, causes="; ".join(causes))


def _own(hands: HandsInKey) -> list[str]:
    if not hands.black_keys:
        causes = [say("no black keys")]
    else:
        causes = [
            say_counted(
                "one black key, {percent} % of the notes",
                "{number} black keys, {percent} % of the notes",
                hands.black_keys,
                number=count_said(hands.black_keys),
                percent=_percent(hands),
            )
        ]
    if hands.widest >= WIDE:
        causes.append(_stretch(hands))
    return causes


def _stretch(hands: HandsInKey) -> str:
    """What the widest stretch falls on."""
    text = (
        to_say("the stretch of {interval} falls on white keys")
        if hands.widest_is_white
        else to_say("the stretch of {interval} falls on a black key")
    )
    return say(text, interval=interval_named(hands.widest))


def _differences(here: Met, own: Met) -> list[tuple[float, str]]:
    """What differs from the song's own key: more than 0 where it makes things harder, and the words."""
    hands, home = here.hands, own.hands
    found: list[tuple[float, str]] = []
    if hands.black_keys != home.black_keys:
        keys = say_counted(
            "one black key instead of {own_number}",
            "{number} black keys instead of {own_number}",
            hands.black_keys,
            number=count_said(hands.black_keys),
            own_number=count_said(home.black_keys),
        )
        found.append((hands.black_keys - home.black_keys, keys))
    elif _percent(hands) != _percent(home):
        share = say(
            "{percent} % of the notes on black keys instead of {own_percent} %",
            percent=_percent(hands),
            own_percent=_percent(home),
        )
        found.append((hands.black_notes - home.black_notes, share))
    if hands.widest != home.widest and max(hands.widest, home.widest) >= WIDE:
        stretch = say(
            "the widest stretch is {interval} instead of {own_interval}",
            interval=interval_named(hands.widest),
            own_interval=interval_named(home.widest),
        )
        found.append((hands.widest - home.widest, stretch))
    elif hands.widest >= WIDE and hands.widest_is_white != home.widest_is_white:
        found.append((-1 if hands.widest_is_white else 1, _stretch(hands)))
    for cause, (less, more) in MOVED_CAUSES.items():
        change = getattr(here.causes, cause) - getattr(own.causes, cause)
        if abs(change) >= CAUSE_FELT:
            found.append((change, say(less if change < 0 else more)))
    change = hands.fingering - home.fingering
    if abs(change) >= FINGERING_FELT:
        found.append((change, say("the fingers lie better") if change < 0 else say("the fingers lie worse")))
    return found


def _percent(hands: HandsInKey) -> int:
    """The share of the notes on black keys."""
    return round(100 * hands.black_notes / max(1, len(hands.played)))


def _out_of_voice(choice: KeyEffort) -> str:
    low, high = choice.lowest, choice.highest
    if low is None or high is None:
        return say("it does not fit the voice")
    return say(
        "the tune does not fit the voice, it goes from {lowest} to {highest}", lowest=low.plain, highest=high.plain
    )
