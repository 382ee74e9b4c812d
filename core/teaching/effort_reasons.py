"""The moment that tells a cause of effort best, in plain words.

Intervals are named by the keys they span, without spelling (a third is three or four semitones).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from core.song.note import Hand
from core.song.wording import say, say_counted, say_in, to_say, to_say_in
from core.teaching.effort_moments import JointMoment, Moment
from core.teaching.effort_terms import Window, jump, shortest_wait
from core.teaching.hand_names import OTHER_HAND, hand_said
from core.teaching.number_words import number_word

_NAMES: Final = (
    to_say_in("interval", "a unison"),
    to_say_in("interval", "a second"),
    to_say_in("interval", "a third"),
    to_say_in("interval", "a fourth"),
    to_say_in("interval", "a tritone"),
    to_say_in("interval", "a fifth"),
    to_say_in("interval", "a sixth"),
    to_say_in("interval", "a seventh"),
    to_say_in("interval", "an octave"),
    to_say_in("interval", "a ninth"),
    to_say_in("interval", "a tenth"),
    to_say_in("interval", "an eleventh"),
    to_say_in("interval", "a twelfth"),
    to_say_in("interval", "a thirteenth"),
    to_say_in("interval", "a fourteenth"),
    to_say_in("interval", "two octaves"),
)
_NAME_OF: Final = (0, 1, 1, 2, 2, 3, 4, 5, 6, 6, 7, 7, 8, 9, 9, 10, 10, 11, 12, 12, 13, 13, 14, 14, 15)
"""The place of each size's name, in semitones from 0 on."""
LAST_IN_A_WORD: Final = 12
"""Higher counts are told in figures: a reason is read, not spoken."""

WIDE_SPAN: Final = 7
WIDE_RANGE: Final = 10
MANY_KEYS: Final = 3
LEAP: Final = 5
SHORT_NOTE: Final = 0.5
MUCH_TO_REMEMBER: Final = 4.0
FAST: Final = 2.0
"""From where on a moment is worth a word: semitones, keys at once, quarters, grips a whole note, notes a second."""

Told = tuple[int, str] | None
"""The tick of a moment and what is said of it; None where there is nothing to say."""


def explain(cause: str, window: Window) -> Told:
    """The moment of a window that tells a cause best, and the words for it; None where none is worth a word."""
    if not window.joint:
        return None
    return _EXPLAINED[cause](window)


def interval_named(semitones: float) -> str:
    """The interval of so many semitones up or down, by the keys it spans, with its article."""
    size = round(abs(semitones))
    return (
        say_in("interval", _NAMES[_NAME_OF[size]])
        if size < len(_NAME_OF)
        else say_in("interval", "more than two octaves")
    )


def count_said(number: int) -> str:
    """How many, in a word up to twelve: ``three``."""
    return number_word(number) if number <= LAST_IN_A_WORD else str(number)


def _of_hands(window: Window) -> Iterator[tuple[Hand, Moment]]:
    for hand, moments in zip((Hand.RIGHT, Hand.LEFT), window.hands, strict=True):
        for moment in moments:
            yield hand, moment


def _hardest(window: Window, of: Callable[[Moment], float]) -> tuple[str, Moment]:
    hand, moment = max(_of_hands(window), key=lambda pair: of(pair[1]))
    return hand_said(hand), moment


def _reach(window: Window) -> Told:
    who, widest = _hardest(window, lambda moment: moment.span)
    if widest.held >= MANY_KEYS:
        return widest.onset, say_counted(
            "{hand} spans {interval} with {number} key down",
            "{hand} spans {interval} with {number} keys down",
            widest.held,
            hand=who,
            interval=interval_named(widest.span),
            number=count_said(widest.held),
        )
    if widest.span >= WIDE_SPAN:
        return widest.onset, say("{hand} spans {interval}", hand=who, interval=interval_named(widest.span))
    who, roaming = _hardest(window, lambda moment: moment.covered)
    if roaming.covered >= WIDE_RANGE:
        return roaming.onset, say(
            "{hand} covers {interval} within three quarter notes", hand=who, interval=interval_named(roaming.covered)
        )
    return None


def _travel(window: Window) -> Told:
    who, moment = _hardest(window, lambda moment: abs(moment.shift) + jump(moment.leap))
    if not moment.shift:
        return None
    if abs(moment.leap) >= LEAP:
        leap = to_say("{hand} leaps up {interval}") if moment.leap > 0 else to_say("{hand} leaps down {interval}")
        return moment.onset, say(leap, hand=who, interval=interval_named(moment.leap))
    if moment.shift > 0:
        return moment.onset, say("{hand} moves its position up", hand=who)
    return moment.onset, say("{hand} moves its position down", hand=who)


