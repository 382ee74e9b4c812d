"""The moment that tells a cause of effort best, in plain words.

Intervals are named by the keys they span, without spelling (a third is three or four semitones).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from core.song.note import Hand
from core.teaching.effort_moments import JointMoment, Moment
from core.teaching.effort_terms import Window, jump, shortest_wait

INTERVALS: Final = (
    "a unison", "a second", "a second", "a third", "a third", "a fourth", "a tritone", "a fifth", "a sixth", "a sixth",
    "a seventh", "a seventh", "an octave", "a ninth", "a ninth", "a tenth", "a tenth", "an eleventh", "a twelfth",
    "a twelfth", "a thirteenth", "a thirteenth", "a fourteenth", "a fourteenth", "two octaves",
)  # fmt: skip  # a table, read line by line
COUNTS: Final = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)

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
    return INTERVALS[size] if size < len(INTERVALS) else "more than two octaves"


def _count(number: int) -> str:
    return COUNTS[number] if number < len(COUNTS) else str(number)


def _of_hands(window: Window) -> Iterator[tuple[str, Moment]]:
    for hand, moments in zip((Hand.RIGHT, Hand.LEFT), window.hands, strict=True):
        for moment in moments:
            yield f"the {hand.value} hand", moment


def _hardest(window: Window, of: Callable[[Moment], float]) -> tuple[str, Moment]:
    return max(_of_hands(window), key=lambda pair: of(pair[1]))


def _reach(window: Window) -> Told:
    who, widest = _hardest(window, lambda moment: moment.span)
    if widest.span >= WIDE_SPAN or widest.held >= MANY_KEYS:
        keys = f" with {_count(widest.held)} keys down" if widest.held >= MANY_KEYS else ""
        return widest.onset, f"{who} spans {interval_named(widest.span)}{keys}"
    who, roaming = _hardest(window, lambda moment: moment.covered)
    if roaming.covered >= WIDE_RANGE:
        return roaming.onset, f"{who} covers {interval_named(roaming.covered)} within three quarter notes"
    return None


def _travel(window: Window) -> Told:
    who, moment = _hardest(window, lambda moment: abs(moment.shift) + jump(moment.leap))
    if not moment.shift:
        return None
    if abs(moment.leap) >= LEAP:
        return moment.onset, f"{who} leaps {'up' if moment.leap > 0 else 'down'} {interval_named(moment.leap)}"
    return moment.onset, f"{who} moves its position {'up' if moment.shift > 0 else 'down'}"


def _black_keys(window: Window) -> Told:
    who, moment = _hardest(window, lambda moment: moment.blacks + 0.5 * moment.recoloured())
    if moment.blacks > 1:
        return moment.onset, f"{who} has {_count(moment.blacks)} black keys at once"
    if moment.blacks and moment.recoloured():
        return moment.onset, f"{who} moves from white keys to a black one"
    return (moment.onset, f"{who} plays black keys") if moment.blacks else None


def _rhythm(window: Window) -> Told:
    who, moment = _hardest(window, lambda moment: moment.off_beat + 2 * moment.carried)
    if moment.carried:
        return moment.onset, f"{who} starts off the beat and holds over the next one"
    if moment.off_beat:
        return moment.onset, f"{who} starts between the beats"
    shortest, tick = shortest_wait(window.joint)
    return (tick, "short notes follow one another") if shortest <= SHORT_NOTE else None


def _coordination(window: Window) -> Told:
    moment = max(window.joint, key=_independence)
    if moment.over_held:
        striking, other = ("left", "right") if moment.right is None else ("right", "left")
        strikes = moment.left or moment.right
        chord = "changes chord" if strikes is not None and len(strikes.keys) > 1 else "moves"
        where = " off the beat" if strikes is not None and strikes.off_beat else ""
        return moment.onset, f"the {striking} hand {chord}{where} while the {other} hand holds"
    if _under_a_leap(moment) and moment.right is not None and moment.left is not None:
        where = " off the beat" if moment.left.off_beat else ""
        return moment.onset, f"the left hand changes chord{where} under a leap of {interval_named(moment.right.leap)}"
    if moment.motion == -1:
        return moment.onset, "the hands move in contrary directions"
    if moment.motion == 0:
        return moment.onset, "one hand stays while the other moves"
    if window.right and window.left and moment.motion is None:
        return moment.onset, "the hands take turns"
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
    return window.joint[0].onset, f"{_count(different)} different grips to remember from here on"


def _speed(window: Window) -> Told:
    shortest, tick = shortest_wait(window.joint)
    rate = window.quarters / window.seconds / shortest
    return (tick, f"notes follow one another at {_count(round(rate))} a second") if rate >= FAST else None


_EXPLAINED: Final[dict[str, Callable[[Window], Told]]] = {
    "reach": _reach,
    "travel": _travel,
    "black_keys": _black_keys,
    "rhythm": _rhythm,
    "coordination": _coordination,
    "memory": _memory,
    "speed": _speed,
}
