"""Playing along: what is kept of each round, what the music waits for, which keys are lit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.document.document import LessonDocument
from app.engine.protocol import KeyJudged, Ports
from app.listen.piece import Piece
from app.listen.player import Player
from app.settings.settings_store import SettingsStore
from core.drawing.keyboard import LitKey
from core.drawing.shapes import Subject
from core.edits.rename_note import rename_note
from core.edits.split_part import split_part
from core.performance.following import Verdict
from core.session.analysis import analyse_part
from core.song.note import Hand
from core.song.pitch import Pitch
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.fake_engine import FakeEngine
from tests.helpers.songs import night_ferry


@dataclass
class Room:
    document: LessonDocument
    settings: SettingsStore
    engine: FakeEngine
    player: Player

    def judge(self, verdict: Verdict, number: int) -> None:
        note = self.engine.meant[number]
        self.engine.judged.emit(KeyJudged(verdict, note.midi, note.seconds, 0.12))

    def press(self, midi: int, *, on: bool = True) -> None:
        self.engine.key.emit(midi, 80 if on else 0, on, 0.0)

    @property
    def verdicts(self) -> dict[tuple[str, int, int], list[Verdict]]:
        parts = (self.player.along.fates_in(number) for number in range(1, len(self.document.song.parts) + 1))
        found = {subject: fates for part in parts for subject, fates in part.items() if subject.kind != "part"}
        return {(s.kind, s.part, s.index): [fate.verdict for fate in fates] for s, fates in found.items()}


@pytest.fixture
def room(qtbot: QtBot, tmp_path: Path) -> Iterator[Room]:
    assert qtbot is not None
    document, settings, engine = LessonDocument(night_ferry()), SettingsStore(tmp_path / "s.json"), FakeEngine()
    settings.change(own_hands="right", count_in=False, again=False)
    player = Player(document, settings, engine)
    yield Room(document, settings, engine, player)
    player.close()


def test_verdicts_belong_to_the_notes_they_are_about(room: Room) -> None:
    room.player.play(Piece("through", 2))
    first = len(room.document.song.part(1).notes)
    room.judge("right", 0)
    room.judge("late", 1)
    room.judge("missed", first)
    assert room.verdicts == {("note", 1, 0): ["right"], ("note", 1, 1): ["late"], ("note", 2, 0): ["missed"]}


def test_the_left_hands_verdicts_belong_to_its_chords(room: Room) -> None:
    room.settings.change(own_hands="left")
    room.player.play(Piece("part", 2))
    chord = room.document.song.part(2).chords[1]
    later = next(n for n, note in enumerate(room.engine.meant) if note.seconds > room.engine.meant[0].seconds)
    room.judge("early", 0)
    room.judge("apart", later)
    assert room.verdicts == {("chord", 2, 0): ["early"], ("chord", 2, 1): ["apart"]}
    assert room.player.along.fates[1].asked.tick == chord.onset


def test_a_wrong_key_is_told_at_the_note_nearest_to_it(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.engine.move_to(room.engine.meant[2].seconds + 0.05)
    room.engine.judged.emit(KeyJudged("wrong", 61, None, 0.0))
    assert room.verdicts == {("note", 1, 2): ["wrong"]}
    assert room.player.along.fates[0].midi == 61


def test_a_verdict_about_what_does_not_play_any_more_is_dropped(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.engine.judged.emit(KeyJudged("late", 64, 99.5, 0.2))
    assert room.verdicts == {}


def test_the_last_round_stays_until_the_next_begins(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.judge("late", 1)
    room.engine.end()
    assert room.verdicts == {("note", 1, 1): ["late"]}
    told = room.player.along.told
    assert "Bar 1: the G came late" in told
    room.player.play(Piece("part", 1))
    assert room.verdicts == {}
    assert room.player.along.told == told


def test_a_loop_that_begins_again_begins_a_round(room: Room) -> None:
    room.settings.change(again=True)
    room.player.play(Piece("part", 1))
    room.judge("late", 1)
    room.engine.move_to(4.0)
    room.engine.move_to(3.9)
    assert room.verdicts == {("note", 1, 1): ["late"]}
    room.engine.move_to(0.1)
    assert room.verdicts == {}


def test_a_verdict_that_outruns_the_position_begins_the_round_of_a_loop(room: Room) -> None:
    room.settings.change(again=True)
    room.player.play(Piece("part", 1))
    room.judge("late", 0)
    room.engine.move_to(5.0)
    room.judge("right", 0)
    room.engine.move_to(0.05)
    assert room.verdicts == {("note", 1, 0): ["right"]}


def test_going_elsewhere_begins_a_round(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.judge("late", 1)
    room.player.go_to(1, 0)
    assert room.verdicts == {}


def test_a_changed_part_loses_its_verdicts_and_the_others_keep_theirs(room: Room) -> None:
    room.player.play(Piece("through", 2))
    first = len(room.document.song.part(1).notes)
    room.judge("late", 1)
    room.judge("late", first)
    room.player.stop()
    room.document.apply(lambda song: rename_note(song, 2, 3, Pitch.parse("C5")), "note")
    assert room.verdicts == {("note", 1, 1): ["late"]}


def test_verdicts_follow_their_part_where_a_cut_gives_it_another_number(room: Room) -> None:
    room.player.play(Piece("song"))
    second = len(room.document.song.part(1).notes)
    room.judge("missed", 0)
    room.judge("late", second)
    room.player.stop()
    room.document.apply(lambda song: split_part(song, 1, 4 * TICKS_PER_QUARTER), "cut")
    assert room.verdicts == {("note", 3, 0): ["late"]}


def test_a_part_that_is_played_again_is_judged_again(room: Room) -> None:
    room.player.play(Piece("row", 0, "1, 1"))
    half = len(room.engine.meant) // 2
    room.judge("late", 0)
    room.judge("right", half)
    assert room.verdicts == {("note", 1, 0): ["right"]}


def test_the_music_waits_for_the_next_note_and_says_which(room: Room) -> None:
    room.settings.change(wait=True)
    room.player.play(Piece("part", 1))
    assert [asked.bearer for asked in room.player.along.wanted] == [Subject("note", 1, 0)]
    lit = room.player.along.keys({})
    assert lit == {room.engine.meant[0].midi: LitKey(Hand.RIGHT, lit[room.engine.meant[0].midi].finger, wanted=True)}
    room.judge("right", 0)
    assert [asked.bearer for asked in room.player.along.wanted] == [Subject("note", 1, 1)]
    room.player.stop()
    assert room.player.along.wanted == ()


def test_all_notes_of_a_chord_are_wanted_until_each_is_played(room: Room) -> None:
    room.settings.change(wait=True, own_hands="left")
    room.player.play(Piece("part", 1))
    struck = {note.midi for note in room.engine.meant if note.seconds == room.engine.meant[0].seconds}
    assert len(struck) == 3
    assert {asked.midi for asked in room.player.along.wanted} == struck
    room.judge("right", 1)
    assert {asked.midi for asked in room.player.along.wanted} == struck - {room.engine.meant[1].midi}


def test_nothing_is_wanted_where_the_music_does_not_wait(room: Room) -> None:
    room.player.play(Piece("part", 1))
    assert room.player.along.wanted == ()


def test_a_key_that_is_played_is_neutral_until_it_is_matched_and_dark_when_it_comes_up(room: Room) -> None:
    room.player.play(Piece("part", 1))
    midi = room.engine.meant[0].midi
    room.press(midi)
    assert room.player.along.keys({}) == {midi: LitKey(None, letter="E")}
    room.judge("right", 0)
    finger = analyse_part(room.document.song, 1).fingers[0].finger
    assert room.player.along.keys({}) == {midi: LitKey(Hand.RIGHT, finger)}
    assert room.player.along.keys({60: LitKey(Hand.LEFT, 5)})[60] == LitKey(Hand.LEFT, 5)
    room.press(midi, on=False)
    assert room.player.along.keys({}) == {}


def test_keys_are_lit_by_name_also_when_nothing_plays(room: Room) -> None:
    room.press(66)
    room.press(61)
    assert room.player.along.keys({}) == {66: LitKey(None, letter="F♯"), 61: LitKey(None, letter="C♯")}
    room.settings.change(naming="german")
    assert room.player.along.keys({})[66].letter == "Fis"


def test_a_keyboard_that_goes_leaves_no_key_lit(room: Room) -> None:
    room.settings.change(keyboard="Keys")
    room.press(66)
    room.engine.ports.emit(Ports((), ("Keys",)))
    assert room.player.along.keys({})
    room.engine.ports.emit(Ports((), ()))
    assert room.player.along.keys({}) == {}


def test_how_it_goes_is_told_as_faults_come(room: Room, qtbot: QtBot) -> None:
    told: list[str] = []
    room.player.along.told_changed.connect(lambda: told.append(room.player.along.told))
    room.player.play(Piece("part", 1))
    room.judge("right", 0)
    assert told == []
    with qtbot.waitSignal(room.player.along.told_changed):
        room.judge("late", 6)
    assert told == ["You played 2 of 2 notes. Bar 2: the F sharp came late."]


def test_what_is_tried_with_other_parts_is_on_no_sheet(room: Room) -> None:
    room.player.try_song(split_part(room.document.song, 1, 4 * TICKS_PER_QUARTER))
    room.player.play(Piece("part", 1))
    room.judge("late", 0)
    assert room.verdicts == {}
