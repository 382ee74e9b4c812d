"""Playing along on a real MIDI port: the music waits, the sheet says for what, and keys come back as verdicts."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from app.engine.protocol import KeyJudged
from app.listen.piece import Piece
from app.window.header import Workspace
from core.drawing.shapes import Subject
from core.song.note import Hand
from tests.helpers.midi_patchbay import KEYBOARD, LISTENER, Patchbay
from tests.helpers.playing_window import PlayingWindow, wait_until_heard, wait_with_window
from tests.journeys.pictures import picture

ON, OFF = 0x90, 0x80


def signs(opened: PlayingWindow, part: int) -> dict[int, str]:
    marked = opened.window.page.sheet.rows[part - 1].marked
    return {subject.index: one.marks[0].sign for subject, one in marked.items() if subject.kind == "note"}


def is_wanted(opened: PlayingWindow, number: int) -> bool:
    return any(asked.bearer == Subject("note", 1, number) for asked in opened.window.player.along.wanted)


def test_the_music_waits_for_each_note_and_the_sheet_says_for_which(
    playing: PlayingWindow, ports: Patchbay, tmp_path: Path
) -> None:
    window, keyboard = playing.window, playing.window.page.keyboard
    playing.settings.change(
        output=LISTENER,
        keyboard=KEYBOARD,
        keyboard_heard=False,
        hands="left",
        own_hands="right",
        wait=True,
        count_in=False,
        again=False,
    )
    window.show_workspace(Workspace.LISTEN)
    wait_until_heard(playing, ports)
    positions: list[float] = []
    playing.engine.position.connect(lambda _generation, seconds, plays: positions.append(seconds) if plays else None)
    notes = playing.document.song.part(1).melody
    window.player.play(Piece("part", 1))
    wait_with_window(lambda: signs(playing, 1) == {0: "wanted"})
    assert keyboard.lit[notes[0].pitch.midi].wanted
    wait_with_window(lambda: bool(positions))

    ports.press(ON, notes[0].pitch.midi, 70)
    wait_with_window(lambda: signs(playing, 1) == {0: "right", 1: "wanted"})
    wait_with_window(lambda: keyboard.lit[notes[0].pitch.midi].hand is Hand.RIGHT)
    ports.press(OFF, notes[0].pitch.midi, 0)

    assert is_wanted(playing, 1)
    second = window.player.along.wanted[0]
    wait_with_window(lambda: len(positions) > 3 and max(positions[-3:]) - min(positions[-3:]) < 1e-6)
    held = positions[-1]
    assert held == pytest.approx(second.seconds, abs=0.15)  # what is heard lags what is queued
    picture(window, tmp_path, "waiting-for-a-note")

    verdicts: list[KeyJudged] = []
    playing.engine.judged.connect(verdicts.append)
    ports.press(ON, notes[1].pitch.midi + 1, 70)
    wait_with_window(lambda: signs(playing, 1).get(1) == "wanted" and bool(verdicts))
    assert verdicts[0].verdict == "wrong"
    assert keyboard.lit[notes[1].pitch.midi + 1].hand is None
    assert positions[-1] == held
    ports.press(OFF, notes[1].pitch.midi + 1, 0)

    for number, note in enumerate(notes[1:], 1):
        wait_with_window(partial(is_wanted, playing, number))
        ports.press(ON, note.pitch.midi, 70)
        ports.press(OFF, note.pitch.midi, 0)
    wait_with_window(lambda: window.player.piece is None)
    window.page.marks.show_now()
    last = signs(playing, 1)
    assert (last.pop(0), last.pop(1)) == ("right", "wrong")
    assert set(last) == set(range(2, len(notes)))
    assert set(last.values()) <= {"right", "early"}  # nobody waited with them until the music was there
    assert "was a wrong key" in window.player.along.told
    wait_with_window(lambda: ports.keys_down == set())
    picture(window, tmp_path, "played-along")
