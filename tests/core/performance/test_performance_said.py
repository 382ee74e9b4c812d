"""What playing refuses, and what may be typed to choose parts and bars, in another language."""

from collections.abc import Callable

import pytest

from core.performance.output import HandChannel, Output
from core.performance.schedule import Schedule, make_schedule
from core.performance.scheduler import Scheduler
from core.performance.selection import Selection, bars_of_song, parts_in_a_row, stretch
from core.song.errors import DomainError
from core.song.wording import speak
from tests.helpers.marked_language import MarkedLanguage
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import night_ferry

SONG = night_ferry()
REFUSED: tuple[Callable[[], object], ...] = (
    lambda: Selection(()),
    lambda: Selection((1,), speed=9.0),
    lambda: Selection((1,), times=0),
    lambda: Selection((1,), start=-1),
    lambda: Selection((1,), start=4, end=4),
    lambda: Selection((1,), count_in_bars=9),
    lambda: Selection((1,), subdivisions=9),
    lambda: Selection((1,), click_level=9.0),
    lambda: Selection((1,), rise=9.0),
    lambda: stretch(SONG, 5, 4),
    lambda: bars_of_song(SONG, "?"),
    lambda: bars_of_song(SONG, "999"),
    lambda: bars_of_song(SONG, "3-2"),
    lambda: parts_in_a_row(SONG, "?"),
    lambda: parts_in_a_row(SONG, "1 x 99, 1 x 99, 1 x 99"),
    lambda: HandChannel(10),
    lambda: HandChannel(1, 129),
    lambda: Output(""),
    lambda: Output("1", latency=9000),
    lambda: Output("1", HandChannel(1, 1), HandChannel(1, 2)),
    lambda: Schedule().place(0.0),
    lambda: make_schedule(SONG, Selection((1,), start=10**9)),
    lambda: Scheduler().loop(3.0, 2.0),
    lambda: Scheduler().set_speed(0.0, 9.0),
)


class German(MarkedLanguage):
    """Has the two words that join numbers."""

    def gettext(self, message: str, /) -> str:
        return message

    def pgettext(self, _context: str, message: str, /) -> str:
        return {"to": "bis", "then": "dann"}.get(message, message)


@pytest.mark.parametrize("make", REFUSED)
def test_what_is_refused_is_said(make: Callable[[], object]) -> None:
    with open_places():
        with pytest.raises(DomainError) as refused:
            make()
        assert words_unsaid(f"{refused.value.field} {refused.value.expected}") == []


def test_parts_and_bars_may_be_typed_in_english_and_in_the_language_chosen() -> None:
    english = parts_in_a_row(SONG, "3, then 1 to 2"), bars_of_song(SONG, "2 to 4")
    speak(German())
    try:
        assert (parts_in_a_row(SONG, "3, dann 1 bis 2"), bars_of_song(SONG, "2 bis 4")) == english
        assert (parts_in_a_row(SONG, "3, then 1 to 2"), bars_of_song(SONG, "2 to 4")) == english
    finally:
        speak(None)
    with pytest.raises(DomainError):
        parts_in_a_row(SONG, "3, dann 1 bis 2")
