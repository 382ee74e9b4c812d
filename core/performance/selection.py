"""What is to be played, and how: parts in any order, a stretch of them, one hand or both, how fast, how often."""

from __future__ import annotations

import re
from typing import Final

from msgspec import Struct

from core.song.errors import DomainError
from core.song.note import Hand
from core.song.song import Song
from core.song.wording import say, say_in

BOTH_HANDS: Final = frozenset(Hand)
SLOWEST_SPEED: Final = 0.1
FASTEST_SPEED: Final = 4.0
MOST_BARS_COUNTED: Final = 4
MOST_SUBDIVISIONS: Final = 4
LONGEST_ROW: Final = 200
"""Parts in a row that may be asked for in words."""
_STRETCH: Final = r"(\d{{1,4}})(?:\s*(?:[-–—]|{to})\s*(\d{{1,4}}))?(?:\s*[x×]\s*(\d{{1,2}}))?"
_BARS: Final = r"(\d{{1,5}})(?:\s*([-–—]|{to})\s*(\d{{1,5}})?)?"
_BETWEEN: Final = r"\s*(?:,?\s*{then}|,|;|\s)\s*"


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
            raise DomainError(say("the parts to play"), self.parts, say("at least one part number"))
        if not SLOWEST_SPEED <= self.speed <= FASTEST_SPEED:
            raise DomainError(
                say("the speed"),
                self.speed,
                say("from {slowest} to {fastest} times as written", slowest=SLOWEST_SPEED, fastest=FASTEST_SPEED),
            )
        if self.times < 1:
            raise DomainError(say("how often to play"), self.times, say("1 or more"))
        if self.start is not None and self.start < 0:
            raise DomainError(say("where to start"), self.start, say("0 or more ticks from the start of the sequence"))
        if self.end is not None and self.end <= (self.start or 0):
            raise DomainError(say("where to end"), self.end, say("after the start"))
        if not 1 <= self.count_in_bars <= MOST_BARS_COUNTED:
            raise DomainError(
                say("the bars counted in"), self.count_in_bars, say("from 1 to {most}", most=MOST_BARS_COUNTED)
            )
        if not 1 <= self.subdivisions <= MOST_SUBDIVISIONS:
            raise DomainError(
                say("the clicks to a beat"), self.subdivisions, say("from 1 to {most}", most=MOST_SUBDIVISIONS)
            )
        if not 0.1 <= self.click_level <= 2:
            raise DomainError(say("the level of the click"), self.click_level, say("from 0.1 to 2"))
        if not 0 <= self.rise <= 1:
            raise DomainError(say("how much faster each time is"), self.rise, say("from 0 to 1"))


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
        raise DomainError(
            say("the stretch to play"), (start, end), say("inside the song's {ticks} ticks", ticks=song.length)
        )
    first, last = song.part_at(start), song.part_at(end - 1)
    before = song.part_onsets[first - 1]
    return Selection(tuple(range(first, last + 1)), start=start - before, end=end - before)


def bars_of_song(song: Song, words: str) -> Selection:
    """The bars named: ``5``, ``5-8``, or ``5-`` to the end; a pick-up is bar 0.

    Raises DomainError for other words, and for a bar that the song does not have.
    """
    found = _read(_BARS).fullmatch(words.strip())
    if found is None:
        raise DomainError(say("what says the bars to play"), words, say("such as “5-8”, “5” or “5-”"))
    first = int(found[1])
    last = song.bars[-1].number if found[2] and not found[3] else int(found[3] or first)
    spans = {bar.number: bar for bar in song.bars}
    for number in (first, last):
        if number not in spans:
            there = say("from {first} to {last}", first=song.bars[0].number, last=song.bars[-1].number)
            raise DomainError(say("the bar to play"), number, there)
    if last < first:
        raise DomainError(say("the bars to play"), words, say("the earlier one first"))
    return stretch(song, spans[first].onset, min(spans[last].end, song.length))


def parts_in_a_row(song: Song, words: str) -> Selection:
    """Parts in a row as one says it: ``3, then 1–3``, ``2 x 4, 1 to 2``.

    Raises DomainError for words that say nothing else, for a part that does not exist, and for more than
    `LONGEST_ROW` parts.
    """
    row: list[int] = []
    place, text = 0, words.strip().lower()
    stretches, between_stretches = _read(_STRETCH), _read(_BETWEEN)
    while place < len(text):
        found = stretches.match(text, place)
        if found is None:
            break
        first, last, times = int(found[1]), int(found[2] or found[1]), int(found[3] or 1)
        step = 1 if last >= first else -1
        for number in (first, last):
            song.part(number)
        row += list(range(first, last + step, step)) * times
        place = found.end()
        between = between_stretches.match(text, place)
        if between is None or between.end() == len(text):
            break
        place = between.end()
    if place < len(text) or not row:
        raise DomainError(say("the parts in a row"), words, say("part numbers such as “3, then 1–3” or “2 x 4”"))
    if len(row) > LONGEST_ROW:
        raise DomainError(say("how many parts are played in a row"), len(row), say("{most} at most", most=LONGEST_ROW))
    return Selection(tuple(row))


def _read(pattern: str) -> re.Pattern[str]:
    """A pattern with the words that join numbers, in English and in the language chosen."""
    to = {"to", say_in("from one number to another", "to")}
    then = {"then", say_in("one part after another", "then")}
    return re.compile(pattern.format(to=_either(to), then=_either(then)))


def _either(words: set[str]) -> str:
    return f"(?:{'|'.join(sorted(re.escape(word.lower()) for word in words))})"
