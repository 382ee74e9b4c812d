"""What is said outside the parts: opening, run-throughs, embellishments, closing.

Words for a part's hands are `core.teaching.directions`; the teacher's own come before computed ones.
"""

from __future__ import annotations

from collections.abc import Sequence

from core.arranging.left_hand import LeftHandPattern
from core.song.song import Song
from core.teaching.number_words import number_word

CARE: str = "If anything hurts or feels tight, stop and rest; if it keeps hurting, ask a teacher or a doctor."


def the_section(song: Song) -> str:
    """What is taught: 'the verse of Night Ferry', or the title alone."""
    return f"the {song.section} of {song.title}" if song.section else song.title


def opening_words(song: Song, taught: Sequence[int]) -> tuple[str, ...]:
    """What is said before anything is taught."""
    count = len(taught)
    parts = "one part" if count == 1 else f"{number_word(count)} short parts"
    return (f"Hello. This is {the_section(song)}, in {song.key.spoken}.", f"Listen once; then we learn it in {parts}.")


def run_through_words(numbers: Sequence[int], last: bool) -> tuple[str, ...]:
    """What is said before parts are joined."""
    if last:
        return (f"Now everything, parts {numbers[0]} to {numbers[-1]}, without a stop.",)
    if len(numbers) == 2:
        return (f"Parts {numbers[0]} and {numbers[1]}, one after the other, without a stop.",)
    return (f"Parts {numbers[0]} to {numbers[-1]} without a stop.",)


def embellishment_words(pattern: LeftHandPattern, first: bool) -> tuple[str, ...]:
    """What is said before an embellishment is shown."""
    lead = "When the plain version feels easy, try this." if first else "Or like this."
    return (lead, pattern.words)


def closing_words(song: Song) -> tuple[str, ...]:
    """What is said at the end."""
    return (f"That is {the_section(song)}. Play it slowly first, and a few minutes at a time.", CARE)
