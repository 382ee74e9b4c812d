"""A hand's notes as the moments at which fingers are put down.

The left hand is turned into a right hand by mirroring the keyboard at D, which maps black keys to black keys: both
hands are fingered by one set of rules.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations, pairwise
from typing import Final

from msgspec import Struct

from core.song.note import Hand, Note
from core.song.time import TICKS_PER_QUARTER
from core.teaching.fingering_cost import RunEnd
from core.teaching.fingering_weights import WHOLE
from core.teaching.published_fingering_model import is_black
from core.teaching.spans import FINGERS

MIRROR: Final = 124
"""Twice the MIDI number of D above middle C, the axis in which the keyboard mirrors itself."""

RESTED_SHARES: Final = ((2 * TICKS_PER_QUARTER, 0), (TICKS_PER_QUARTER, 1), (TICKS_PER_QUARTER // 2, 5))
"""Silence of at least so many ticks, and the twentieths that what comes before it then counts."""
SHORTEST_HOLD: Final = TICKS_PER_QUARTER // 8
"""A note that overlaps the next by less than this is played legato and not held."""
SETTLED_FIFTH: Final = 7
"""Compass in semitones within which a tune is settled in one place."""
SETTLED_WINDOW: Final = 7
"""So many moments on either side are looked at for that."""
ROUND_LENGTH: Final = 6
"""A figure goes round on a few keys for at least so many moments …"""
ROUND_KEYS: Final = 3
"""… on no more keys than this."""
OCTAVE: Final = 12
SHORTEST_RUN: Final = 5
"""So many notes in one direction make a run."""
LONGEST_RUN: Final = 8
"""A run reaches its octave within so many moments …"""
WIDEST_OF_RUN: Final = 5
"""… and no interval in it is wider than this."""
BEYOND_REACH: Final = 2
"""A key that is farther away than the reach by more than this has been let go."""
MOST_FINGERS: Final = 5

_STEPS_OF_SEMITONES: Final = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)


class Moment(Struct, frozen=True):
    """Notes struck together, seen from the right hand.

    Attributes:
        notes: for each key, from the thumb's side, the places in the line of the notes that it plays.
        midis: MIDI numbers of the keys, mirrored for the left hand, rising.
        steps: their places on the staff, mirrored likewise.
        blacks: whether each is on a black key.
        settled: whether the tune is settled in one place around.
        end: which end of a run it is, seen from the thumb's side.
        share: how much of the costs towards the moment before counts, in twentieths.
        held: moment and place in it of every key that is held down meanwhile.
        mate: an earlier moment an octave away in the same run, or -1.
        grips: the fingers that can play it: rising, with the teacher's own where given.
    """

    notes: tuple[tuple[int, ...], ...]
    midis: tuple[int, ...]
    steps: tuple[int, ...]
    blacks: tuple[bool, ...]
    settled: bool
    end: RunEnd
    share: int
    held: tuple[tuple[int, int], ...]
    mate: int
    grips: tuple[tuple[int, ...], ...]

    @property
    def single(self) -> bool:
        """Whether one note alone is struck."""
        return len(self.midis) == 1


def moments_of(notes: Sequence[Note], hand: Hand, reach: int) -> tuple[Moment, ...]:
    """The moments of a hand's notes.

    Args:
        notes: notes of one hand in order (`Note.order`), with onsets from any common start.
        hand: the hand that plays them.
        reach: what it reaches, in semitones; a held note out of reach has been let go.

    Returns:
        As many moments as there are onsets; grace notes come as moments of their own, before their note.
    """
    side = 1 if hand is Hand.RIGHT else -1
    midis = [note.pitch.midi if side > 0 else MIRROR - note.pitch.midi for note in notes]
    steps = [side * note.pitch.staff_step for note in notes]
    groups = _struck_together(notes, midis)
    shares = _shares(notes, groups)
    tops = [[midis[places[0]] for places in group] for group in groups]
    settled = _settled(tops, shares)
    mates = _mates(tops, shares)
    ends = _ends(tops)
    held = _held(notes, groups, midis, reach)
    return tuple(
        Moment(
            notes=group,
            midis=tuple(midis[places[0]] for places in group),
            steps=tuple(steps[places[0]] for places in group),
            blacks=tuple(is_black(midis[places[0]]) for places in group),
            settled=settled[index],
            end=ends[index],
            share=shares[index],
            held=held[index],
            mate=mates[index],
            grips=_grips(tuple([_own_finger(notes, places) for places in group])),
        )
        for index, group in enumerate(groups)
    )


def steps_between(first: Moment, second: Moment) -> int:
    """Steps of the staff between two single notes, up positive, made to agree with the keys between them.

    A spelling that says less than the keys do (a chromatic step on one letter, an enharmonic turn) is put right.
    """
    interval = second.midis[0] - first.midis[0]
    if interval == 0:
        return 0
    octaves, rest = divmod(abs(interval), OCTAVE)
    by_keys = 7 * octaves + _STEPS_OF_SEMITONES[rest]
    spelled = second.steps[0] - first.steps[0]
    steps = abs(spelled) if spelled * interval > 0 and abs(abs(spelled) - by_keys) <= 1 else by_keys
    return steps if interval > 0 else -steps


Group = tuple[tuple[int, ...], ...]
"""Keys struck together, rising; for each the places of its notes."""


def _struck_together(notes: Sequence[Note], midis: Sequence[int]) -> list[Group]:
    groups: dict[tuple[int, int], dict[int, list[int]]] = {}
    graces = 0
    for place, note in enumerate(notes):
        # Grace notes come one after another before the note they lead to.
        graces += note.is_grace
        keys = groups.setdefault((note.onset, graces - len(notes) if note.is_grace else 1), {})
        keys.setdefault(midis[place], []).append(place)
    return [tuple(tuple(keys[midi]) for midi in sorted(keys)) for _, keys in sorted(groups.items())]


def _own_finger(notes: Sequence[Note], places: Sequence[int]) -> int | None:
    return next((finger for place in places if (finger := notes[place].finger) is not None), None)


def _shares(notes: Sequence[Note], groups: Sequence[Group]) -> list[int]:
    shares: list[int] = []
    sounding_until: int | None = None
    for group in groups:
        onset = notes[group[0][0]].onset
        silence = 0 if sounding_until is None else onset - sounding_until
        shares.append(next((share for least, share in RESTED_SHARES if silence >= least), WHOLE))
        end = max(notes[place].end for places in group for place in places)
        sounding_until = end if sounding_until is None else max(sounding_until, end)
    return shares


def _settled(keys: Sequence[Sequence[int]], shares: Sequence[int]) -> list[bool]:
    """Whether the tune is settled in one place around each moment.

    It is where it stays within a fifth for some while, looking no farther than to the next rest, and where it goes
    round and round on two or three keys.
    """
    lowest, highest = [struck[0] for struck in keys], [struck[-1] for struck in keys]
    begins = [0, *(index for index, share in enumerate(shares) if index and share < WHOLE), len(keys)]
    settled: list[bool] = []
    for begin, end in pairwise(begins):
        for index in range(begin, end):
            window = slice(max(begin, index - SETTLED_WINDOW), min(end, index + SETTLED_WINDOW + 1))
            settled.append(max(highest[window]) - min(lowest[window]) <= SETTLED_FIFTH)
    for index in range(len(keys) - ROUND_LENGTH + 1):
        window = slice(index, index + ROUND_LENGTH)
        if (
            max(highest[window]) - min(lowest[window]) <= SETTLED_FIFTH
            and len(set().union(*keys[window])) <= ROUND_KEYS
        ):
            settled[window] = [True] * ROUND_LENGTH
    return settled


def _mates(tops: Sequence[Sequence[int]], shares: Sequence[int]) -> list[int]:
    """For each moment the one an octave back in a run of single notes in one direction, or -1."""
    mates = [-1] * len(tops)
    run = 0
    direction = 0
    for index in range(1, len(tops)):
        single = len(tops[index]) == 1 and len(tops[index - 1]) == 1 and shares[index] == WHOLE
        interval = tops[index][0] - tops[index - 1][0] if single else 0
        if not 0 < abs(interval) <= WIDEST_OF_RUN:
            run, direction = index, 0
            continue
        if interval * direction < 0:
            run = index - 1
        direction = interval
        for earlier in range(index - 1, max(run, index - LONGEST_RUN) - 1, -1):
            width = abs(tops[index][0] - tops[earlier][0])
            if width >= OCTAVE:
                mates[index] = earlier if width == OCTAVE else -1
                break
    return mates


def _ends(keys: Sequence[Sequence[int]]) -> list[RunEnd]:
    """The ends of every run of single notes in one direction, rests or none between them."""
    ends = [RunEnd.NEITHER] * len(keys)
    begin = 0
    direction = 0
    for index in range(1, len(keys) + 1):
        single = index < len(keys) and len(keys[index]) == 1 and len(keys[index - 1]) == 1
        interval = keys[index][0] - keys[index - 1][0] if single else 0
        if abs(interval) > WIDEST_OF_RUN:
            interval = 0
        if direction == 0 or interval * direction <= 0:
            if index - begin >= SHORTEST_RUN and direction:
                near, far = (begin, index - 1) if direction > 0 else (index - 1, begin)
                ends[near], ends[far] = RunEnd.NEAR, RunEnd.FAR
            begin = index - 1 if interval else index
        direction = interval
    return ends


def _held(
    notes: Sequence[Note], groups: Sequence[Group], midis: Sequence[int], reach: int
) -> list[tuple[tuple[int, int], ...]]:
    held: list[tuple[tuple[int, int], ...]] = []
    down: list[tuple[int, int]] = []
    for index, group in enumerate(groups):
        onset = notes[group[0][0]].onset
        struck = [midis[places[0]] for places in group]

        def stays(key: tuple[int, int], onset: int = onset, struck: Sequence[int] = struck) -> bool:
            places = groups[key[0]][key[1]]
            midi = midis[places[0]]
            return (
                max(notes[place].end for place in places) - onset >= SHORTEST_HOLD
                and midi not in struck
                and max(*struck, midi) - min(*struck, midi) <= reach + BEYOND_REACH
            )

        free_fingers = max(0, MOST_FINGERS - len(group))
        staying = [key for key in down if stays(key)]
        down = staying[len(staying) - free_fingers :] if len(staying) > free_fingers else staying
        held.append(tuple(down))
        down = down + [(index, order) for order in range(len(group))]
    return held


@lru_cache(maxsize=4096)
def _grips(given: tuple[int | None, ...]) -> tuple[tuple[int, ...], ...]:
    count = len(given)
    extra = max(0, count - MOST_FINGERS)
    rising = [(1,) * extra + fingers for fingers in combinations(FINGERS, count - extra)]
    fitting = tuple(
        fingers
        for fingers in rising
        if all(own is None or own == finger for own, finger in zip(given, fingers, strict=True))
    )
    if fitting:
        return fitting
    # The teacher's own fingers cross, or one plays two keys: keep them, and fill in around them as well as can be.
    free = rising[0]
    return (tuple(finger if own is None else own for own, finger in zip(given, free, strict=True)),)
