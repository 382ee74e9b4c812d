"""The prompter: the running order with its words."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.camera.camera_view import CameraView
from app.camera.coloured_words import coloured
from app.camera.segment_line import GAP, INSET
from app.widgets.lit_keys import keys_for
from app.widgets.selection import Place
from app.window.header import Workspace
from core.drawing.shapes import Role
from core.edits.set_words import set_words
from core.session.running_order import running_order
from core.song.note import Hand
from core.song.part import Part
from core.song.song import Song
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.songs import night_ferry


def camera(opened: OpenWindow) -> CameraView:
    opened.window.show_workspace(Workspace.CAMERA)
    return opened.window.camera


def test_it_begins_with_the_opening_and_lists_every_segment(opened: OpenWindow) -> None:
    view = camera(opened)
    order = running_order(opened.song)
    assert view.segment == order[0]
    assert view.list.count() == len(order)
    assert view.words.text == "\n".join(order[0].say)


def test_space_goes_on_and_backspace_back(opened: OpenWindow) -> None:
    view = camera(opened)
    for _ in range(3):
        QTest.keyClick(view, Qt.Key.Key_Space)
    assert view.segment is not None
    assert view.segment.number == 4
    assert view.list.currentRow() == 3
    QTest.keyClick(view, Qt.Key.Key_Backspace)
    assert view.segment.number == 3


@pytest.mark.parametrize("width", [900, 1280, 1920])
def test_every_title_of_the_running_order_is_read_whole_in_large_text(width: int, opened: OpenWindow) -> None:
    view = camera(opened)
    opened.settings.change(text_scale=200)
    opened.window.resize(width, 720)
    for _ in range(5):
        QApplication.processEvents()
    letters, shown = view.list.fontMetrics(), view.list
    time = letters.horizontalAdvance("00:00")
    lines = set()
    for row in range(shown.count()):
        box, title = shown.visualItemRect(shown.item(row)), shown.item(row).text()
        room = QRect(0, 0, box.width() - time - 2 * INSET - GAP, 1_000)
        needed = letters.boundingRect(room, Qt.TextFlag.TextWordWrap.value, title)
        assert box.width() <= shown.viewport().width()
        assert needed.width() <= room.width()
        assert needed.height() <= box.height()
        lines.add(round(needed.height() / letters.lineSpacing()))
        view._go_to(row)
        assert shown.viewport().rect().contains(shown.visualItemRect(shown.item(row)))
    assert (max(lines) > 1) == (width < 1920), "some title needs two lines, or nothing is tried"


def test_it_ends_with_the_closing_and_stays_there(opened: OpenWindow) -> None:
    view = camera(opened)
    for _ in range(len(running_order(opened.song)) + 3):
        view.next()
    assert view.segment is not None
    assert view.segment.kind == "closing"
    assert view.after.text() == "That is all."


def test_space_does_not_play_before_the_camera(opened: OpenWindow) -> None:
    view = camera(opened)
    QTest.keyClick(view, Qt.Key.Key_Space)
    assert not opened.engine.playing


def test_it_follows_changes_of_the_words(opened: OpenWindow) -> None:
    view = camera(opened)
    view.next()
    opened.document.apply(lambda song: set_words(song, 1, "right_hand", "Listen first."), "words")
    assert "Listen first." in view.words.text


def test_a_song_without_notes_says_so_in_the_message_bar(qapp: QApplication, tmp_path: Path) -> None:
    assert qapp is not None
    with open_window(Song("Nothing yet", (Part(40_320),)), tmp_path) as opened:
        view = camera(opened)
        assert view.segment is None
        assert "no right-hand notes yet" in opened.window.bar.text


def test_the_words_grow_with_the_window(opened: OpenWindow) -> None:
    view = camera(opened)
    view.next()
    QApplication.processEvents()
    small = view.words.letter_height
    opened.window.resize(1920, 1080)
    QApplication.processEvents()
    assert view.words.letter_height > small * 1.2


def test_the_words_always_fit_their_room(opened: OpenWindow) -> None:
    view = camera(opened)
    opened.window.resize(900, 600)
    for segment in running_order(opened.song):
        QApplication.processEvents()
        height = view.words._document(view.words.letter_height).size().height()
        assert height <= view.words.height(), segment.title
        view.next()


def test_chords_and_notes_have_the_colours_of_their_hands() -> None:
    song = night_ferry()
    together = next(segment for segment in running_order(song) if segment.kind == "together")
    stretches = coloured(song, together, "E minor lands with the first E, alone. A step, Bravo.")
    assert [(stretch.text, stretch.role) for stretch in stretches if stretch.role is not Role.INK] == [
        ("E minor", Role.LEFT),
        ("E", Role.RIGHT),
        ("A", Role.RIGHT),
    ]
    assert "".join(stretch.text for stretch in stretches) == "E minor lands with the first E, alone. A step, Bravo."


def test_only_the_keys_of_the_segments_hand_are_lit() -> None:
    song = night_ferry()
    right = keys_for(song, Place(1), frozenset({Hand.RIGHT}))
    left = keys_for(song, Place(1), frozenset({Hand.LEFT}))
    assert {key.hand for key in right.values()} == {Hand.RIGHT}
    assert {key.hand for key in left.values()} == {Hand.LEFT}
    assert set(keys_for(song, Place(1))) == set(right) | set(left)
