"""Names for bare MIDI numbers.

Every key of the keyboard has two names that come into question: those within twelve fifths around the song's key
signature. Which one a note takes depends on the names of the notes about it, since music moves by diatonic
intervals: on its place on the line of fifths against the signature, against the notes that sound with it, against
those just before and those after (the windows' lengths are near those that Meredith 2006 found best for his ps13),
and against the neighbour a semitone or a whole tone away that it comes from and goes to. Each of these six speaks
for the sharper or the flatter name by its distance in fifths, with weights that are learned
(`core.theory.spelling_weights`, written by tests/benchmarks/train_spelling.py). Notes are first named by the
signature alone, then named again in passes, each in the light of the others' names, until nothing changes.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final

from core.song.errors import DomainError
from core.song.key import Key, Mode
from core.song.pitch import NoteName, Pitch
from core.song.wording import say
from core.theory.intervals import simplest_name
from core.theory.spelling_weights import NEAREST, WEIGHTS

NOTES_BEFORE: Final = 12
NOTES_AFTER: Final = 40
"""How many notes before and after a moment bear on its names."""
MOMENTS_TO_NEIGHBOUR: Final = 8
"""How many moments away a neighbour a step apart is looked for."""
PASSES: Final = 4
LARGEST_SIGNATURE: Final = 9
"""Signatures past this are spelled as this one, so that no name needs more than a triple sign."""
CENTRE: Final = 2
"""Fifths from a major key's signature to the middle of its chromatic scale as it is first guessed."""

_KEY, _TOGETHER, _BEFORE, _AFTER, _FROM, _TO = range(6)
EVIDENCE: Final = ("signature", "together", "before", "after", "coming from", "going to")


class Setting:
    """The notes to be named, by moments, and the neighbours of each; `names` are places on the line of fifths."""

    def __init__(self, midis: Sequence[int], signatures: Sequence[int], onsets: Sequence[int]) -> None:
        self.midis = midis
        self.signatures = [max(-LARGEST_SIGNATURE, min(LARGEST_SIGNATURE, fifths)) for fifths in signatures]
        self.moments = tuple(_moments(onsets))
        self.sources = [-1] * len(midis)
        self.goals = [-1] * len(midis)
        for number, (start, end) in enumerate(self.moments):
            earlier = self.moments[max(0, number - MOMENTS_TO_NEIGHBOUR) : number][::-1]
            later = self.moments[number + 1 : number + 1 + MOMENTS_TO_NEIGHBOUR]
            for index in range(start, end):
                self.sources[index] = self._neighbour(index, earlier)
                self.goals[index] = self._neighbour(index, later)
        self.names = [self._guess(index) for index in range(len(midis))]

    def _neighbour(self, index: int, moments: Iterable[tuple[int, int]]) -> int:
        """The nearest note a semitone or a whole tone away in the first of some moments that has one; −1: none."""
        midi = self.midis[index]
        for start, end in moments:
            near = [(abs(self.midis[i] - midi), i) for i in range(start, end) if 1 <= abs(self.midis[i] - midi) <= 2]
            if near:
                return min(near)[1]
        return -1

    def choices(self, index: int) -> tuple[int, int]:
        """The two names that come into question for a note, the flatter first."""
        lowest = self.signatures[index] - 11
        flatter = lowest + (7 * self.midis[index] - lowest) % 12
        return flatter, flatter + 12

    def _guess(self, index: int) -> int:
        """The name nearest to the middle of the signature's chromatic scale."""
        centre = self.signatures[index] + CENTRE
        return min(self.choices(index), key=lambda name: abs(name - centre + 0.5))

    def around(self) -> Iterator[tuple[tuple[int, int], dict[int, int], dict[int, int]]]:
        """Every moment with the names before and after it, counted; names may be changed along the way."""
        before: dict[int, int] = {}
        after: dict[int, int] = {}
        first = last = 0
        for start, end in self.moments:
            while last < min(len(self.names), end + NOTES_AFTER):
                after[self.names[last]] = after.get(self.names[last], 0) + 1
                last += 1
            for index in range(start, end):
                after[self.names[index]] -= 1
            yield (start, end), before, after
            for index in range(start, end):
                before[self.names[index]] = before.get(self.names[index], 0) + 1
            while first < end - NOTES_BEFORE:
                before[self.names[first]] -= 1
                first += 1