def _black_keys(window: Window) -> Told:
    who, moment = _hardest(window, lambda moment: moment.blacks + 0.5 * moment.recoloured())
    if moment.blacks > 1:
        return moment.onset, say_counted(
            "{hand} has {number} black key at once",
            "{hand} has {number} black keys at once",
            moment.blacks,
            hand=who,
            number=count_said(moment.blacks),
        )
    if moment.blacks and moment.recoloured():
        return moment.onset, say("{hand} moves from white keys to a black one", hand=who)
    return (moment.onset, say("{hand} plays black keys", hand=who)) if moment.blacks else None


def _rhythm(window: Window) -> Told:
    who, moment = _hardest(window, lambda moment: moment.off_beat + 2 * moment.carried)
    if moment.carried:
        return moment.onset, say("{hand} starts off the beat and holds over the next one", hand=who)
    if moment.off_beat:
        return moment.onset, say("{hand} starts between the beats", hand=who)
    shortest, tick = shortest_wait(window.joint)
    return (tick, say("short notes follow one another")) if shortest <= SHORT_NOTE else None


_WHILE_HELD: Final = {
    (False, False): to_say("{moving} moves while {holding} holds"),
    (False, True): to_say("{moving} moves off the beat while {holding} holds"),
    (True, False): to_say("{moving} changes chord while {holding} holds"),
    (True, True): to_say("{moving} changes chord off the beat while {holding} holds"),
}
"""What one hand does over the other's held note: whether it takes a chord, and whether off the beat."""


def _coordination(window: Window) -> Told:
    moment = max(window.joint, key=_independence)
    if moment.over_held:
        striking = Hand.LEFT if moment.right is None else Hand.RIGHT
        strikes = moment.left or moment.right
        takes_chord = strikes is not None and len(strikes.keys) > 1
        off_beat = strikes is not None and strikes.off_beat
        return moment.onset, say(
            _WHILE_HELD[takes_chord, off_beat], moving=hand_said(striking), holding=hand_said(OTHER_HAND[striking])
        )
    if _under_a_leap(moment) and moment.right is not None and moment.left is not None:
        changes = (
            to_say("the left hand changes chord off the beat under a leap of {interval}")
            if moment.left.off_beat
            else to_say("the left hand changes chord under a leap of {interval}")
        )
        return moment.onset, say(changes, interval=interval_named(moment.right.leap))
    if moment.motion == -1:
        return moment.onset, say("the hands move in contrary directions")
    if moment.motion == 0:
        return moment.onset, say("one hand stays while the other moves")
    if window.right and window.left and moment.motion is None:
        return moment.onset, say("the hands take turns")
    return None


def _independence(moment: JointMoment) -> int:
    if moment.over_held:
        strikes = moment.left or moment.right
        return 3 + 2 * (strikes is not None and strikes.off_beat) + (moment.left is not None)
    off_beat = moment.left is not None and moment.left.off_beat
    return {-1: 4, 0: 2, 1: 0, None: 1}[moment.motion] + 2 * _under_a_leap(moment) * (1 + off_beat)


def _under_a_leap(moment: JointMoment) -> bool:
    """Whether the left hand takes another chord while the right hand leaps."""
    if moment.right is None or moment.left is None:
        return False
    return moment.left.leap != 0 and len(moment.left.keys) > 1 and abs(moment.right.leap) >= LEAP


def _memory(window: Window) -> Told:
    different = len({moment.state for moment in window.joint})
    if 4 * different / window.quarters < MUCH_TO_REMEMBER:
        return None
    return window.joint[0].onset, say_counted(
        "{number} different grip to remember from here on",
        "{number} different grips to remember from here on",
        different,
        number=count_said(different),
    )


def _speed(window: Window) -> Told:
    shortest, tick = shortest_wait(window.joint)
    rate = window.quarters / window.seconds / shortest
    if rate < FAST:
        return None
    number = count_said(round(rate))
    return tick, say_counted(
        "notes follow one another at {number} a second",
        "notes follow one another at {number} a second",
        round(rate),
        number=number,
    )


_EXPLAINED: Final[dict[str, Callable[[Window], Told]]] = {
    "reach": _reach,
    "travel": _travel,
    "black_keys": _black_keys,
    "rhythm": _rhythm,
    "coordination": _coordination,
    "memory": _memory,
    "speed": _speed,
}
