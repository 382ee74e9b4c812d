"""What is to be played, and how: parts in any order, a stretch of them, one hand or both, how fast, how often."""

from __future__ import annotations

import re
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.note import Hand
from core.song.song import Song

BOTH_HANDS: Final = frozenset(Hand)
SLOWEST_SPEED: Final = 0.1
FASTEST_SPEED: Final = 4.0
MOST_BARS_COUNTED: Final = 4
MOST_SUBDIVISIONS: Final = 4
LONGEST_ROW: Final = 200
"""Parts in a row that may be asked for in words."""
_STRETCH: Final = re.compile(r"(\d{1,4})(?:\s*(?:[-–—]|to)\s*(\d{1,4}))?(?:\s*[x×]\s*(\d{1,2}))?")
_BARS: Final = re.compile(r"(\d{1,5})(?:\s*([-–—]|to)\s*(\d{1,5})?)?")
_BETWEEN: Final = re.compile(r"\s*(?:,?\s*then|,|;|\s)\s*")


class Selection(Struct, frozen=True):
    """What is to be played, and how.

    Attributes:
        parts: part numbers in the order in which they are played, repeats included.
        hands: the hands that are heard.
        speed: 1.0 as written, 0.5 half as fast; 0.1 … 4.
        count_in: whether bars are clicked before the first note.
        tempo: quarter notes a minute in place of the song's own tempos, or None for those.
        metronome: whether every beat is clicked.
        times: how often the sequence is played in a row, 1 or more; counted in once.
        start: ticks from the start of the sequence at which it is taken up each time, or None for its start.
        pattern: name of the left hand's pattern in place of each part's own, or None for those.
        harmony: name of what lies under the melody in place of each part's own, or None for those.
        rhythm: name of the melody's rhythm in place of each part's own, or None for those.
        pedal: whether the sustain pedal is used in the parts that ask for it, where the left hand is heard.
        ornaments: whether the melody's ornaments are played.
        end: ticks from the start of the sequence at which it is left each time, or None for its end.
        softer: a hand that is heard softer than the other, or None.
        count_in_bars: how many bars are clicked, 1 … 4.
        subdivisions: clicks of the metronome to a beat, 1 … 4.
        click_level: how hard the metronome clicks, 1.0 as usual; 0.1 … 2.
        rise: by how much of the first time's speed each further time is faster, 0 … 1.
    """

    parts: tuple[int, ...]
    hands: frozenset[Hand] = BOTH_HANDS
    speed: float = 1.0
    count_in: bool = False
    tempo: float | None = None
    metronome: bool = False
    times: int = 1
    start: int | None = None
    pattern: str | None = None
    end: int | None = None
    softer: Hand | None = None
    count_in_bars: int = 1
    subdivisions: int = 1
    click_level: float = 1.0
    rise: float = 0.0
    harmony: str | None = None
    rhythm: str | None = None
    pedal: bool = True
    ornaments: bool = True

    def __post_init__(self) -> None:
        if not self.parts:
            raise DomainError("the parts to play", self.parts, "at least one part number")
        if not SLOWEST_SPEED <= self.speed <= FASTEST_SPEED:
            raise DomainError("the speed", self.speed, f"from {SLOWEST_SPEED} to {FASTEST_SPEED} times as written")
        if self.times < 1:
            raise DomainError("how often to play", self.times, "1 or more")
        if self.start is not None and self.start < 0:
            raise DomainError("where to start", self.start, "0 or more ticks from the start of the sequence")
        if self.end is not None and self.end <= (self.start or 0):
            raise DomainError("where to end", self.end, "after the start")
        if not 1 <= self.count_in_bars <= MOST_BARS_COUNTED:
            raise DomainError("the bars counted in", self.count_in_bars, f"from 1 to {MOST_BARS_COUNTED}")
        if not 1 <= self.subdivisions <= MOST_SUBDIVISIONS:
            raise DomainError("the clicks to a beat", self.subdivisions, f"from 1 to {MOST_SUBDIVISIONS}")
        if not 0.1 <= self.click_level <= 2:
            raise DomainError("the level of the click", self.click_level, "from 0.1 to 2")
        if not 0 <= self.rise <= 1:
            raise DomainError("how much faster each time is", self.rise, "from 0 to 1")


def one_part(song: Song, number: int) -> Selection:
    """A part on its own; raises DomainError where there is no such part."""
    song.part(number)
    return Selection((number,))


def run_through(song: Song, number: int) -> Selection:
    """Parts 1 to `number` in a row; raises DomainError where there is no such part."""
    song.part(number)
    return Selection(tuple(range(1, number + 1)))


def whole_song(song: Song) -> Selection:
    """The whole song in its playing order, repeats unfolded."""
    return Selection(song.playing_order)


def stretch(song: Song, start: int, end: int) -> Selection:
    """What is written from one moment of the song to a later one, in ticks from its start.

    Raises DomainError where that is not inside the song.
    """
    if not 0 <= start < end <= song.length:
        raise DomainError("the stretch to play", (start, end), f"inside the song's {song.length} ticks")
    first, last = song.part_at(start), song.part_at(end - 1)
    before = song.part_onsets[first - 1]
    return Selection(tuple(range(first, last + 1)), start=start - before, end=end - before)


def bars_of_song(song: Song, words: str) -> Selection:
    """The bars named: ``5``, ``5-8``, or ``5-`` to the end; a pick-up is bar 0.

    Raises DomainError for other words, and for a bar that the song does not have.
    """
    found = _BARS.fullmatch(words.strip())
    if found is None:
        raise DomainError("what says the bars to play", words, "such as “5-8”, “5” or “5-”")
    first = int(found[1])
    last = song.bars[-1].number if found[2] and not found[3] else int(found[3] or first)
    spans = {bar.number: bar for bar in song.bars}
    for number in (first, last):
        if number not in spans:
            there = f"from {song.bars[0].number} to {song.bars[-1].number}"
            raise DomainError("the bar to play", number, there)
    if last < first:
        raise DomainError("the bars to play", words, "the earlier one first")
    return stretch(song, spans[first].onset, min(spans[last].end, song.length))


def parts_in_a_row(song: Song, words: str) -> Selection:
    """Parts in a row as one says it: ``3, then 1–3``, ``2 x 4, 1 to 2``.

    Raises DomainError for words that say nothing else, for a part that does not exist, and for more than
    `LONGEST_ROW` parts.
    """
    row: list[int] = []
    place, text = 0, words.strip().lower()
    while place < len(text):
        found = _STRETCH.match(text, place)
        if found is None:
            break
        first, last, times = int(found[1]), int(found[2] or found[1]), int(found[3] or 1)
        step = 1 if last >= first else -1
        for number in (first, last):
            song.part(number)
        row += list(range(first, last + step, step)) * times
        place = found.end()
        between = _BETWEEN.match(text, place)
        if between is None or between.end() == len(text):
            break
        place = between.end()
    if place < len(text) or not row:
        raise DomainError("the parts in a row", words, "part numbers such as “3, then 1–3” or “2 x 4”")
    if len(row) > LONGEST_ROW:
        raise DomainError("how many parts are played in a row", len(row), f"{LONGEST_ROW} at most")
    return Selection(tuple(row))
