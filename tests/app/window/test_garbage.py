"""Garbage is looked for in quiet moments, and what an open lesson is laid out as is left out of it."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from app.window import garbage
from app.window.garbage import QuietCollecting, put_aside


class Ring:
    """An object that only a look for garbage frees."""

    def __init__(self) -> None:
        self.self = self


@pytest.fixture(autouse=True)
def nothing_aside() -> Iterator[None]:
    yield
    gc.unfreeze()


@pytest.fixture
def quiet(qapp: QObject, monkeypatch: pytest.MonkeyPatch) -> QuietCollecting:
    monkeypatch.setattr(garbage, "STANDING_MILLISECONDS", 0)
    monkeypatch.setattr(garbage, "QUIET_MILLISECONDS", 0)
    return QuietCollecting(qapp)


def test_what_stands_is_put_aside_and_the_garbage_of_before_is_not() -> None:
    ring = weakref.ref(Ring())
    put_aside()
    assert ring() is None
    assert gc.get_freeze_count() > 1000


def test_what_was_put_aside_and_is_garbage_now_is_found_with_the_next_lesson() -> None:
    kept = Ring()
    ring = weakref.ref(kept)
    put_aside()
    del kept
    gc.collect()
    assert ring() is not None
    put_aside()
    assert ring() is None


def test_a_lesson_opened_is_put_aside_a_moment_later(quiet: QuietCollecting, qtbot: QtBot) -> None:
    gc.unfreeze()
    quiet.lesson_opened()
    assert gc.get_freeze_count() == 0
    qtbot.waitUntil(lambda: gc.get_freeze_count() > 1000)


def test_a_change_is_followed_by_a_look_when_it_is_quiet(quiet: QuietCollecting, qtbot: QtBot) -> None:
    gc.disable()
    try:
        ring = weakref.ref(Ring())
        quiet.lesson_changed()
        assert ring() is not None
        qtbot.waitUntil(lambda: ring() is None)
    finally:
        gc.enable()
