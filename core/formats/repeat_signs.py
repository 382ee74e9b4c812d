"""From a playing order back to repeat signs, endings and D.C. al Fine, where these can say it.

What is found is checked by playing it (`core.formats.repeats`): signs are written only where they give exactly the
song's playing order.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from core.formats.repeats import sections_of
from core.formats.source import SourceBar


def signs_for(part_count: int, order: Sequence[int]) -> tuple[SourceBar, ...] | None:
    """The signs of each part, as if each were a bar, or None where no signs give the playing order."""
    plain = [SourceBar(number, 1) for number in range(part_count)]
    if tuple(order) == tuple(range(1, part_count + 1)):
        return tuple(plain)
    signed = _signed(plain, list(order))
    if signed is None or _played(signed) != tuple(order):
        return None
    return tuple(signed)


def _played(bars: Sequence[SourceBar]) -> tuple[int, ...]:
    """Part numbers as the signs play them."""
    sections = sections_of(bars)
    ends = [*sections.starts[1:], len(bars)]
    played: list[int] = []
    for number in sections.order:
        played.extend(range(sections.starts[number - 1] + 1, ends[number - 1] + 1))
    return tuple(played)


def _runs(order: Sequence[int]) -> list[tuple[int, int]]:
    """Stretches that count up by one, each as its first and last number."""
    runs: list[tuple[int, int]] = []
    for number in order:
        if runs and number == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return runs


def _signed(bars: list[SourceBar], order: list[int]) -> list[SourceBar] | None:
    runs = _runs(order)
    if runs[0][0] != 1:
        return None
    index = 0
    while index + 1 < len(runs):
        end, back = runs[index][1], runs[index + 1][0]
        if back > end:
            return None
        if end == len(bars) and back == 1 and index + 2 == len(runs) and runs[index + 1][1] < end:
            bars[end - 1] = replace(bars[end - 1], jump="capo")
            fine = runs[index + 1][1]
            bars[fine - 1] = replace(bars[fine - 1], fine=True)
            return bars
        last = runs[index + 1][1]
        bars[back - 1] = replace(bars[back - 1], repeat_start=back > 1)
        again = index + 1
        while again < len(runs) and runs[again] == (back, end):
            again += 1
        breaks_off = again < len(runs) and runs[again][0] == back and runs[again][1] < end
        if breaks_off and again + 1 < len(runs) and runs[again + 1][0] == end + 1:
            after = _mark_endings(bars, runs, again, list(range(1, again - index + 1)), end)
        elif last >= end:
            after = _mark_repeat(bars, runs, index)
        else:
            after = _mark_endings(bars, runs, index + 1, [1], end)
        if after is None:
            return None
        index = after
    return bars


def _mark_repeat(bars: list[SourceBar], runs: list[tuple[int, int]], index: int) -> int:
    """A stretch played again without endings: from the run before it to the run that goes on; that run's index."""
    end, back = runs[index][1], runs[index + 1][0]
    times, here = 1, index + 1
    while True:
        times += 1
        is_same = here + 1 < len(runs) and runs[here] == (back, end) and runs[here + 1][0] == back
        if not is_same or runs[here + 1][1] < end:
            break
        here += 1
    bars[end - 1] = replace(bars[end - 1], repeat_times=times)
    return here


def _mark_endings(
    bars: list[SourceBar], runs: list[tuple[int, int]], here: int, numbers: list[int], end: int
) -> int | None:
    """A stretch played again with endings: runs back to its start that break off before an ending of their own.

    Args:
        bars: the parts' signs so far.
        runs: stretches of the playing order.
        here: index of the first run that breaks off.
        numbers: the passes that have played the first ending by then.
        end: the part that the first ending ends with.

    Returns:
        The index of the run that goes on after the last ending, or None where endings do not say it.
    """
    back, body_end = runs[here]
    first = body_end + 1
    while True:
        if here >= len(runs) or runs[here] != (back, body_end):
            return None
        if here + 1 >= len(runs):
            return None
        start, stop = runs[here + 1]
        if start == first:
            # The same ending once more.
            numbers.append(numbers[-1] + 1)
            here += 2
            continue
        if start != end + 1:
            return None
        _mark_ending(bars, first, end, tuple(numbers), goes_back=True)
        numbers = [numbers[-1] + 1]
        is_last = here + 2 >= len(runs) or runs[here + 2][0] != back or runs[here + 2] != (back, body_end)
        if is_last:
            _mark_ending(bars, start, start, tuple(numbers), goes_back=False)
            return here + 1
        first, end = start, stop
        here += 2


def _mark_ending(bars: list[SourceBar], first: int, last: int, passes: tuple[int, ...], *, goes_back: bool) -> None:
    for number in range(first, last + 1):
        bars[number - 1] = replace(bars[number - 1], endings=passes)
    if goes_back:
        bars[last - 1] = replace(bars[last - 1], repeat_times=2)
