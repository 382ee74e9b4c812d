"""What is said outside the parts: opening, run-throughs, embellishments, closing.

Words for a part's hands are `core.teaching.directions`; the teacher's own come before computed ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from core.song.song import Song
from core.song.wording import say, say_counted, to_say
from core.teaching.counting import counting_sentence
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word

MOST_STRETCHES_SAID: Final = 4
"""A song that jumps more often is shown, not told."""
CARE: Final = to_say("If anything hurts or feels tight, stop and rest; if it keeps hurting, ask a teacher or a doctor.")


def the_section(song: Song) -> str:
    """What is taught: 'the verse of Night Ferry', or the title alone."""
    if not song.section:
        return song.title
    return say("the {section} of {title}", section=song.section, title=song.title)


def opening_words(song: Song, taught: Sequence[int], names: Names = LETTER_NAMES) -> tuple[str, ...]:
    """What is said before anything is taught; in a compound metre also how its counts go with its beats."""
    counted = counting_sentence(song.metre)
    return (
        say("Hello. This is {song}, in {key}.", song=the_section(song), key=names.key_said(song.key)),
        *((counted,) if counted else ()),
        say_counted(
            "Listen once; then we learn it.",
            "Listen once; then we learn it in {number} short parts.",
            len(taught),
            number=number_word(len(taught)),
        ),
    )


def run_through_words(song: Song, numbers: Sequence[int], last: bool) -> tuple[str, ...]:
    """What is said before parts are joined; before the last of them also in which order the song plays them."""
    first, final = numbers[0], numbers[-1]
    if last and len(numbers) == 2:
        return (say("Now everything, both parts, without a stop."), *_order_words(song))
    if last:
        everything = say("Now everything, parts {first} to {last}, without a stop.", first=first, last=final)
        return (everything, *_order_words(song))
    if len(numbers) == 2:
        return (say("Parts {first} and {last}, one after the other, without a stop.", first=first, last=final),)
    return (say("Parts {first} to {last} without a stop.", first=first, last=final),)


def _order_words(song: Song) -> tuple[str, ...]:
    """The song's own order where parts come back in it: 'parts 1 to 4, then part 1 again, then part 5'."""
    stretches = stretches_of(song.playing_order)
    if not 1 < len(stretches) <= MOST_STRETCHES_SAID:
        return ()
    told = ""
    heard: set[int] = set()
    for stretch in stretches:
        parts = _stretch_said(stretch, again=heard.issuperset(stretch))
        told = say("{before}, then {parts}", before=told, parts=parts) if told else parts
        heard.update(stretch)
    return (say("In the song itself they come like this: {order}.", order=told),)


def _stretch_said(stretch: Sequence[int], *, again: bool) -> str:
    if len(stretch) == 1:
        text = to_say("part {number} again") if again else to_say("part {number}")
        return say(text, number=stretch[0])
    text = to_say("parts {first} to {last} again") if again else to_say("parts {first} to {last}")
    return say(text, first=stretch[0], last=stretch[-1])


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
    lead = say("When the plain version feels easy, try this.") if first else say("Or like this.")
    return (lead, words)


def closing_words(song: Song) -> tuple[str, ...]:
    """What is said at the end."""
    goodbye = say("That is {song}. Play it slowly first, and a few minutes at a time.", song=the_section(song))
    return (goodbye, say(CARE))
