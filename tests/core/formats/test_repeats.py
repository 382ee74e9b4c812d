"""Repeat signs, endings and jumps: sections, the order in which they are played, and back to signs."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.formats.musicxml_reader import MusicXmlReader
from core.formats.repeat_signs import signs_for
from core.formats.repeats import sections_of
from core.formats.source import SourceBar
from core.song.song import Song
from core.song.time import quarters
from tests.helpers.musicxml_text import attributes, note, repeat, score


def bars(signs: str) -> list[SourceBar]:
    """Bars from text: ``|:`` and ``:|`` around letters, ``1`` before an ending's bars, ``$ @ > ! *`` for jumps.

    ``$`` segno, ``@`` coda, ``>`` to coda, ``!`` fine, ``*`` D.C., ``%`` D.S., each after its bar's letter.
    """
    found: list[SourceBar] = []
    starts = False
    ending: tuple[int, ...] = ()
    place = 0
    while place < len(signs):
        sign = signs[place]
        if signs.startswith("|:", place):
            starts, ending = True, ()
            place += 1
        elif signs.startswith(":|", place):
            found[-1] = changed(found[-1], repeat_times=2)
            ending = ()
            place += 1
        elif sign.isdecimal():
            ending = (int(sign),)
        elif sign == "|":
            ending = ()
        elif sign.isalpha():
            found.append(SourceBar(len(found), 1, repeat_start=starts, endings=ending))
            starts = False
        elif sign in "$@>!*%":
            kind = {"$": "segno", "@": "coda", ">": "to_coda", "!": "fine", "*": "jump", "%": "jump"}[sign]
            value = {"*": "capo", "%": "segno"}.get(sign, True)
            found[-1] = changed(found[-1], **{kind: value})
        place += 1
    return found


def changed(bar: SourceBar, **signs: object) -> SourceBar:
    return replace(bar, **signs)


def played(signs: str) -> str:
    """The letters of the bars as they are played."""
    letters = [sign for sign in signs if sign.isalpha()]
    sections = sections_of(bars(signs))
    ends = [*sections.starts[1:], len(letters)]
    return "".join("".join(letters[sections.starts[number - 1] : ends[number - 1]]) for number in sections.order)


@pytest.mark.parametrize(
    ("signs", "order"),
    [
        ("A B C", "ABC"),
        ("A B :| C", "ABABC"),
        ("A |: B :| C", "ABBC"),
        ("A :| |: B :|", "AABB"),
        ("A :| B :|", "AABB"),
        ("|: A 1 B :| 2 C | D", "ABACD"),
        ("|: A 1 B :| 2 C :| 3 D", "ABACAD"),
        ("|: A 1 B :| C", "ABAC"),
        ("|: A 1 B :| 3 C", "ABAC"),
        ("|: A 1 B 2 C | D", "ABACD"),
        ("A |: B 1 C :| 2 D |: E 1 F :| 2 G", "ABCBDEFEG"),
        ("A B! C*", "ABCAB"),
        ("A B$ C D%", "ABCDBCD"),
        ("A$ B> C% D@ E", "ABCABDE"),
        ("|: A :| B! C*", "AABCAB"),
        ("|: A 1 B :| 2 C D* E", "ABACDACDE"),
    ],
)
def test_signs_are_played_as_musicians_play_them(signs: str, order: str) -> None:
    assert played(signs) == order


def test_sections_begin_at_every_sign() -> None:
    assert sections_of(bars("A |: B C 1 D :| 2 E | F G")).starts == (0, 1, 3, 4, 5)


def test_a_plain_song_is_one_section() -> None:
    sections = sections_of(bars("A B C D"))
    assert (sections.starts, sections.order, sections.warnings) == ((0,), (1,), ())


@given(
    st.lists(
        st.sampled_from(["A", "|:A", "A:|", "1A", "2A", "A$", "A@", "A>", "A!", "A*", "A%", "|A"]),
        min_size=1,
        max_size=10,
    )
)
@settings(max_examples=300, deadline=None)
def test_any_signs_are_played_to_an_end(pieces: list[str]) -> None:
    sections = sections_of(bars(" ".join(pieces)))
    assert sections.order
    assert set(sections.order) <= set(range(1, len(sections.starts) + 1))


@given(st.integers(1, 6), st.data())
@settings(max_examples=200, deadline=None)
def test_signs_for_a_playing_order_play_exactly_that_order(count: int, data: st.DataObject) -> None:
    order = tuple(data.draw(st.lists(st.integers(1, count), min_size=1, max_size=8)))
    signs = signs_for(count, order)
    if signs is not None:
        sections = sections_of(signs)
        ends = [*sections.starts[1:], count]
        parts = [part + 1 for number in sections.order for part in range(sections.starts[number - 1], ends[number - 1])]
        assert tuple(parts) == order


@pytest.mark.parametrize(
    ("count", "order"),
    [
        (3, (1, 2, 1, 3)),
        (4, (1, 2, 2, 3, 4)),
        (5, (1, 2, 3, 2, 4, 5)),
        (4, (1, 2, 1, 2, 1, 3, 4)),
        (3, (1, 2, 3, 1)),
        (3, (1, 1, 1, 2, 3)),
    ],
)
def test_common_orders_have_signs(count: int, order: tuple[int, ...]) -> None:
    assert signs_for(count, order) is not None


@pytest.mark.parametrize("order", [(3, 2, 1), (1, 3), (2, 1, 3)])
def test_an_order_that_no_signs_say_has_none(order: tuple[int, ...]) -> None:
    assert signs_for(3, order) is None


def read(*contents: str) -> Song:
    first = attributes() + contents[0]
    return MusicXmlReader().read("x.musicxml", score([first, *contents[1:]])).song


def test_repeats_of_a_score_cut_it_into_parts() -> None:
    song = read(note("C4", 16), repeat("forward") + note("D4", 16), note("E4", 16) + repeat("backward"), note("F4", 16))
    assert [quarters(onset) for onset in song.part_onsets] == [0, 4, 12]
    assert song.playing_order == (1, 2, 2, 3)


def test_endings_of_a_score_are_parts_of_their_own() -> None:
    song = read(
        note("C4", 16),
        repeat("", ending="1", ending_type="start")
        + note("D4", 16)
        + repeat("backward", ending="1", ending_type="stop"),
        repeat("", ending="2", ending_type="start") + note("E4", 16) + repeat("", ending="2", ending_type="stop"),
        note("F4", 16),
    )
    assert song.playing_order == (1, 2, 1, 3, 4)
    assert len(list(song.placed_notes())) == 4


def test_a_repeat_of_more_than_two_times_is_played_so_often() -> None:
    assert read(note("C4", 16) + repeat("backward", times=4), note("D4", 16)).playing_order == (1, 1, 1, 1, 2)


def test_an_ending_whose_bracket_is_too_short_lasts_to_its_repeat_sign() -> None:
    song = read(
        note("C4", 16),
        repeat("", ending="1", ending_type="start") + note("D4", 16) + repeat("", ending="1", ending_type="stop"),
        note("E4", 16) + repeat("backward"),
        repeat("", ending="2", ending_type="start") + note("F4", 16),
    )
    assert [quarters(onset) for onset in song.part_onsets] == [0, 4, 12]
    assert song.playing_order == (1, 2, 1, 3)


@pytest.mark.parametrize(
    "jump",
    [
        "<direction><direction-type><words>D.C. al Fine</words></direction-type></direction>",
        '<direction><direction-type><words>from the start</words></direction-type><sound dacapo="yes"/></direction>',
        '<sound dacapo="yes"/>',
    ],
)
def test_a_da_capo_is_followed(jump: str) -> None:
    fine = "<direction><direction-type><words>Fine</words></direction-type></direction>"
    assert read(note("C4", 16) + fine, note("D4", 16) + jump).playing_order == (1, 2, 1)


def test_segno_and_coda_are_followed() -> None:
    def sign(kind: str) -> str:
        return f"<direction><direction-type><{kind}/></direction-type></direction>"

    words = "<direction><direction-type><words>D.S. al Coda</words></direction-type></direction>"
    song = read(
        note("C4", 16),
        sign("segno") + note("D4", 16) + sign("coda"),
        note("E4", 16) + words,
        sign("coda") + note("F4", 16),
    )
    assert song.playing_order == (1, 2, 3, 2, 4)
