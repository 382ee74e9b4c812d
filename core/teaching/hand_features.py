"""What a note shows about the hand that plays it.

Worked out for all notes at once, in order of onset, then pitch. Times are in seconds; where no tempo is known,
a quarter is taken as half a second. Pitches are in semitones against the note's own, `FAR` where there is none.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from core.song.pitch import HIGHEST_PIANO_KEY, LOWEST_PIANO_KEY
from core.song.time import TICKS_PER_QUARTER
from core.teaching.hand_windows import Integers, LowToHigh, Window, added_up, around, low_to_high
from core.teaching.trees import Floats

SECONDS_A_QUARTER: Final = 0.5
TOGETHER: Final = 0.035
"""Seconds: notes nearer than this are struck together."""
FAR: Final = 40.0
LONGEST_HELD: Final = 8.0
"""Seconds: a note held longer is no longer counted as held."""
LINKED: Final = 0.06
"""Seconds: a note that begins so near another's end goes on from it."""
SHORTEST: Final = 0.02
WHILE: Final = 3.0
"""Seconds: longer waits count as this."""

Pairs = tuple[Integers, Integers]
"""Places of notes and, beside each, the place of another note that stands in some relation to it."""


def _pairs(first: Integers, last: Integers) -> Pairs:
    """Each place with every place from `first` up to but not with `last`."""
    counts = np.maximum(last - first, 0)
    here = np.repeat(np.arange(len(first)), counts)
    there = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts) + np.repeat(first, counts)
    return here, there


def _largest(values: Floats, here: Integers, count: int, otherwise: float) -> Floats:
    """The largest value at each place; `here` in order."""
    result = np.full(count, otherwise)
    if len(here):
        places, firsts = np.unique(here, return_index=True)
        result[places] = np.maximum.reduceat(values, firsts)
    return result


def _smallest(values: Floats, here: Integers, count: int, otherwise: float) -> Floats:
    return -_largest(-values, here, count, -otherwise)


def _added(here: Integers, values: Floats, count: int) -> Floats:
    """The sum of the values at each place."""
    return np.asarray(np.bincount(here, weights=values, minlength=count), dtype=np.float64)


class Played(Struct, frozen=True):
    """Notes in arrays, and which stand together.

    Attributes:
        order: the place of each note in the sequence it came from.
        time: onset in seconds.
        length: seconds.
        end: seconds.
        pitch: MIDI number.
        chord: number of the chord (notes struck together) that each belongs to.
        chord_first: the first note of each chord, and one more at the end.
        mates: pairs of notes struck together.
        held: pairs of a note and one that is held down under it.
        key: the key counted from the lowest of the piano.
        low_to_high: notes added up along time and from the lowest key up.
    """

    order: Integers
    time: Floats
    length: Floats
    end: Floats
    pitch: Floats
    chord: Integers
    chord_first: Integers
    mates: Pairs
    held: Pairs
    key: Integers
    low_to_high: LowToHigh

    @classmethod
    def of(cls, notes: Sequence[tuple[int, int, int]]) -> Played:
        """Arrays of at least one note: onset and duration in ticks, MIDI number; in any order."""
        onset, duration, midi = np.asarray(notes, dtype=np.float64).T
        order = np.lexsort((midi, onset))
        time = onset[order] * SECONDS_A_QUARTER / TICKS_PER_QUARTER
        length = duration[order] * SECONDS_A_QUARTER / TICKS_PER_QUARTER
        pitch, end = midi[order], time + length
        first = np.searchsorted(time, time - TOGETHER)
        here, there = _pairs(first, np.searchsorted(time, time + TOGETHER, side="right"))
        others = here != there
        under, over = _pairs(np.searchsorted(time, time - LONGEST_HELD), first)
        still = end[over] > time[under] + TOGETHER
        chord = _chords(time)
        key = np.clip(pitch.astype(np.intp), LOWEST_PIANO_KEY, HIGHEST_PIANO_KEY) - LOWEST_PIANO_KEY
        return cls(
            order,
            time,
            length,
            end,
            pitch,
            chord,
            np.searchsorted(chord, np.arange(chord[-1] + 2)),
            (here[others], there[others]),
            (under[still], over[still]),
            key,
            low_to_high(added_up(key, np.ones(len(key)))),
        )

    def between(self, start: float, end: float) -> Pairs:
        """First and last note of the window from one distance in time to another about each note."""
        first = np.searchsorted(self.time, self.time + start, side="left" if start <= 0 else "right")
        last = np.searchsorted(self.time, self.time + end, side="right" if end >= 0 else "left")
        return first, np.maximum(first, last)


