"""Engines under test; real MIDI ports go through python-rtmidi, which has wheels for Python up to 3.12 only."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from importlib.util import find_spec

import pytest

from core.sound.bank import SampleBank
from tests.app.engine.fakes import Bench

if find_spec("rtmidi"):
    from tests.helpers.port_fixtures import ports

    __all__ = ["ports"]
    collect_ignore: list[str] = []
else:
    collect_ignore = ["test_process.py", "test_lateness.py", "test_killed_engine.py", "test_hot_plug.py"]


@pytest.fixture
def make_bench() -> Iterator[Callable[..., Bench]]:
    """Engines that are closed after the test."""
    with ExitStack() as closing:

        def make(*, card: bool = True, midi_missing: str = "", bank: SampleBank | None = None) -> Bench:
            bench = Bench(card=card, midi_missing=midi_missing, bank=bank)
            closing.callback(bench.engine.close)
            return bench

        yield make


@pytest.fixture
def bench(make_bench: Callable[..., Bench]) -> Bench:
    """An engine that is heard through its piano."""
    return make_bench()
