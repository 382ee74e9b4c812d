"""What a drawing says, in letters and to those who do not see it, can be said in another language."""

from collections.abc import Sequence

import pytest
from msgspec.structs import replace

from core.drawing.hit_testing import box_of
from core.drawing.keyboard import LitKey, lay_out_keyboard, range_of_size
from core.drawing.lesson_sheet import RowFacts, lay_out_row
from core.drawing.metrics import FontMetrics
from core.drawing.row_label import bars_in_words
from core.drawing.row_marks import WORDS, Mark
from core.drawing.row_slices import slices
from core.drawing.shapes import Picture, Rectangle, Text
from core.drawing.sheet_style import sheet_style
from core.edits.set_teaching import set_taught
from core.session.analysis import analyse_part
from core.song.errors import DomainError
from core.song.metre import Bar
from core.song.note import Hand
from core.song.song import Song
from core.song.wording import speak
from tests.helpers.drawn_songs import hard_songs
from tests.helpers.font_metrics import font_metrics
from tests.helpers.marked_language import MarkedLanguage
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import night_ferry

METRICS = font_metrics()
NAMES_OF_NOTES = {"sharp", "flat"}
CHORDS = {"maj", "dim", "aug", "sus", "add", "min", "alt", "omit"}
"""What stands in chord symbols."""


def everything_said(picture: Picture) -> list[str]:
    """The words that a picture shows, gives as hints or describes itself by, and that were never said."""
    shown = [shape.text for shape in picture.shapes if isinstance(shape, Text)]
    hints = [shape.hint for shape in picture.shapes if isinstance(shape, Rectangle)]
    words = words_unsaid(" ".join((*shown, *hints, picture.description)))
    return [word for word in words if word.lstrip("ABCDEFG") not in NAMES_OF_NOTES | CHORDS]


def suggested(song: Song) -> Song:
    parts = (replace(part, chords=tuple(replace(chord, given=False) for chord in part.chords)) for part in song.parts)
    return replace(song, parts=tuple(parts))


def untaught(song: Song) -> Song:
    return set_taught(song, 1, False)


@pytest.mark.parametrize("song", [night_ferry(), suggested(night_ferry()), untaught(night_ferry()), *hard_songs()])
@pytest.mark.parametrize("buttons", [True, False])
def test_the_rows_of_a_lesson_sheet_are_said(song: Song, buttons: bool) -> None:
    style = sheet_style(song, METRICS, 620.0, buttons=buttons)
    for number in range(1, min(3, len(song.parts)) + 1):
        facts = RowFacts.of(analyse_part(song, number), 67.0)
        with open_places():
            row = lay_out_row(song, number, style, METRICS, analysis=facts)
            assert everything_said(row.picture) == []
            for piece in slices(row, 120.0, METRICS):
                assert everything_said(piece) == []


def test_bars_are_said_in_two_lines_that_a_language_may_divide_as_it_likes() -> None:
    bars: Sequence[Bar] = night_ferry().bars
    with open_places():
        for some in (bars[:1], bars[:3]):
            above, below = bars_in_words(some)
            assert above.startswith("⟦bar")
            assert words_unsaid(f"{above} {below}") == []


def test_the_keyboard_is_said() -> None:
    for lit in ({}, {60: LitKey(Hand.RIGHT, 1, wanted=True)}, {60: LitKey(None), 62: LitKey(Hand.LEFT, wanted=True)}):
        with open_places():
            assert everything_said(lay_out_keyboard(48, 72, 900.0, 120.0, lit, METRICS)) == []
    with open_places():
        for refused in (
            lambda: range_of_size(50, set()),
            lambda: lay_out_keyboard(72, 48, 900.0, 120.0, {}, METRICS),
            lambda: FontMetrics.of_table({}),
        ):
            with pytest.raises(DomainError) as error:
                refused()
            assert words_unsaid(f"{error.value.field} {error.value.expected}") == []


def test_what_stands_beside_a_played_note_is_said_and_the_name_of_a_wrong_key_is_left() -> None:
    with open_places():
        assert [Mark(sign).words[0] for sign in WORDS] == [f"⟦{word}⟧" for word in WORDS.values()]
        assert Mark("wrong", "E♭").words == ("E♭", "")
        assert Mark("right").words == ("",)


class Long(MarkedLanguage):
    """A language that says everything at greater length."""

    def gettext(self, message: str, /) -> str:
        return f"{message}abcdef"


def test_the_column_at_a_rows_left_stays_inside_its_room_in_a_language_of_longer_words() -> None:
    song = night_ferry()
    style = sheet_style(song, METRICS, 900.0)
    speak(Long())
    try:
        row = lay_out_row(song, 2, style, METRICS, analysis=RowFacts.of(analyse_part(song, 2), 67.0))
    finally:
        speak(None)
    shapes = row.picture.shapes
    buttons = [one for one in shapes if isinstance(one, Rectangle) and one.subject and one.subject.kind == "play-part"]
    labels = [one for one in shapes if isinstance(one, Text) and one.subject and one.subject.kind == "play-part"]
    assert [text.text for text in labels] == ["partabcdef"]
    assert box_of(labels[0], METRICS).right <= buttons[0].x + buttons[0].width
