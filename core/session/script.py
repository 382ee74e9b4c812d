"""What is said outside the parts: opening, run-throughs, embellishments, closing.

Words for a part's hands are `core.teaching.directions`; the teacher's own come before computed ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from core.song.song import Song
from core.teaching.counting import counting_sentence
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word

MOST_STRETCHES_SAID: Final = 4
"""A song that jumps more often is shown, not told."""
CARE: str = "If anything hurts or feels tight, stop and rest; if it keeps hurting, ask a teacher or a doctor."


def the_section(song: Song) -> str:
    """What is taught: 'the verse of Night Ferry', or the title alone."""
    return f"the {song.section} of {song.title}" if song.section else song.title


def opening_words(song: Song, taught: Sequence[int], names: Names = LETTER_NAMES) -> tuple[str, ...]:
    """What is said before anything is taught; in a compound metre also how its counts go with its beats."""
    how = "" if len(taught) == 1 else f" in {number_word(len(taught))} short parts"
    counted = counting_sentence(song.metre)
    return (
        f"Hello. This is {the_section(song)}, in {names.key_said(song.key)}.",
        *((counted,) if counted else ()),
        f"Listen once; then we learn it{how}.",
    )


def run_through_words(song: Song, numbers: Sequence[int], last: bool) -> tuple[str, ...]:
    """What is said before parts are joined; before the last of them also in which order the song plays them."""
    if last:
        which = "both parts" if len(numbers) == 2 else f"parts {numbers[0]} to {numbers[-1]}"
        return (f"Now everything, {which}, without a stop.", *_order_words(song))
    if len(numbers) == 2:
        return (f"Parts {numbers[0]} and {numbers[1]}, one after the other, without a stop.",)
    return (f"Parts {numbers[0]} to {numbers[-1]} without a stop.",)


def _order_words(song: Song) -> tuple[str, ...]:
    """The song's own order where parts come back in it: 'parts 1 to 4, then part 1 again, then part 5'."""
    stretches = stretches_of(song.playing_order)
    if not 1 < len(stretches) <= MOST_STRETCHES_SAID:
        return ()
    words: list[str] = []
    heard: set[int] = set()
    for stretch in stretches:
        again = " again" if heard.issuperset(stretch) else ""
        which = f"part {stretch[0]}" if len(stretch) == 1 else f"parts {stretch[0]} to {stretch[-1]}"
        words.append(f"{which}{again}")
        heard.update(stretch)
    return (f"In the song itself they come like this: {', then '.join(words)}.",)


def stretches_of(order: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """A playing order as runs of parts that follow one another in the written song."""
    stretches: list[list[int]] = []
    for number in order:
        if stretches and stretches[-1][-1] + 1 == number:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    return tuple(map(tuple, stretches))


def embellishment_words(words: str, first: bool) -> tuple[str, ...]:
    """What is said before an embellishment is shown, with the words for what the hand does."""
    lead = "When the plain version feels easy, try this." if first else "Or like this."
    return (lead, words)


def closing_words(song: Song) -> tuple[str, ...]:
    """What is said at the end."""
    return (f"That is {the_section(song)}. Play it slowly first, and a few minutes at a time.", CARE)
