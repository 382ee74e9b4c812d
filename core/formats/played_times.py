"""From the seconds at which keys were played to note values at a tempo that is told from them.

Three steps, each with a plain model of a player whose onsets scatter by `SPREAD` around where they are meant
(about 20 ms in practised playing to a click; Repp 2005, from memory):

1. The beat: the length at which the distances between onsets, up to `MEMORY` seconds, are nearest to whole beats and
   their halves, thirds and quarters; among lengths that do as well, the one nearest to `USUAL_BEAT`. Its phase is where
   strong onsets (low, loud, several at once) fall on beats.
2. The beat is followed through the take, a little of each deviation being taken up, so that a player who is not at a
   click may drift; then it is fitted once more to what was found.
3. Each beat is divided by one grid: into one, two, four, three or six. The likelier the grid in the whole take, the
   less it has to be borne out by the beat itself.

A note ends at the nearest place of the grids, or with the beginning of the next one where the gap between is shorter
than `DETACHED` of the way: a key is let go before the next is struck, and nobody writes that as a rest.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from math import cos, exp, log, log2, pi
from typing import Final

from msgspec import Struct

from core.song.time import TICKS_PER_QUARTER

SPREAD: Final = 0.025
"""Seconds."""
MEMORY: Final = 5.0
USUAL_BEAT: Final = 0.65
"""Seconds; 92 beats a minute."""
SHORTEST_BEAT: Final = 0.3
LONGEST_BEAT: Final = 1.5
STEP: Final = 1.01
"""From one length that is tried to the next."""
OTHER_BEATS: Final = (1.0, 0.5, 2.0, 1.5, 2 / 3, 3.0, 1 / 3, 0.75, 4 / 3)
"""Beats that fit the same distances: which of them it is is told from how plainly the take can be written in it."""
UNUSUAL: Final = 0.5
"""How much it counts, for each key played, that a beat is twice or half as long as the usual one."""
DIVISIONS: Final = (1, 2, 4, 3, 6)
WEIGHTS: Final = {1: 1.0, 2: 0.6, 3: 0.25, 4: 0.35}
"""How much it counts that a distance is a whole number of beats, halves, thirds, quarters."""
BIN: Final = 0.005
"""Seconds into which distances are sorted."""
PHASES: Final = 48
"""Places of a beat that are tried for its beginning."""
TAKEN_UP: Final = (0.15, 0.02)
"""Parts of a deviation by which the place and the length of the following beats are put right."""
DETACHED: Final = 0.3
LONG: Final = 2 - DETACHED
"""Beats: a note so long before a rest ends with a beat."""
EARLY: Final = 0.05
"""Part of its length by which such a note is let go early."""
OVERLAP: Final = 0.2
"""Part of a note's length by which a key may be held past the next one's beginning and still end with it."""
ROUNDS: Final = 3
OFF_BEAT: Final = {6: 0.5, 4: 0.5, 8: 0.5, 3: 1.0, 9: 1.0, 2: 1.3, 10: 1.3}
"""How much it counts that a key falls between two beats, by twelfths of a beat."""
SYNCOPATED: Final = 2.5
"""How much more, where nothing is struck on the beat that follows."""
LIKELY_AT_FIRST: Final = {1: 0.4, 2: 0.3, 4: 0.14, 3: 0.14, 6: 0.02}


class Played(Struct, frozen=True):
    """A key as it was played: seconds it went down and came up, its MIDI number and velocity."""

    down: float
    up: float
    midi: int
    velocity: int


class Timed(Struct, frozen=True):
    """A key as it is written: ticks from the beat that the take begins with, and how long."""

    onset: int
    duration: int
    midi: int


class Take(Struct, frozen=True):
    """A take that has been put on paper.

    Attributes:
        notes: in order of onset, then key.
        bpm: beats a minute, the beat being a quarter note.
    """

    notes: tuple[Timed, ...]
    bpm: float


def written_take(played: Sequence[Played], bpm: float | None = None) -> Take:
    """What was played, at least one key.

    Args:
        played: the keys, in any order.
        bpm: the tempo of the click it was played to, or None where there was none.
    """
    keys = sorted(played, key=lambda key: (key.down, key.midi))
    if bpm is not None:
        return _on_paper(keys, 60 / bpm)[1]
    found = _beat([key.down for key in keys])
    near = (found * factor for factor in OTHER_BEATS)
    tried = [_on_paper(keys, beat) for beat in near if SHORTEST_BEAT <= beat <= LONGEST_BEAT]
    return min(tried, key=lambda one: one[0])[1]


def _on_paper(keys: Sequence[Played], beat: float) -> tuple[float, Take]:
    """How far-fetched a take is at a beat, and how it is written."""
    moments = [key.down for key in keys]
    begin = _phase(keys, beat)
    beats = _followed(moments, begin, beat)
    onsets, divisions, cost = _placed(beats, beat)
    for _ in range(ROUNDS - 1):
        beats = _refitted(moments, onsets, beats)
        onsets, divisions, cost = _placed(beats, beat)
    length = _middle_beat(moments, onsets, beat)
    first = int(min(onsets) // 1)
    notes = _with_ends(keys, [onset - first for onset in onsets], divisions, length, first)
    unusual = UNUSUAL * log2(length / USUAL_BEAT) ** 2
    return cost / len(keys) + unusual, Take(notes, 60 / length)


def _beat(moments: Sequence[float]) -> float:
    """Seconds of the beat."""
    distances: Counter[int] = Counter()
    for index, moment in enumerate(moments):
        for later in moments[index + 1 :]:
            if later - moment > MEMORY:
                break
            distances[round((later - moment) / BIN)] += 1
    del distances[0]
    if not distances:
        return USUAL_BEAT
    tried, best, found = SHORTEST_BEAT, float("-inf"), USUAL_BEAT
    total = distances.total()
    while tried <= LONGEST_BEAT:
        score = sum(
            number * sum(weight * cos(2 * pi * parts * place * BIN / tried) for parts, weight in WEIGHTS.items())
            for place, number in distances.items()
        )
        score = score / total - 0.25 * log2(tried / USUAL_BEAT) ** 2
        if score > best:
            best, found = score, tried
        tried *= STEP
    return found


def _phase(keys: Sequence[Played], beat: float) -> float:
    """Seconds at which a beat begins, the first one at or before the first key."""
    first = keys[0].down
    near = [key for key in keys if key.down - first <= 2 * MEMORY]
    weights = [1 + key.velocity / 127 + (key.midi < 60) + min(1.0, (key.up - key.down) / beat) for key in near]

    def score(begin: float) -> float:
        turns = [2 * pi * (key.down - begin) / beat for key in near]
        return sum(weight * (cos(turn) + 0.3 * cos(2 * turn)) for weight, turn in zip(weights, turns, strict=True))

    best = max((number / PHASES * beat for number in range(PHASES)), key=lambda back: score(first - back))
    return first - best if beat - best > 2 * SPREAD else first + beat - best


def _followed(moments: Sequence[float], begin: float, beat: float) -> list[float]:
    """Where each moment lies in beats, the beat being followed through the take."""
    place, at, length = 0.0, begin, beat
    found = []
    for moment in moments:
        place += (moment - at) / length
        at = moment
        found.append(place)
        off = min(((place * parts - round(place * parts)) / parts for parts in (1, 2, 3, 4)), key=abs)
        place -= TAKEN_UP[0] * off
        length *= 1 + TAKEN_UP[1] * off
    return found


def _placed(beats: Sequence[float], beat: float) -> tuple[list[float], dict[int, int], float]:
    """The place of each moment on the grid of its beat, in beats; the divisions of the beats; how far-fetched it is."""
    groups: dict[int, list[float]] = {}
    for place in beats:
        groups.setdefault(int((place + 2 * SPREAD / beat) // 1), []).append(place)
    likely = dict(LIKELY_AT_FIRST)
    divisions: dict[int, int] = {}
    for _ in range(ROUNDS):
        divisions = {
            number: min(DIVISIONS, key=lambda parts: _cost(group, parts, beat) - log(likely[parts]))
            for number, group in groups.items()
        }
        told = Counter(divisions.values())
        likely = {parts: (told[parts] + LIKELY_AT_FIRST[parts]) / (len(divisions) + 1) for parts in DIVISIONS}
    places = []
    for place in beats:
        parts = divisions[int((place + 2 * SPREAD / beat) // 1)]
        places.append(round(place * parts) / parts)
    cost = sum(
        _cost(group, divisions[number], beat) - log(LIKELY_AT_FIRST[divisions[number]])
        for number, group in groups.items()
    )
    return places, divisions, cost + _syncopation(places)


def _syncopation(places: Sequence[float]) -> float:
    """How much is played between the beats, above all what sounds on through the next beat."""
    cost = 0.0
    moments = sorted(set(places))
    for number, place in enumerate(moments):
        if between := round(place % 1 * 12) % 12:
            cost += OFF_BEAT[between]
            following = moments[number + 1] if number + 1 < len(moments) else place + 2
            cost += SYNCOPATED * (following > place // 1 + 1)
    return cost


def _cost(group: Sequence[float], parts: int, beat: float) -> float:
    return sum(((place * parts - round(place * parts)) / parts * beat / SPREAD) ** 2 for place in group) / 2


def _refitted(moments: Sequence[float], places: Sequence[float], beats: Sequence[float]) -> list[float]:
    """Where each moment lies in beats by the line through the places found within `MEMORY` seconds around it."""
    found = []
    first = last = 0
    for moment, known in zip(moments, beats, strict=True):
        while moments[first] < moment - MEMORY:
            first += 1
        while last < len(moments) and moments[last] <= moment + MEMORY:
            last += 1
        weights = [exp(-(((near - moment) / MEMORY) ** 2)) for near in moments[first:last]]
        total = sum(weights)
        middle = sum(w * near for w, near in zip(weights, moments[first:last], strict=True)) / total
        height = sum(w * place for w, place in zip(weights, places[first:last], strict=True)) / total
        run = sum(w * (near - middle) ** 2 for w, near in zip(weights, moments[first:last], strict=True))
        if run <= 0:
            found.append(known)
            continue
        rise = sum(
            w * (near - middle) * (place - height)
            for w, near, place in zip(weights, moments[first:last], places[first:last], strict=True)
        )
        found.append(height + (moment - middle) * rise / run)
    return found


def _middle_beat(moments: Sequence[float], places: Sequence[float], beat: float) -> float:
    """Seconds of a beat over the whole take."""
    run = places[-1] - places[0]
    return (moments[-1] - moments[0]) / run if run >= 1 else beat


def _with_ends(
    keys: Sequence[Played], onsets: Sequence[float], divisions: dict[int, int], length: float, first: int
) -> tuple[Timed, ...]:
    moments = sorted(set(onsets))
    found: dict[tuple[float, int], float] = {}
    for key, onset in zip(keys, onsets, strict=True):
        end = onset + (key.up - key.down) / length
        found[onset, key.midi] = max(found.get((onset, key.midi), 0.0), _end(onset, end, moments, divisions, first))
    return tuple(
        Timed(_ticks(onset), max(1, _ticks(end) - _ticks(onset)), midi) for (onset, midi), end in sorted(found.items())
    )


def _end(onset: float, end: float, moments: Sequence[float], divisions: dict[int, int], first: int) -> float:
    """Where a note ends that was let go at `end`."""
    after = bisect_right(moments, end)
    before = moments[after - 1]
    if before > onset and end - before < OVERLAP * (before - onset):
        return before
    if after < len(moments) and moments[after] - end < DETACHED * (moments[after] - onset):
        return moments[after]
    if end - onset >= LONG:
        return round(end + EARLY * (end - onset))
    parts = max(2, divisions.get(int(end // 1) + first, 2))
    nearest = round(end * parts) / parts
    return nearest if nearest > onset else onset + 1 / (parts if parts in (3, 6) else 4)


def _ticks(beats: float) -> int:
    return round(beats * TICKS_PER_QUARTER)


def takes_apart(played: Sequence[Played], silence: float) -> Iterator[tuple[Played, ...]]:
    """What was played, cut where nothing sounded for so many seconds."""
    take: list[Played] = []
    until = float("-inf")
    for key in sorted(played, key=lambda key: (key.down, key.midi)):
        if take and key.down - until > silence:
            yield tuple(take)
            take = []
        take.append(key)
        until = max(until, key.up)
    if take:
        yield tuple(take)
