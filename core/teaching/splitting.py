"""Where a song is cut: phrases, and the parts to teach.

Parts are the best partition of the song, found exactly by dynamic programming: every way to cut at the starts of
melody notes is weighed, and the cheapest taken (`part_costs` says what a part costs). Passages that come back are
then cut alike: the song is weighed again, a place costing more where its like is not cut.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import inf, log
from typing import Final

from msgspec.structs import replace

from core.song.errors import DomainError
from core.song.metre import Bar
from core.song.song import Song
from core.song.wording import say
from core.teaching.boundaries import PHRASE_LIKELY, boundary_strengths
from core.teaching.part_costs import USUAL_WEIGHTS, Harmony, Place, Weighing, Weights

SECTION_LIKELY: Final = 0.25
"""From this probability on the first note of a section begins a phrase."""
LEAST_STRENGTH: Final = 0.02
MOST_CANDIDATES: Final = 400
PHRASE_SLUR: Final = 5
"""From this many notes on a slur is taken for a phrase's; shorter ones are articulation or one syllable."""
SLUR_LIKELY: Final = 0.8
"""How likely a phrase begins where its slur does."""
LIKE_AFTER: Final = 6
"""Notes that begin a passage alike."""
LIKE_AROUND: Final = 3
"""Notes on either side by which two places inside a passage are alike."""


def phrase_onsets(song: Song) -> tuple[int, ...]:
    """The ticks at which phrases begin: the onsets of their first notes, counted from the song's start.

    Parts that are not the ones proposed were cut by a teacher, and a part cut by a teacher begins a phrase; so does
    a section (what a repeat sign cuts), unless the melody plainly runs on, as it does into a second ending. A guess
    within a bar of such a place is the same boundary heard elsewhere, and gives way. Empty without a melody.
    """
    melody = melody_line(song)
    strengths = dict(zip((note[0] for note in melody), _strengths(tuple(melody), song.bars), strict=True))
    guessed = tuple(onset for onset, strength in strengths.items() if strength >= PHRASE_LIKELY)
    forced = forced_cuts(song)
    first_notes = _first_notes(song, melody)
    given = tuple(first_notes.values())
    if song.part_onsets in (forced, propose_cuts(song)):
        sections = (first_notes[cut] for cut in forced if cut in first_notes)
        given = tuple(onset for onset in sections if strengths[onset] >= SECTION_LIKELY)
    kept = (
        onset
        for onset in guessed
        if all(onset == cut or abs(onset - cut) > song.metre_at(onset).bar_ticks for cut in given[1:])
    )
    return tuple(sorted({*given, *kept}))


def _first_notes(song: Song, melody: Sequence[tuple[int, int, int]]) -> dict[int, int]:
    """The onset of each part's first melody note, by the part's own onset; parts without one are left out."""
    onsets = [note[0] for note in melody]
    found: dict[int, int] = {}
    for start, part in zip(song.part_onsets, song.parts, strict=True):
        first = bisect_left(onsets, start)
        if first < len(onsets) and onsets[first] < start + part.duration:
            found[start] = onsets[first]
    return found


@lru_cache(maxsize=16)
def _strengths(melody: tuple[tuple[int, int, int], ...], bars: tuple[Bar, ...]) -> tuple[float, ...]:
    """As `boundary_strengths`; kept, since cuts and phrases of one melody are asked for one after the other."""
    return boundary_strengths(melody, bars)


def propose_cuts(
    song: Song,
    count: int | None = None,
    weights: Weights = USUAL_WEIGHTS,
    slurs: Sequence[tuple[int, int]] = (),
) -> tuple[int, ...]:
    """Where the parts of a song should begin.

    Args:
        song: its present parts matter only where the playing order does not run on from one to the next:
            those borders (repeats and endings) stay.
        count: how many parts are wanted; None to let it follow from the song's length. The nearest number that
            the song allows is taken.
        weights: how much each thing counts.
        slurs: ticks of the first and last note under each slur, where they are known; a long one is a phrase, and
            a part begins under none.

    Returns:
        Ticks from the song's start, rising, the first 0. A pick-up belongs to the part it leads into.

    Raises:
        DomainError: for a count below 1.
    """
    if count is not None and count < 1:
        raise DomainError(say("the number of parts"), count, say("1 or more"))
    forced = forced_cuts(song)
    melody = melody_line(song)
    if len(melody) < 2:
        return forced
    places = _places(song, melody, forced, weights, _slurred(melody, slurs))
    weighing = Weighing.of(song, melody, places, weights)
    cuts = _cheapest(weighing, places, count)
    agreed = _agreeing(places, cuts, _alike(melody, song.bars), weights.agreement)
    return cuts if agreed == places else _cheapest(weighing, agreed, count)


