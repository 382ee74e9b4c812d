"""Which cuts a song's repeats hold fast.

A repeat sign or an ending is always a cut. Such a cut shows in the playing order: the part before it is not
always followed by the part after it, or the other way round. Every other cut may be moved or taken away
without changing what is played.
"""

from __future__ import annotations

from core.song.song import Song


def can_join(song: Song, number: int) -> bool:
    """Whether part `number` and the next are always played one after the other."""
    order = song.playing_order
    if number >= len(song.parts):
        return False
    followed = all(order[place + 1 : place + 2] == (number + 1,) for place, part in enumerate(order) if part == number)
    led_to = all(place > 0 and order[place - 1] == number for place, part in enumerate(order) if part == number + 1)
    return followed and led_to


def passages(song: Song) -> tuple[tuple[int, ...], ...]:
    """Runs of part numbers that are always played through, in written order; repeats begin and end between them."""
    runs: list[list[int]] = [[1]]
    for number in range(1, len(song.parts)):
        if can_join(song, number):
            runs[-1].append(number + 1)
        else:
            runs.append([number + 1])
    return tuple(tuple(run) for run in runs)


def order_after_recut(song: Song, counts: tuple[int, ...]) -> tuple[int, ...]:
    """The playing order once each passage has been cut into a new number of parts.

    Args:
        song: the song before.
        counts: how many parts each of `passages` (song) has afterwards, in order.
    """
    runs = passages(song)
    first_numbers: list[int] = []
    number = 1
    for count in counts:
        first_numbers.append(number)
        number += count
    starts = {run[0]: index for index, run in enumerate(runs)}
    order: list[int] = []
    for part in song.playing_order:
        if part in starts:
            index = starts[part]
            order.extend(range(first_numbers[index], first_numbers[index] + counts[index]))
    return tuple(order)
