"""Notes whose hand is doubtful are among the things to look at, once the song stands still."""

from __future__ import annotations

from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.widgets.selection import Place
from core.song.note import Hand, Note
from core.song.part import Part
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER as QUARTER
from tests.helpers.open_window import OpenWindow


def crowded() -> Song:
    """Both hands so near to each other in the middle that nobody can tell them apart."""
    keys = ("C4", "E4", "D4", "F4", "B3", "G4", "E4", "C4")
    notes = tuple(
        Note(beat * QUARTER, QUARTER, Pitch.parse(key), hand, hand_given=False, melody=hand is Hand.RIGHT)
        for beat, key in enumerate(keys)
        for hand in ((Hand.LEFT, Hand.RIGHT)[beat % 2],)
    )
    return Song("Crowded", (Part(8 * QUARTER, notes),))


def test_doubtful_hands_are_said_with_their_bars(opened: OpenWindow, qtbot: QtBot) -> None:
    opened.document.take(crowded())
    opened.window.selection.select(Place(1))
    panel = opened.window.page.draft_panel
    qtbot.waitUntil(lambda: any("which hand plays" in one for one in panel.look_at.sentences), timeout=30_000)


def test_a_song_whose_hands_are_given_asks_nothing(opened: OpenWindow, qtbot: QtBot) -> None:
    song = crowded()
    part = song.parts[0]
    given = replace(part, notes=tuple(replace(note, hand_given=True) for note in part.notes))
    opened.document.take(replace(song, parts=(given,)))
    assert not opened.slow_work.busy
    qtbot.waitUntil(lambda: opened.window.page.doubtful.remarks(1) == ())