def melody_line(song: Song) -> list[tuple[int, int, int]]:
    """Onset, duration and MIDI number of every melody note, one at each moment."""
    melody: list[tuple[int, int, int]] = []
    for onset, note in song.placed_notes():
        if note.melody and not note.is_grace:
            if melody and melody[-1][0] == onset:
                melody.pop()
            melody.append((onset, note.duration, note.pitch.midi))
    return melody


def forced_cuts(song: Song) -> tuple[int, ...]:
    """The song's start and the borders of parts over which the playing order does not run on."""
    onsets = (*song.part_onsets, song.length)
    order = song.playing_order
    cuts = {0, onsets[order[0] - 1], onsets[order[-1]]}
    for here, following in pairwise(order):
        if following != here + 1:
            cuts |= {onsets[here], onsets[following - 1]}
    return tuple(sorted(cuts - {song.length}))


def _slurred(melody: Sequence[tuple[int, int, int]], slurs: Sequence[tuple[int, int]]) -> tuple[set[int], set[int]]:
    """Notes, by their numbers, that a phrase's slur begins with, and those that come under a slur from the one before.

    Slurs that begin or end elsewhere than at notes of the melody are another voice's.
    """
    numbers = {note[0]: index for index, note in enumerate(melody)}
    begun: set[int] = set()
    under: set[int] = set()
    for first, last in slurs:
        if first in numbers and last in numbers:
            covered = range(numbers[first], numbers[last] + 1)
            under.update(covered[1:])
            if len(covered) >= PHRASE_SLUR:
                begun.add(covered[0])
    return begun - under, under


def _places(
    song: Song,
    melody: Sequence[tuple[int, int, int]],
    forced: Sequence[int],
    weights: Weights,
    slurred: tuple[set[int], set[int]],
) -> list[Place]:
    begun, under = slurred
    bars = song.bars
    bar_lines = set(_onsets(bars))
    harmony = Harmony.of(song)
    strengths = list(_strengths(tuple(melody), bars))
    for index in begun:
        strengths[index] = max(strengths[index], SLUR_LIKELY)
    places: dict[int, Place] = {}
    for index in range(1, len(melody)):
        if strengths[index] < LEAST_STRENGTH and not (weights.bar_lines and melody[index][0] in bar_lines):
            continue
        tick = _cut_before(melody, index, bars)
        cost = -weights.boundary * log(min(0.98, max(LEAST_STRENGTH, strengths[index])))
        if tick not in bar_lines:
            cost += weights.off_bar * (1 - strengths[index])
        if harmony.is_held_over(tick) and harmony.is_held_over(_next_line(bars, tick)):
            cost += weights.held_chord
        if index in under:
            cost += weights.slur
        if 0 < tick < song.length:
            places[tick] = Place(tick, index, cost, forced=False)
    weakest = sorted(places.values(), key=lambda place: place.cost)[MOST_CANDIDATES:]
    for place in weakest:
        del places[place.tick]
    starts = [note[0] for note in melody]
    for tick in forced:
        places[tick] = Place(tick, bisect_left(starts, tick), 0.0, forced=True)
    return [places[tick] for tick in sorted(places)]


def _onsets(bars: Sequence[Bar]) -> list[int]:
    return [bar.onset for bar in bars]


def _next_line(bars: Sequence[Bar], tick: int) -> int:
    """The bar line that a pick-up at a tick leads to; the tick itself where it is one."""
    bar = bars[max(0, bisect_right(_onsets(bars), tick) - 1)]
    return bar.onset if bar.onset == tick or 2 * (tick - bar.onset) < bar.duration else bar.end


