"""Every embellishment rendered key by key, its onsets found again in the sound."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.arranging.embellishments import EMBELLISHMENTS, Embellishment
from core.performance.schedule import make_schedule
from core.performance.selection import Selection
from core.song.note import Hand
from core.sound.bank import SampleBank
from core.sound.piano import Piano, render_schedule
from core.sound.piano_model import RATE
from tests.core.sound.banks import sine_bank
from tests.helpers.listening import onset_frames
from tests.helpers.songs import night_ferry


@pytest.fixture(scope="module")
def bank() -> SampleBank:
    bank = sine_bank(2.0)
    bank.prepare_all(range(28, 92))
    return bank


@pytest.mark.parametrize("embellishment", EMBELLISHMENTS, ids=lambda embellishment: embellishment.name)
def test_every_key_is_heard_when_it_is_struck(bank: SampleBank, embellishment: Embellishment) -> None:
    """Every other strike of a key is rendered apart, so that what a damper leaves over hides no onset."""
    name, hand = embellishment.name, embellishment.hand
    pattern, harmony = (name, None) if hand is Hand.LEFT else (None, name)
    schedule = make_schedule(night_ferry(), Selection((1,), frozenset({hand}), pattern=pattern, harmony=harmony))
    assert schedule.events
    for midi in sorted({event.midi for event in schedule.events}):
        of_key = [event for event in schedule.events if event.midi == midi]
        strikes = [event.seconds for event in of_key if event.kind == "on"]
        for half in (0, 1):
            events = tuple(event for place, event in enumerate(of_key) if place // 2 % 2 == half)
            found = [
                frame / RATE
                for frame in onset_frames(render_schedule(replace(schedule, events=events), Piano(bank)), RATE, 0.002)
            ]
            struck = strikes[half::2]
            assert len(found) == len(struck), (midi, struck, found)
            assert all(abs(heard - seconds) < 0.005 for heard, seconds in zip(found, struck, strict=True))