def _chords(time: Floats) -> Integers:
    """A number for each chord; a chord ends `TOGETHER` after its first note."""
    numbers = np.zeros(len(time), dtype=np.intp)
    number, start = 0, time[0]
    for place, moment in enumerate(time.tolist()):
        if moment - start > TOGETHER:
            number, start = number + 1, moment
        numbers[place] = number
    return numbers


def first_features(played: Played) -> dict[str, Floats]:
    """Every feature that needs no guess about other notes' hands, by its name."""
    return {
        "pitch": played.pitch,
        "pitch against the piece": np.median(played.pitch) - played.pitch,
        **_chord_and_held(played),
        **_windows(played),
        **_chords_around(played),
        **_lengths(played),
    }


def _chord_and_held(played: Played) -> dict[str, Floats]:
    """Place among the notes struck together and those held."""
    count, pitch = len(played.pitch), played.pitch
    features: dict[str, Floats] = {}
    both = tuple(np.concatenate(pair) for pair in zip(played.mates, played.held, strict=True))
    in_order = np.argsort(both[0], kind="stable")
    for name, (here, there) in (
        ("struck", played.mates),
        ("held", played.held),
        ("sounding", (both[0][in_order], both[1][in_order])),
    ):
        distance = pitch[there] - pitch[here]
        under, over = distance < 0, distance > 0
        features |= {
            f"{name} under": np.bincount(here[under], minlength=count).astype(np.float64),
            f"{name} over": np.bincount(here[over], minlength=count).astype(np.float64),
            f"nearest {name} under": _largest(distance[under], here[under], count, -FAR),
            f"nearest {name} over": _smallest(distance[over], here[over], count, FAR),
            f"lowest {name}": _smallest(distance, here, count, FAR),
            f"highest {name}": _largest(distance, here, count, -FAR),
        }
        if name == "sounding":
            features |= _widest_gap(here, distance, count)
    here, there = played.held
    features["longest held"] = _largest(played.length[there], here, count, 0.0)
    return features


def _widest_gap(here: Integers, distance: Floats, count: int) -> dict[str, Floats]:
    """The widest gap among the sounding notes: how wide, and where its middle lies."""
    places = np.concatenate((here, np.arange(count)))
    against = np.concatenate((distance, np.zeros(count)))
    sorting = np.lexsort((against, places))
    places, against = places[sorting], against[sorting]
    gap = np.where(places[1:] == places[:-1], np.diff(against), -1.0)
    widest = _largest(gap, places[:-1], count, 0.0)
    is_widest = (gap == widest[places[:-1]]) & (gap > 0)
    below = _largest(against[:-1][is_widest], places[:-1][is_widest], count, 0.0)
    return {
        "widest gap": np.maximum(widest, 0.0),
        "middle of the widest gap": np.where(widest > 0, below + widest / 2, 0.0),
    }


WINDOWS: Final = (0.25, 0.5, 1.0, 2.0, 4.0, 8.0)
ASIDE: Final = (0.5, 1.5, 4.0)


def _windows(played: Played) -> dict[str, Floats]:
    """Two hands as the notes around suggest, in windows of several widths, and before and after alone."""
    features: dict[str, Floats] = {}
    spans = {f"within {width} s": (-width, width) for width in WINDOWS}
    spans |= {f"{width} s before": (-width, -TOGETHER) for width in ASIDE}
    spans |= {f"{width} s after": (TOGETHER, width) for width in ASIDE}
    for name, (start, end) in spans.items():
        window = Window.of(played.low_to_high, played.pitch, *played.between(start, end))
        low, high, share = window.middles()
        features |= {
            f"lower hand {name}": low,
            f"upper hand {name}": high,
            f"between the hands {name}": (low + high) / 2,
            f"lower share {name}": share,
            f"mean {name}": window.mean(),
            f"lowest {name}": window.quantile(0.0),
            f"highest {name}": window.quantile(1.0),
        }
        if start == -end:
            features |= {
                f"notes {name}": np.log2(window.total + 1.0).astype(np.float64),
                f"low tenth {name}": window.quantile(0.1),
                f"high tenth {name}": window.quantile(0.9),
                f"below {name}": window.below(),
            }
    return features


def _nearest(distance: Floats, here: Integers, count: int) -> Floats:
    """The distance of smallest size at each place, with its sign; `FAR` where there is none."""
    size = _smallest(2 * np.abs(distance) + (distance < 0), here, count, 2 * FAR)
    whole = np.floor(size / 2)
    return np.where(size % 2 >= 1, -whole, whole)