def _alike(melody: Sequence[tuple[int, int, int]], bars: Sequence[Bar]) -> list[tuple[int, ...]]:
    """Notes, by their numbers, that begin the same passage or lie at the same place of one, and of a bar."""
    lines = _onsets(bars)
    steps = [(pitch, following[0] - onset) for (onset, _, pitch), following in pairwise(melody)]
    into = [onset - lines[max(0, bisect_right(lines, onset) - 1)] for onset, _, _ in melody]
    groups: dict[object, list[int]] = {}
    for index in range(len(melody)):
        after, around = steps[index : index + LIKE_AFTER], steps[max(0, index - LIKE_AROUND) : index + LIKE_AROUND]
        if len(after) == LIKE_AFTER:
            groups.setdefault((into[index], *after), []).append(index)
        if len(around) == 2 * LIKE_AROUND:
            groups.setdefault((into[index], "around", *around), []).append(index)
    return [tuple(group) for group in groups.values() if len(group) > 1]


def _agreeing(
    places: list[Place], cuts: Sequence[int], alike: Sequence[tuple[int, ...]], agreement: float
) -> list[Place]:
    """The places with a cost by which those that are alike are cut alike: as the most of them, at a tie all cut."""
    notes = {place.tick: place.note for place in places}
    first_notes = {notes[cut] for cut in cuts}
    changes: dict[int, float] = {}
    for group in alike:
        cut = sum(note in first_notes for note in group)
        if 0 < cut < len(group):
            change = -agreement if 2 * cut >= len(group) else agreement
            changes |= dict.fromkeys(group, change)
    return [
        place if place.forced or place.note not in changes else replace(place, cost=place.cost + changes[place.note])
        for place in places
    ]


def _cut_before(melody: Sequence[tuple[int, int, int]], index: int, bars: Sequence[Bar]) -> int:
    """Where a part that begins with a note is cut.

    At the bar line where the bar begins with a silence of up to half of it (a chord may land there alone), else at
    the note itself. A note at the place of the bar where the song's own pick-up begins is a pick-up again.
    """
    onset = melody[index][0]
    bar = bars[max(0, bisect_right(_onsets(bars), onset) - 1)]
    into = onset - bar.onset
    if into == 0 or (bars[0].number == 0 and bar.duration - into == bars[0].end - melody[0][0]):
        return onset
    is_silent = melody[index - 1][0] < bar.onset and melody[index - 1][0] + melody[index - 1][1] <= bar.onset
    return bar.onset if is_silent and 2 * into <= bar.duration else onset


def _cheapest(weighing: Weighing, places: Sequence[Place], count: int | None) -> tuple[int, ...]:
    """The cheapest cuts, by dynamic programming over the number of parts (one layer where it is free)."""
    last_note = len(weighing.load) - 1
    ends = [(place.tick, place.note) for place in places[1:]] + [(weighing.length, last_note)]
    if count is None:
        costs, before = [0.0] + [inf] * len(ends), [0] * (len(ends) + 1)
        for end, (tick, note) in enumerate(ends, start=1):
            for start in range(end - 1, -1, -1):
                cost = costs[start] + weighing.cost(places[start], tick, note)
                if cost < costs[end]:
                    costs[end], before[end] = cost, start
                if places[start].forced or weighing.is_too_long(places[start], note):
                    break
        return _walk_back(places, [before] * (len(ends) + 1), len(ends), None)
    count = max(sum(place.forced for place in places), min(count, len(places)))
    weighing = weighing.for_count(count)
    part_costs = [
        {start: weighing.cost(places[start], tick, note) for start in range(_latest_forced(places, end), end)}
        for end, (tick, note) in enumerate(ends, start=1)
    ]
    costs = [0.0] + [inf] * len(ends)
    layers: list[list[int]] = [[0] * (len(ends) + 1)]
    for _ in range(count):
        grown, before = [inf] * (len(ends) + 1), [0] * (len(ends) + 1)
        for end in range(1, len(ends) + 1):
            for start, part_cost in part_costs[end - 1].items():
                if costs[start] + part_cost < grown[end]:
                    grown[end], before[end] = costs[start] + part_cost, start
        costs = grown
        layers.append(before)
    return _walk_back(places, layers, len(ends), count)


def _latest_forced(places: Sequence[Place], end: int) -> int:
    return max(index for index in range(end) if places[index].forced)


def _walk_back(
    places: Sequence[Place], layers: Sequence[Sequence[int]], end: int, count: int | None
) -> tuple[int, ...]:
    cuts: list[int] = []
    layer = count if count is not None else 0
    while end > 0:
        end = layers[layer][end]
        cuts.append(places[end].tick)
        if count is not None:
            layer -= 1
    return tuple(reversed(cuts))
