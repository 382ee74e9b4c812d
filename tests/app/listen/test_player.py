"""Playing: what the engine is told, and what it is heard to say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.document.document import LessonDocument
from app.engine.protocol import KeyJudged, Ports, Ready
from app.listen.piece import Piece
from app.listen.player import Player
from app.settings.settings_store import SettingsStore
from core.drawing.keyboard import LitKey
from core.edits.rename_note import rename_note
from core.edits.split_part import split_part
from core.performance.following import Verdict
from core.performance.output import HandChannel, Output
from core.song.note import Hand
from core.song.pitch import NoteName
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.fake_engine import FakeEngine
from tests.helpers.songs import lamplighters_waltz, night_ferry


@dataclass
class Room:
    document: LessonDocument
    settings: SettingsStore
    engine: FakeEngine
    player: Player


@pytest.fixture
def room(qtbot: QtBot, tmp_path: Path) -> Iterator[Room]:
    assert qtbot is not None
    document, settings, engine = LessonDocument(night_ferry()), SettingsStore(tmp_path / "s.json"), FakeEngine()
    player = Player(document, settings, engine)
    yield Room(document, settings, engine, player)
    player.close()


def struck(engine: FakeEngine, hand: Hand) -> list[int]:
    return [event.midi for event in engine.schedule.events if event.kind == "on" and event.hand is hand]


def test_a_part_is_played_with_both_hands(room: Room) -> None:
    room.player.play(Piece("part", 1))
    assert room.engine.playing
    assert struck(room.engine, Hand.RIGHT) == [64, 67, 69, 71, 69, 67, 66]
    assert struck(room.engine, Hand.LEFT)
    assert room.engine.schedule.length == pytest.approx(8 * 60 / 84)


def test_parts_up_to_one_are_played_in_a_row(room: Room) -> None:
    room.player.play(Piece("through", 2))
    assert room.engine.schedule.length == pytest.approx(20 * 60 / 84)


def test_the_whole_song_is_played_in_its_playing_order(room: Room) -> None:
    room.document.take(lamplighters_waltz())
    room.player.play(Piece("song"))
    assert room.engine.schedule.length == pytest.approx(6 * 12 * 60 / 108)


@pytest.mark.parametrize(("hands", "silent"), [("right", Hand.LEFT), ("left", Hand.RIGHT)])
def test_one_hand_is_heard_alone(room: Room, hands: str, silent: Hand) -> None:
    room.settings.change(hands=hands)
    room.player.play(Piece("part", 1))
    assert room.engine.schedule.events
    assert not struck(room.engine, silent)


def test_the_piece_that_plays_is_stopped_by_asking_for_it_again(room: Room) -> None:
    heard: list[Piece | None] = []
    room.player.playing_changed.connect(heard.append)
    room.player.toggle(Piece("part", 1))
    room.player.toggle(Piece("part", 1))
    assert heard == [Piece("part", 1), None]
    assert not room.engine.playing


def test_another_piece_takes_the_place_of_the_one_that_plays(room: Room) -> None:
    room.player.toggle(Piece("part", 1))
    room.player.toggle(Piece("through", 3))
    assert room.player.piece == Piece("through", 3)
    assert room.engine.playing


def test_the_position_is_told_as_a_part_and_a_moment_in_it(room: Room) -> None:
    places: list[tuple[int, int]] = []
    room.player.position_changed.connect(lambda part, tick: places.append((part, tick)))
    room.player.play(Piece("through", 2))
    room.engine.move_to(10 * 60 / 84)
    assert places[-1] == (2, 2 * TICKS_PER_QUARTER)
    room.player.stop()
    assert places[-1] == (0, 0)


def test_a_position_of_an_older_schedule_is_dropped(room: Room) -> None:
    room.player.play(Piece("part", 1))
    older = room.engine.generation
    room.player.play(Piece("part", 2))
    places: list[int] = []
    room.player.position_changed.connect(lambda part, _tick: places.append(part))
    room.engine.position.emit(older, 1.0, True)
    assert not places


def test_the_keys_that_are_down_are_told_with_their_hand(room: Room) -> None:
    told: list[dict[int, LitKey] | None] = []
    room.player.keys_changed.connect(told.append)
    room.player.play(Piece("part", 1))
    room.engine.move_to(0.1)
    keys = told[-1]
    assert keys is not None
    assert keys[64] == LitKey(Hand.RIGHT, 1)
    assert {midi for midi, key in keys.items() if key.hand is Hand.LEFT} == {52, 55, 59}
    assert all(key.finger is not None for key in keys.values())
    room.engine.move_to(60 / 84 + 0.1)
    keys = told[-1]
    assert keys is not None
    assert 64 not in keys
    assert 67 in keys
    room.engine.end()
    assert told[-1] is None


def test_speed_changes_at_once_without_a_new_schedule(room: Room) -> None:
    room.settings.change(speed=70)
    room.player.play(Piece("part", 1))
    assert room.engine.speed == pytest.approx(0.7)
    generation = room.engine.generation
    room.settings.change(speed=50)
    assert room.engine.speed == pytest.approx(0.5)
    assert room.engine.generation == generation


def test_again_and_again_leaves_the_count_in_out(room: Room) -> None:
    room.settings.change(again=True, count_in=True)
    room.player.play(Piece("part", 1))
    bar = 4 * 60 / 84
    assert room.engine.looped == pytest.approx((bar, 3 * bar))
    room.settings.change(again=False)
    assert room.engine.looped is None


def test_choosing_another_hand_while_it_plays_goes_on_from_the_same_place(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.engine.move_to(2.0)
    room.settings.change(hands="left")
    assert room.engine.playing
    assert room.engine.seconds == pytest.approx(2.0, abs=1e-3)
    assert not struck(room.engine, Hand.RIGHT)


def test_a_note_renamed_while_it_plays_is_heard_from_the_same_place_on(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.engine.move_to(1.0)
    room.document.apply(lambda song: rename_note(song, 1, 3, NoteName("C")), "name of a note")
    assert room.player.piece == Piece("part", 1)
    assert room.engine.seconds == pytest.approx(1.0, abs=1e-3)
    assert 72 in struck(room.engine, Hand.RIGHT)


def test_a_repeated_part_goes_on_in_the_same_pass(room: Room) -> None:
    room.document.take(lamplighters_waltz())
    room.player.play(Piece("song"))
    second_pass = (4 * 12 + 3) * 60 / 108
    room.engine.move_to(second_pass)
    room.settings.change(hands="right")
    assert room.engine.seconds == pytest.approx(second_pass, abs=1e-2)


def test_cutting_the_song_anew_stops_what_plays(room: Room) -> None:
    room.player.play(Piece("part", 3))
    room.document.apply(lambda song: split_part(song, 1, 4 * TICKS_PER_QUARTER), "split")
    assert room.player.piece is None
    assert not room.engine.playing


def test_a_note_that_is_tried_is_let_go_again(room: Room, qtbot: QtBot) -> None:
    room.player.try_key(64)
    assert room.engine.down == {64}
    room.player.try_key(67)
    assert room.engine.down == {67}
    qtbot.waitUntil(lambda: not room.engine.down, timeout=5_000)


def test_nothing_is_tried_while_something_plays(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.player.try_key(64)
    assert not room.engine.down


def test_missing_sound_is_said_again_whenever_something_is_played(room: Room) -> None:
    said: list[str] = []
    room.player.message.connect(said.append)
    room.engine.ready.emit(Ready((), (), False, "No sound card answers."))
    room.player.play(Piece("part", 1))
    assert said == ["No sound card answers."]


def test_the_chosen_output_is_taken_up_when_the_engine_has_it(room: Room) -> None:
    room.settings.change(output="Stage piano")
    room.engine.choose_outputs(())
    room.engine.ready.emit(Ready(("Stage piano",), (), True))
    assert room.engine.outputs == (Output("Stage piano"),)
    room.settings.change(output="none")
    assert not room.engine.outputs


def test_a_sound_font_is_told_when_it_is_chosen_and_when_the_engine_starts(room: Room) -> None:
    room.settings.change(sound_font="/music/grand.sf2")
    assert room.engine.sound_font == "/music/grand.sf2"
    room.engine.sound_font = ""
    room.engine.ready.emit(Ready((), (), True))
    assert str(room.engine.sound_font) == "/music/grand.sf2"


def test_what_sound_is_missing_is_said(room: Room) -> None:
    said: list[str] = []
    room.player.message.connect(said.append)
    room.engine.trouble.emit("No sound card was found, so nothing is heard.")
    assert said == ["No sound card was found, so nothing is heard."]


def test_a_part_that_is_not_there_is_said_and_nothing_plays(room: Room) -> None:
    said: list[str] = []
    room.player.message.connect(said.append)
    room.player.play(Piece("part", 9))
    assert said
    assert room.player.piece is None
    assert not room.engine.playing


def test_a_row_of_parts_is_played_as_it_is_typed(room: Room) -> None:
    room.player.play(Piece("row", 0, "3, then 1–2"))
    places = [part for _, part, _ in room.engine.schedule.positions]
    assert list(dict.fromkeys(places)) == [3, 1, 2]


def test_words_that_name_no_row_are_answered_in_a_sentence(room: Room) -> None:
    said: list[str] = []
    room.player.message.connect(said.append)
    room.player.play(Piece("row", 0, "soon"))
    assert len(said) == 1
    assert room.player.piece is None


def test_a_part_is_played_from_the_note_that_was_clicked(room: Room) -> None:
    room.player.play(Piece("part", 1), 4 * TICKS_PER_QUARTER)
    assert room.engine.seconds == pytest.approx(4 * 60 / room.document.song.tempo)
    room.player.go_to(1, 2 * TICKS_PER_QUARTER)
    assert room.engine.seconds == pytest.approx(2 * 60 / room.document.song.tempo)


def test_a_loop_goes_on_counting_in_each_time_when_what_is_heard_changes_in_it(room: Room) -> None:
    room.settings.change(count_in=True, again=True, count_again=True)
    room.player.play(Piece("part", 2))
    music = room.engine.schedule.positions[0][0]
    room.engine.move_to(music + 2.0)
    room.settings.change(metronome=True)
    assert ("exchange", pytest.approx(music + 2.0, abs=0.001)) in room.engine.told
    assert room.engine.looped == (0.0, room.engine.schedule.length)
    clicks = [event for event in room.engine.schedule.events if event.kind == "click" and event.seconds < music]
    assert len(clicks) == 4
    room.settings.change(hands="left")
    assert room.engine.looped == (0.0, room.engine.schedule.length)
    assert room.engine.schedule.positions[0][0] == pytest.approx(music)


def test_a_loop_taken_up_in_mid_part_counts_in_from_the_second_time_on(room: Room) -> None:
    room.settings.change(count_in=True, again=True, count_again=True)
    room.player.play(Piece("part", 2), TICKS_PER_QUARTER * 4)
    music = room.engine.schedule.positions[0][0]
    assert music == pytest.approx(4 * 60 / 84)
    assert room.engine.seconds == pytest.approx(2 * music)
    assert room.engine.looped == (0.0, room.engine.schedule.length)


def test_a_change_while_it_counts_in_leaves_the_count_as_it_is(room: Room) -> None:
    room.settings.change(count_in=True)
    room.player.play(Piece("part", 2), TICKS_PER_QUARTER * 4)
    length = room.engine.schedule.length
    room.engine.move_to(1.0)
    room.settings.change(hands="right")
    assert room.engine.told[-1] == ("exchange", pytest.approx(1.0))
    assert room.engine.schedule.length == pytest.approx(length)


def test_a_count_in_wanted_while_it_loops_is_heard_the_next_time(room: Room) -> None:
    room.settings.change(again=True, count_again=True)
    room.player.play(Piece("part", 2))
    room.engine.move_to(1.0)
    room.settings.change(count_in=True)
    music = room.engine.schedule.positions[0][0]
    assert room.engine.told[-1] == ("exchange", pytest.approx(music + 1.0, abs=0.001))
    assert room.engine.looped == (0.0, room.engine.schedule.length)


def test_a_start_in_mid_part_is_counted_in_too(room: Room) -> None:
    room.settings.change(count_in=True)
    room.player.play(Piece("part", 1), 4 * TICKS_PER_QUARTER)
    assert room.engine.schedule.positions[0][1:] == (1, 4 * TICKS_PER_QUARTER)
    assert room.engine.schedule.events[0].kind == "click"
    assert room.engine.seconds == 0.0


def test_again_and_again_may_count_in_each_time(room: Room) -> None:
    room.settings.change(count_in=True, again=True)
    room.player.play(Piece("part", 1))
    assert room.engine.looped is not None
    assert room.engine.looped[0] > 0
    room.settings.change(count_again=True)
    assert room.engine.looped == (0.0, room.engine.schedule.length)


def test_each_time_is_faster_until_the_written_tempo_and_goes_on_there(room: Room) -> None:
    room.settings.change(again=True, speed=80, faster=10)
    room.player.play(Piece("part", 1))
    starts = [seconds for seconds, _, tick in room.engine.schedule.positions if tick == 0]
    first, second = (after - before for before, after in pairwise(starts[:3]))
    last = room.engine.schedule.length - starts[-1]
    assert len(starts) == 3
    assert first / second == pytest.approx(90 / 80)
    assert first / last == pytest.approx(100 / 80)
    assert room.engine.looped == (starts[-1], room.engine.schedule.length)


def test_a_softer_hand_and_divided_clicks_are_heard_at_once(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.engine.move_to(1.0)
    before = max(event.velocity for event in room.engine.schedule.events if event.hand is Hand.LEFT)
    room.settings.change(softer="left")
    assert max(event.velocity for event in room.engine.schedule.events if event.hand is Hand.LEFT) < 0.7 * before
    room.settings.change(metronome=True)
    beats = sum(event.kind == "click" for event in room.engine.schedule.events)
    room.settings.change(clicks=3)
    assert sum(event.kind == "click" for event in room.engine.schedule.events) == 3 * beats
    assert room.engine.seconds == pytest.approx(1.0, abs=1e-3)


def test_silence_ends_everything_that_sounds(room: Room) -> None:
    room.player.play(Piece("part", 1))
    room.player.press_key(60)
    room.player.silence()
    assert not room.engine.down
    assert not room.engine.playing
    assert room.player.piece is None


def test_the_remembered_keyboard_is_listened_to_and_kept_when_the_engine_is_ready(room: Room) -> None:
    room.settings.change(keyboard="Stage piano")
    room.engine.input = room.engine.folder = ""
    room.engine.ready.emit(Ready((), ("Stage piano",), True))
    assert (room.engine.input, room.engine.input_heard) == ("Stage piano", True)
    assert room.engine.folder == str(room.settings.folder_of_playing)
    room.settings.change(keyboard_heard=False)
    assert not room.engine.input_heard
    room.settings.change(keyboard="")
    assert (room.engine.input, room.engine.folder) == ("", "")


def test_ports_that_come_and_go_are_offered(room: Room) -> None:
    room.engine.ports.emit(Ports(("Synth",), ("Keys",)))
    assert (room.player.outputs, room.player.keyboards) == (("Synth",), ("Keys",))


def test_the_hand_that_is_played_along_is_expected_and_said_how_it_went(room: Room) -> None:
    said: list[str] = []
    room.player.told.connect(said.append)
    room.settings.change(hands="left", own_hands="right", wait=True)
    room.player.play(Piece("part", 1))
    assert [note.midi for note in room.engine.meant] == [
        note.pitch.midi for note in room.document.song.part(1).hand(Hand.RIGHT)
    ]
    assert room.engine.waits
    fates: tuple[Verdict, ...] = ("right", "right", "late", "missed")
    for verdict, note in zip(fates, room.engine.meant, strict=False):
        room.engine.judged.emit(KeyJudged(verdict, note.midi, note.seconds, 0.0))
    room.engine.judged.emit(KeyJudged("wrong", 60, None, 0.0))
    room.player.stop()
    assert said == ["You played 3 of 4 notes. Bar 1: the A came late and the B was missed. Bar 2: C was a wrong key."]


def test_nothing_is_said_of_playing_where_nobody_played(room: Room) -> None:
    said: list[str] = []
    room.player.told.connect(said.append)
    room.settings.change(own_hands="both")
    room.player.play(Piece("part", 1))
    first = room.engine.meant[0]
    room.engine.judged.emit(KeyJudged("missed", first.midi, first.seconds, 0.0))
    room.engine.end()
    assert said == []


def test_low_latency_is_remembered_and_changed_at_once(room: Room) -> None:
    room.settings.change(low_latency=True)
    assert room.engine.low_latency
    room.engine.low_latency = False
    room.engine.ready.emit(Ready((), (), True))
    assert room.engine.low_latency


def test_a_segment_is_heard_as_it_is_recorded(room: Room) -> None:
    room.settings.change(right_hand_times=3, count_in_bars=2, hands="left")
    number, _ = next(one for one in room.player.segments() if "right" in one[1].lower())
    room.player.play(Piece("segment", number))
    clicks = [event for event in room.engine.schedule.events if event.kind == "click"]
    assert len(clicks) == 2 * room.document.song.metre.beats
    assert len(struck(room.engine, Hand.RIGHT)) == 3 * len(room.document.song.part(1).hand(Hand.RIGHT))
    assert not struck(room.engine, Hand.LEFT)


def test_a_segment_may_be_played_again_and_again(room: Room) -> None:
    room.settings.change(again=True, speed=80, faster=10)
    room.player.play(Piece("segment", room.player.segments()[0][0]))
    assert room.engine.looped is not None
    assert room.engine.looped[1] == room.engine.schedule.length


def test_local_off_is_told_to_the_output_at_once(room: Room) -> None:
    room.settings.change(output="Stage piano")
    room.settings.change(local_off=True)
    assert room.engine.outputs == (Output("Stage piano", local_off=True),)


def test_several_outputs_are_told_at_once_each_as_it_is_to_be_played_through(room: Room) -> None:
    organ = Output("Organ", right=HandChannel(2, 20), left=HandChannel(3, 33), latency=40)
    room.settings.change(also=("Organ", "piano"), ways=(organ,))
    assert room.engine.outputs == (Output("piano"), organ)
    room.settings.change(local_off=True)
    assert room.engine.outputs == (Output("piano"), replace(organ, local_off=True))
    room.settings.change(output="none")
    assert [output.name for output in room.engine.outputs] == ["Organ", "piano"]


def test_what_is_played_to_the_click_is_kept_with_its_tempo(room: Room) -> None:
    room.settings.change(keyboard="Stage piano", metronome=True, speed=50)
    assert room.engine.click_tempo == 0.0
    room.player.play(Piece("part", 1))
    assert room.engine.folder == str(room.settings.folder_of_playing)
    assert room.engine.click_tempo == pytest.approx(night_ferry().tempo / 2)
    room.settings.change(speed=60)
    assert room.engine.click_tempo == 0.0, "it is played to no steady click any more"
    room.player.play(Piece("part", 2))
    assert room.engine.click_tempo == pytest.approx(night_ferry().tempo * 0.6)
    room.player.stop()
    assert room.engine.click_tempo == 0.0


@pytest.mark.parametrize("piece", [Piece("segment", 2), Piece("part", 1)])
def test_without_a_steady_click_no_tempo_is_kept(room: Room, piece: Piece) -> None:
    room.settings.change(keyboard="Stage piano", metronome=piece.kind == "segment")
    room.player.play(piece)
    assert room.engine.click_tempo == 0.0