def _chords_around(played: Played) -> dict[str, Floats]:
    """Notes of the chords before and after."""
    count, pitch, chord = len(played.pitch), played.pitch, played.chord
    chords = int(chord[-1]) + 1
    onset = played.time[played.chord_first[:-1]]
    features: dict[str, Floats] = {}
    for away in (-3, -2, -1, 1, 2, 3):
        other = chord + away
        exists = (other >= 0) & (other < chords)
        other = np.clip(other, 0, chords - 1)
        first, last = played.chord_first[other], played.chord_first[other + 1]
        here, there = _pairs(first, np.where(exists, last, first))
        distance = pitch[there] - pitch[here]
        features |= {
            f"lowest {away} chords away": _smallest(distance, here, count, FAR),
            f"highest {away} chords away": _largest(distance, here, count, -FAR),
            f"nearest {away} chords away": _nearest(distance, here, count),
        }
        if abs(away) < 3:
            wait = np.minimum(WHILE, np.abs(onset[other] - played.time))
            features[f"wait {away} chords away"] = np.where(exists, wait, WHILE)
    return features


def _lengths(played: Played) -> dict[str, Floats]:
    """Lengths against those of other notes, and what goes on from what."""
    count, time, pitch, end = len(played.pitch), played.time, played.pitch, played.end
    length = np.log2(np.maximum(played.length, SHORTEST))
    next_chord = np.append(time, end.max() + 1.0)[played.chord_first[played.chord + 1]]
    features: dict[str, Floats] = {
        "length": length,
        "length over the wait": np.minimum(8.0, played.length / np.maximum(TOGETHER, next_chord - time)),
    }
    here, there = played.mates
    mates = np.bincount(here, minlength=count)
    mean = np.bincount(here, weights=length[there], minlength=count) / np.maximum(mates, 1)
    features["length of those struck"] = np.where(mates > 0, mean - length, 0.0)
    for name, chosen in (("under", pitch[there] < pitch[here]), ("over", pitch[there] > pitch[here])):
        nearest = _nearest_of(here[chosen], there[chosen], np.abs(pitch[there] - pitch[here])[chosen], count)
        features[f"length of the nearest {name}"] = np.where(nearest >= 0, length[nearest] - length, 9.0)
        features[f"lateness of the nearest {name}"] = np.where(nearest >= 0, time[nearest] - time, 0.0)
    counts, lengths = played.low_to_high[0], np.cumsum(added_up(played.key, length), axis=1, dtype=np.float64)
    for width in (0.5, 2.0):
        first, last = played.between(-width, width)
        at = np.maximum(played.key - 3, 0)
        under, under_sum = (table[last, at] - table[first, at] for table in (counts, lengths))
        at = np.minimum(played.key + 2, counts.shape[1] - 1)
        over, over_sum = (
            (table[last, -1] - table[last, at]) - (table[first, -1] - table[first, at]) for table in (counts, lengths)
        )
        features[f"length of those under within {width} s"] = np.where(
            under > 0.5, under_sum / np.maximum(under, 1) - length, 0.0
        )
        features[f"length of those over within {width} s"] = np.where(
            over > 0.5, over_sum / np.maximum(over, 1) - length, 0.0
        )
    here, there = going_on(played)
    features["step to what goes on"] = _nearest(pitch[there] - pitch[here], here, count)
    sorting = np.argsort(there, kind="stable")
    here, there = here[sorting], there[sorting]
    features["step from what went before"] = _nearest(pitch[here] - pitch[there], there, count)
    return features


def _nearest_of(here: Integers, there: Integers, distance: Floats, count: int) -> Integers:
    """For each place the other place at the smallest distance; −1 where there is none."""
    found = np.full(count, -1, dtype=np.intp)
    if len(here):
        sorting = np.lexsort((there, distance, here))
        places, firsts = np.unique(here[sorting], return_index=True)
        found[places] = there[sorting][firsts]
    return found


def going_on(played: Played) -> Pairs:
    """Pairs of a note and one that begins where it ends (of up to a dozen)."""
    first = np.maximum(np.searchsorted(played.time, played.end - LINKED), np.arange(len(played.time)) + 1)
    last = np.minimum(np.searchsorted(played.time, played.end + LINKED, side="right"), first + 12)
    here, there = _pairs(first, last)
    later = played.time[there] > played.time[here] + TOGETHER
    return here[later], there[later]