def spell(
    midis: Sequence[int],
    key: Key,
    onsets: Sequence[int] | None = None,
    changes: Sequence[tuple[int, Key]] = (),
) -> tuple[Pitch, ...]:
    """Pitches for MIDI numbers, named to suit a key and one another.

    Args:
        midis: MIDI numbers in the order in which they sound.
        key: the key, or that of the beginning; only its signature counts.
        onsets: the tick at which each begins, rising, so that what sounds together is known; None for one after
            another.
        changes: later keys with the ticks from which they hold, rising; of use with onsets only.

    Raises DomainError where there are not as many onsets as numbers, or they do not rise.
    """
    times = range(len(midis)) if onsets is None else onsets
    if len(times) != len(midis) or any(later < earlier for earlier, later in pairwise(times)):
        raise DomainError(say("the onsets of notes to be named"), list(times), say("one for each note, in order"))
    signatures = [key.fifths] * len(midis)
    if onsets is not None:
        for tick, later in changes:
            start = bisect_left(onsets, tick)
            signatures[start:] = [later.fifths] * (len(midis) - start)
    setting = Setting(midis, signatures, times)
    for _ in range(PASSES):
        if not _name_again(setting):
            break
    return tuple(Pitch.named(NoteName.at_fifths(name), midi) for name, midi in zip(setting.names, midis, strict=True))


def _name_again(setting: Setting) -> bool:
    """Give each note the likelier of its two names in the light of the others; whether any name changed."""
    names = setting.names
    changed = False
    for (start, end), before, after in setting.around():
        before_now = [(name, count / NOTES_BEFORE) for name, count in before.items() if count]
        after_now = [(name, count / NOTES_AFTER) for name, count in after.items() if count]
        for index in range(start, end):
            together = [(names[other], 1.0) for other in range(start, end) if other != index]
            beside = ((_TOGETHER, together), (_BEFORE, before_now), (_AFTER, after_now))
            flatter, sharper = setting.choices(index)
            lead = WEIGHTS[_KEY][place(sharper - setting.signatures[index])]
            lead += sum(
                weight * WEIGHTS[kind][place(sharper - name)] for kind, found in beside for name, weight in found
            )
            for kind, neighbour in ((_FROM, setting.sources[index]), (_TO, setting.goals[index])):
                if neighbour >= 0:
                    lead += WEIGHTS[kind][place(sharper - names[neighbour])]
            chosen = sharper if lead > 0 else flatter
            if chosen != names[index]:
                names[index] = chosen
                changed = True
    return changed


def place(distance: int) -> int:
    """Where the tables of weights have a distance in fifths from another name to the sharper of two."""
    return max(0, min(len(WEIGHTS[0]) - 1, distance - NEAREST))


def name_in_key(pitch_class: int, key: Key | None) -> NoteName:
    """The name of a pitch class in a key's chromatic scale; the simplest name where there is no key.

    In a major key from the lowered sixth degree to the raised fourth, in minor from the lowered second to the raised
    seventh (common practice).
    """
    if key is None:
        return simplest_name(pitch_class)
    lowest = key.fifths - 4 if key.mode is not Mode.MINOR else key.fifths - 2
    return NoteName.at_fifths(lowest + (7 * pitch_class - lowest) % 12)


def _moments(onsets: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Stretches of notes with one onset, as pairs of a first index and one past the last."""
    start = 0
    for index in range(1, len(onsets) + 1):
        if index == len(onsets) or onsets[index] != onsets[start]:
            yield start, index
            start = index
