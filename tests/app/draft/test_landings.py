"""A landing that is dragged: where it may lie is drawn, and where it may not, the reason is said."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.widgets.change import Change
from app.widgets.chord_drag import LandingDrag, begin_chord_drag
from app.widgets.chord_places import beats_of_part, landing_moments, why_not_there
from app.widgets.selection import Kind, Place
from core.drawing.shapes import Circle, Role
from core.song.chord import Chord
from core.song.note import Note
from core.song.part import Part
from core.song.pitch import Pitch
from core.song.time import TICKS_PER_QUARTER
from core.teaching.naming import LETTER_NAMES
from core.theory.chord_symbols import parse_chord
from tests.helpers.open_window import OpenWindow
from tests.helpers.sheet_hands import LEFT, SheetHands, move_mouse
from tests.helpers.songs import heron_at_the_sluice, night_ferry

QUARTER = TICKS_PER_QUARTER


@pytest.fixture
def hands(opened: OpenWindow) -> SheetHands:
    return SheetHands(opened)


def beat(hands: SheetHands, part: int) -> float:
    """Pixels of a quarter note on the screen."""
    row = hands.row(part)
    return row.layout_of_row.pixels_per_tick * QUARTER * row.height() / row.picture.height


def hold(hands: SheetHands, part: int, chord: int, right: float) -> QPoint:
    """Take a chord by its pin and move it so many pixels, without letting go; where the mouse then is."""
    row, start = hands.row(part), hands.point("landing", part, chord)
    there = row.mapToGlobal(start) + QPoint(round(right), 0)
    QTest.mousePress(row, LEFT, pos=start)
    move_mouse(row, row.mapToGlobal(start) + QPoint(8, 0), Qt.KeyboardModifier.NoModifier)
    move_mouse(row, there, Qt.KeyboardModifier.NoModifier)
    return there


def said(hands: SheetHands) -> str:
    return hands.opened.window.bar.text


def test_a_chord_may_land_with_any_note_of_the_melody_or_on_a_beat_between_its_neighbours() -> None:
    def note(quarters: float) -> Note:
        return Note(round(quarters * QUARTER), QUARTER // 4, Pitch.parse("E4"))

    c = parse_chord("C")
    part = Part(
        6 * QUARTER,
        (note(0), note(1.25), note(2.5), note(4.75)),
        (Chord(0, 2 * QUARTER, c), Chord(2 * QUARTER, 2 * QUARTER, c), Chord(4 * QUARTER, 2 * QUARTER, c)),
    )
    moments = [moment / QUARTER for moment in landing_moments(part, 1, range(0, 6 * QUARTER, QUARTER))]
    assert moments == [1, 1.25, 2, 2.5, 3]


def test_beats_are_counted_from_the_bar_lines_and_not_from_the_start_of_a_part() -> None:
    song = heron_at_the_sluice()
    bars = [bar.onset for bar in song.bars if bar.number]
    for number, (start, part) in enumerate(zip(song.part_onsets, song.parts, strict=True), 1):
        beats = beats_of_part(song, number)
        within = [line - start for line in bars if start <= line < start + part.duration]
        assert set(within) <= set(beats)
        assert all(0 <= moment < part.duration for moment in beats)


def test_a_landing_that_is_dragged_to_the_chord_before_goes_back_and_says_what_is_in_the_way(hands: SheetHands) -> None:
    before = hands.opened.song
    hold(hands, 2, 1, -8 * beat(hands, 2))
    sentence = (
        "G cannot begin at bar 3, beat 1: A begins at bar 3, beat 1. Place it further right, or move or remove A first."
    )
    assert said(hands) == sentence
    assert hands.sheet.shown_song is before
    QTest.mouseRelease(hands.row(2), LEFT)
    assert hands.opened.song is before
    assert said(hands) == sentence, "it is still to be read after letting go"


def test_a_landing_that_is_dragged_on_to_where_it_may_lie_takes_its_message_back(hands: SheetHands) -> None:
    there = hold(hands, 2, 1, -8 * beat(hands, 2))
    assert "cannot begin" in said(hands)
    row = hands.row(2)
    move_mouse(row, there + QPoint(round(6 * beat(hands, 2)), 0), Qt.KeyboardModifier.NoModifier)
    assert "cannot begin" not in said(hands)
    QTest.mouseRelease(row, LEFT)
    assert hands.opened.song.parts[1].chords[1].onset == 6 * QUARTER


def test_a_given_up_drag_takes_its_message_back_too(hands: SheetHands) -> None:
    before = hands.opened.song
    hold(hands, 2, 1, -8 * beat(hands, 2))
    QTest.keyClick(hands.sheet, Qt.Key.Key_Escape)
    assert "cannot begin" not in said(hands)
    assert hands.opened.song is before


@pytest.mark.parametrize(
    ("part", "chord", "onset", "sentence"),
    [
        (1, 0, -1, "Em cannot begin before the song does. Place it further right."),
        (
            2,
            0,
            -QUARTER,
            "A cannot begin before part 2 does. Place it further right, or move the cut before part 2 first.",
        ),
        (
            2,
            0,
            8 * QUARTER,
            "A cannot begin at bar 5, beat 1: G begins at bar 5, beat 1. "
            "Place it further left, or move or remove G first.",
        ),
        (
            2,
            1,
            12 * QUARTER,
            "G cannot begin behind the end of part 2. Place it further left, or move the cut behind part 2 first.",
        ),
        (3, 1, 12 * QUARTER, "Em cannot begin behind the song's end. Place it further left."),
        (2, 1, 9 * QUARTER, ""),
    ],
)
def test_every_place_where_a_chord_cannot_begin_has_its_reason(
    part: int, chord: int, onset: int, sentence: str
) -> None:
    assert why_not_there(night_ferry(), Place(part, Kind.CHORD, chord), onset, LETTER_NAMES) == sentence


def test_a_chord_before_a_silence_says_where_it_ends() -> None:
    song = night_ferry()
    part = song.parts[0]
    short = Part(part.duration, part.notes, (Chord(0, 2 * QUARTER, parse_chord("Em")),))
    reason = why_not_there(song.with_part(1, short), Place(1, Kind.CHORD, 0), 5 * QUARTER, LETTER_NAMES)
    assert reason == (
        "Em cannot begin at bar 2, beat 2: it ends at bar 1, beat 3. "
        "Place it further left, or remove it and name it anew there."
    )


def test_while_a_landing_is_dragged_every_place_where_it_may_lie_is_drawn(hands: SheetHands) -> None:
    row, song = hands.row(2), hands.opened.song
    layout = row.layout_of_row
    drag = begin_chord_drag(Place(2, Kind.CHORD, 1), song.parts[1].chords[1], song, layout, by_pin=True)
    assert isinstance(drag, LandingDrag)
    rings = [shape for shape in drag.stops(layout, 8 * QUARTER) if isinstance(shape, Circle)]
    left = layout.lines[0].left + layout.lead
    places = [round((ring.x - left) / layout.pixels_per_tick / QUARTER) for ring in rings]
    assert places == [1, 2, 3, 4, 5, 6, 7, 9, 10, 11]
    with_a_note = [ring.fill is Role.SELECTED for ring in rings]
    melody = {note.onset // QUARTER for note in song.parts[1].melody}
    assert with_a_note == [place in melody for place in places]
    assert True in with_a_note
    assert False in with_a_note


def test_the_places_are_seen_only_while_the_drag_lasts(hands: SheetHands) -> None:
    row = hands.row(2)
    hands.opened.window.selection.select(Place(2, Kind.CHORD, 1))
    QApplication.processEvents()
    at_rest = row.grab().toImage()
    there = hold(hands, 2, 1, 20)
    move_mouse(row, there - QPoint(18, 0), Qt.KeyboardModifier.NoModifier)  # the chord lies where it lay
    assert row.grab().toImage() != at_rest
    QTest.keyClick(hands.sheet, Qt.Key.Key_Escape)
    assert row.grab().toImage() == at_rest


def test_a_landing_is_dragged_into_another_line_of_a_wrapped_row(opened: OpenWindow) -> None:
    opened.window.resize(900, 700)
    hands = SheetHands(opened)
    hands.sheet.set_zoom(150)
    QApplication.processEvents()
    row = hands.row(2)
    layout = row.layout_of_row
    assert len(layout.lines) > 1, "the row is wrapped"
    drag = begin_chord_drag(Place(2, Kind.CHORD, 1), opened.song.parts[1].chords[1], opened.song, layout, by_pin=True)
    assert isinstance(drag, LandingDrag)
    line, x = layout.point_of(8 * QUARTER)
    other = line - 1
    wanted = layout.lines[other].end - QUARTER
    change = drag.change(
        layout.x_of(wanted) - x, layout.lines[other].chords_top - layout.lines[line].chords_top, chromatic=False
    )
    assert isinstance(change, Change)
    assert change.edit(opened.song).parts[1].chords[1].onset == wanted


def test_by_keys_too_a_chord_that_cannot_move_says_why(hands: SheetHands) -> None:
    before = hands.opened.song
    hands.click("chord", 1, 0)
    hands.opened.window.page.desk.move_in_time(-1)
    assert said(hands) == "Em cannot begin before the song does. Place it further right."
    assert hands.opened.song is before
