"""Everything that can be played, asked for in the real window and on the command line: the same is heard."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.engine.protocol import Play, Speed
from app.listen.piece import Piece
from app.main import main
from app.resources import demo_songs
from app.widgets.selection import Kind, Place
from app.window.header import Workspace
from core.performance.in_a_row import at_speed
from core.performance.schedule import Schedule
from core.song.note import Hand
from tests.app.engine.fakes import Bench, heard_through, two_notes
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.sheet_hands import SheetHands
from tests.helpers.songs import night_ferry

Heard = list[tuple[float, str, int, int]]


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path) -> Iterator[OpenWindow]:
    assert qtbot is not None
    with open_window(night_ferry(), tmp_path, (1280, 720)) as found:
        found.window.show_workspace(Workspace.LISTEN)
        yield found


@pytest.fixture
def typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Schedule]:
    """Plays Night Ferry from the command line; what would have been heard."""
    given: list[Schedule] = []

    def play(schedule: Schedule, *_: object, **__: object) -> str:
        given.append(schedule)
        return "piano"

    def run(*words: str) -> Schedule:
        assert main(["play", str(tmp_path / "song.lesson"), *words]) == 0
        return given[-1]

    shutil.copy(demo_songs()[0], tmp_path / "song.lesson")
    monkeypatch.setattr("app.engine.player.play_schedule", play)
    return run


def heard(schedule: Schedule) -> Heard:
    """Every strike and click: keys come up a little before they are struck again, however fast it is played."""
    return [
        (round(event.seconds, 6), event.kind, event.midi, event.velocity)
        for event in schedule.events
        if event.kind in ("on", "click")
    ]


def press(opened: OpenWindow, key: Qt.Key, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    QTest.keyClick(opened.window.page.sheet, key, modifiers)


def the_part(opened: OpenWindow) -> None:
    opened.window.selection.select(Place(2))
    press(opened, Qt.Key.Key_Space)


def the_parts_up_to_it(opened: OpenWindow) -> None:
    opened.window.selection.select(Place(2))
    press(opened, Qt.Key.Key_Space, Qt.KeyboardModifier.ShiftModifier)


def the_song(opened: OpenWindow) -> None:
    press(opened, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)


def the_notes_selected(opened: OpenWindow) -> None:
    """Bars two to four, across a cut, by a click on their first note and one with Shift on their last."""
    song = opened.song
    bars = [bar for bar in song.bars if bar.number in (2, 3, 4)]
    inside = [
        (number, index)
        for number, (begin, part) in enumerate(zip(song.part_onsets, song.parts, strict=True), 1)
        for index, note in enumerate(part.notes)
        if note.melody and bars[0].onset <= begin + note.onset < bars[-1].end
    ]
    opened.window.selection.select(Place(inside[0][0], Kind.NOTE, inside[0][1]))
    opened.window.selection.extend_to(Place(inside[-1][0], Kind.NOTE, inside[-1][1]), song)
    press(opened, Qt.Key.Key_Space)


def parts_in_a_row(opened: OpenWindow) -> None:
    row = opened.window.page.listen_panel.practice.row
    QTest.keyClicks(row, "3, then 1-3")
    QTest.keyClick(row, Qt.Key.Key_Return)


def a_segment(opened: OpenWindow) -> None:
    menu = opened.window.menus.segments
    menu.aboutToShow.emit()
    number, title = opened.window.player.segments()[3]
    next(action for action in menu.actions() if title in action.text()).trigger()
    assert opened.window.player.piece == Piece("segment", number)


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (the_part, ("--part", "2")),
        (the_parts_up_to_it, ("--through", "2")),
        (the_song, ()),
        (the_notes_selected, ("--bars", "2-4")),
        (parts_in_a_row, ("--parts", "3, then 1-3")),
    ],
)
def test_the_same_is_played_from_the_window_and_from_the_command_line(
    opened: OpenWindow, typed: Callable[..., Schedule], ask: Callable[[OpenWindow], None], words: tuple[str, ...]
) -> None:
    ask(opened)
    assert opened.engine.playing
    assert heard(opened.engine.schedule) == heard(typed(*words))
    press(opened, Qt.Key.Key_Space)
    assert not opened.engine.playing


def test_a_segment_is_played_as_it_is_recorded_with_its_count_in_its_repeats_and_the_tempo_of_each(
    opened: OpenWindow, typed: Callable[..., Schedule]
) -> None:
    opened.settings.change(first_play_percent=80, last_play_percent=100)
    a_segment(opened)
    slower = opened.engine.schedule
    opened.window.player.stop()
    opened.settings.change(first_play_percent=100)
    a_segment(opened)
    piece = opened.window.player.piece
    assert piece is not None
    assert heard(opened.engine.schedule) == heard(typed("--segment", str(piece.number)))
    kinds = [event.kind for event in opened.engine.schedule.events]
    assert kinds[:4] == ["click"] * 4
    assert len([place for place in slower.positions if place[2] == 0]) > 1, "it is played more than once"
    assert slower.length > opened.engine.schedule.length


@pytest.mark.parametrize(
    ("choices", "words"),
    [
        ({"hands": "right"}, ("--hand", "right")),
        ({"hands": "left"}, ("--hand", "left")),
        ({"hands": "both"}, ()),
        ({"softer": "left"}, ("--softer", "left")),
        ({"softer": "right"}, ("--softer", "right")),
        ({"count_in": True}, ("--count-in",)),
        ({"metronome": True}, ("--metronome", "1")),
        ({"metronome": True, "clicks": 3}, ("--metronome", "3")),
        ({"metronome": True, "click_percent": 50}, ("--metronome", "1", "--click", "50")),
        ({"speed": 80, "again": True, "faster": 10}, ("--speed", "80", "--times", "3", "--rise", "12.5")),
        ({"speed": 30}, ("--speed", "30")),
        ({"speed": 120}, ("--speed", "120")),
    ],
)
def test_it_is_played_in_the_same_ways_too(
    opened: OpenWindow, typed: Callable[..., Schedule], choices: dict[str, object], words: tuple[str, ...]
) -> None:
    opened.settings.change(**choices)
    the_part(opened)
    in_window = at_speed(opened.engine.schedule, opened.engine.speed)
    assert heard(in_window) == heard(typed("--part", "2", *words))


def test_the_metronome_accents_the_bar_and_is_softest_between_the_beats(opened: OpenWindow) -> None:
    opened.settings.change(metronome=True, clicks=2, hands="right")
    the_part(opened)
    clicks = [event.velocity for event in opened.engine.schedule.events if event.kind == "click"]
    bar, between, beat = clicks[0], clicks[1], clicks[2]
    assert bar > beat > between
    assert clicks[: len(clicks) // 2 * 2 : 2] == [bar, beat, beat, beat] * (len(clicks) // 8)


@pytest.mark.parametrize(("count_again", "first"), [(False, "on"), (True, "click")])
def test_a_loop_turns_to_its_count_in_or_past_it(opened: OpenWindow, count_again: bool, first: str) -> None:
    opened.settings.change(again=True, count_in=True, count_again=count_again)
    the_part(opened)
    assert opened.engine.looped is not None
    begin, end = opened.engine.looped
    assert end == opened.engine.schedule.length
    assert next(event.kind for event in opened.engine.schedule.events if event.seconds >= begin - 1e-9) == first


def test_a_click_on_a_note_goes_there_while_it_plays(opened: OpenWindow) -> None:
    the_song(opened)
    note = next(index for index, one in enumerate(opened.song.parts[1].notes) if one.melody and one.onset > 0)
    SheetHands(opened).click("note", 2, note)
    wanted = opened.engine.schedule.seconds_of(2, opened.song.parts[1].notes[note].onset)
    assert wanted is not None
    assert opened.engine.seconds == pytest.approx(wanted)
    assert opened.engine.playing


def test_a_note_changed_while_it_plays_is_heard_from_the_next_event_on(opened: OpenWindow) -> None:
    hands = SheetHands(opened)
    the_song(opened)
    opened.engine.move_to(3.0)
    before = [event for event in opened.engine.schedule.events if event.kind == "on" and event.hand is Hand.RIGHT]
    hands.click("note", 3, 1)
    opened.engine.move_to(3.0)
    hands.type("b")
    assert opened.engine.told[-1] == ("exchange", pytest.approx(3.0))
    after = [event for event in opened.engine.schedule.events if event.kind == "on" and event.hand is Hand.RIGHT]
    changed = [(one.midi, other.midi) for one, other in zip(before, after, strict=True) if one.midi != other.midi]
    assert len(changed) == 1


def test_speed_from_thirty_to_a_hundred_and_twenty_percent_changes_without_a_jump() -> None:
    bench = Bench()
    try:
        bench.do(heard_through("Synth"), two_notes(length=60.0), Play())
        before = bench.engine._scheduler.position(bench.clock())
        for percent in (100, 30, 120, 45, 90, 60, 110, 30, 120, 100):
            bench.do(Speed(percent / 100))
            assert bench.engine._scheduler.position(bench.clock()) == pytest.approx(before, abs=1e-9)
            for _ in range(50):
                bench.run(0.005)
                position = bench.engine._scheduler.position(bench.clock())
                assert position - before == pytest.approx(0.005 * percent / 100, abs=1e-9)
                before = position
        seconds = [report.seconds for report in bench.positions if report.playing]
        assert seconds == sorted(seconds)
        assert not [message for message in bench.port().messages if message[0] == 0x80], "the note goes on sounding"
    finally:
        bench.engine.close()