def second_features(played: Played, right: Floats) -> dict[str, Floats]:
    """What first guesses about all notes say about each.

    Args:
        played: the notes.
        right: for each a first probability that the right hand plays it.
    """
    count, pitch = len(played.pitch), played.pitch
    clipped = np.clip(right, 0.003, 0.997)
    odds = np.log(clipped / (1 - clipped))
    features: dict[str, Floats] = {"odds": odds}
    for name, (here, there) in (("struck", played.mates), ("held", played.held)):
        for side, chosen in (("under", pitch[there] < pitch[here]), ("over", pitch[there] > pitch[here])):
            nearest = _nearest_of(here[chosen], there[chosen], np.abs(pitch[there] - pitch[here])[chosen], count)
            features[f"odds of the nearest {name} {side}"] = np.where(nearest >= 0, odds[nearest], 0.0)
    here = np.concatenate((played.mates[0], played.held[0]))
    there = np.concatenate((played.mates[1], played.held[1]))
    sorting = np.argsort(here, kind="stable")
    here, there = here[sorting], there[sorting]
    distance, is_right = pitch[there] - pitch[here], right[there] > 0.5
    for hand, chosen in (("right", is_right), ("left", ~is_right)):
        features |= {
            f"lowest sounding {hand}": _smallest(distance[chosen], here[chosen], count, FAR),
            f"highest sounding {hand}": _largest(distance[chosen], here[chosen], count, -FAR),
            f"sounding {hand}": np.bincount(here[chosen], minlength=count).astype(np.float64),
        }
    here, there = going_on(played)
    near = np.abs(pitch[there] - pitch[here]) <= 7
    features["what goes on"] = _added(here[near], right[there[near]] - 0.5, count)
    features["what went before"] = _added(there[near], right[here[near]] - 0.5, count)
    return features | _hand_places(played, right) | _last_and_next(played, right > 0.5)


def _hand_places(played: Played, right: Floats) -> dict[str, Floats]:
    """Where each hand is in windows around, and which hand plays near each note's key there."""
    features: dict[str, Floats] = {}
    spans = {f"within {width} s": (-width, width) for width in (0.25, 0.5, 1.0, 2.0, 8.0)}
    spans |= {"0.5 s before": (-0.5, -TOGETHER), "0.5 s after": (TOGETHER, 0.5)}
    by_hand = {"right": right, "left": 1.0 - right}
    weights = {hand: np.append(0.0, np.cumsum(share)) for hand, share in by_hand.items()}
    places = {hand: np.append(0.0, np.cumsum(share * played.pitch)) for hand, share in by_hand.items()}
    counts, votes = played.low_to_high[0], np.cumsum(added_up(played.key, right - 0.5), axis=1, dtype=np.float64)
    for name, (start, end) in spans.items():
        first, last = played.between(start, end)
        for hand in by_hand:
            weight = weights[hand][last] - weights[hand][first]
            mean = (places[hand][last] - places[hand][first]) / np.maximum(weight, 1e-9) - played.pitch
            features[f"{hand} hand {name}"] = np.where(weight > 0.1, mean, FAR if hand == "right" else -FAR)
            if start == -end and start >= -2:
                features[f"{hand} hand's notes {name}"] = weight
        if start == -end:
            for reach in (2, 6):
                vote = around(votes, played.key, first, last, reach)
                number = around(counts, played.key, first, last, reach)
                features[f"near {reach} keys {name}"] = vote / np.maximum(number, 1.0)
    return features


def _last_and_next(played: Played, is_right: np.typing.NDArray[np.bool_]) -> dict[str, Floats]:
    """How far away, in keys and time, each hand last played and next plays."""
    features: dict[str, Floats] = {}
    for hand, chosen in (("right", is_right), ("left", ~is_right)):
        places = np.flatnonzero(chosen)
        if not len(places):
            places = np.zeros(1, dtype=np.intp)
        times = played.time[places]
        before = np.searchsorted(times, played.time - TOGETHER) - 1
        after = np.searchsorted(times, played.time + TOGETHER, side="right")
        for name, index, exists in (
            ("last", before, (before >= 0) & chosen.any()),
            ("next", after, (after < len(places)) & chosen.any()),
        ):
            note = places[np.clip(index, 0, len(places) - 1)]
            wait = np.minimum(WHILE, np.abs(played.time[note] - played.time))
            features[f"{name} {hand}"] = np.where(exists, played.pitch[note] - played.pitch, FAR)
            features[f"wait of the {name} {hand}"] = np.where(exists, wait, WHILE)
    return features
