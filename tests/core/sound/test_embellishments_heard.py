"""Every embellishment rendered key by key, its onsets found again in the sound."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
import pytest
from msgspec.structs import replace

from core.arranging.embellishments import EMBELLISHMENTS, Embellishment
from core.arranging.melody_rhythm import RHYTHMS
from core.arranging.ornaments import ORNAMENTS
from core.edits.add_frame import add_ending, add_introduction
from core.edits.own_patterns import keep_pattern
from core.edits.set_ornament import set_ornament
from core.edits.set_teaching import set_pattern, set_pedal, set_rhythm
from core.performance.schedule import Schedule, TimedEvent, make_schedule
from core.performance.selection import Selection
from core.song.note import Hand
from core.song.pattern_grid import Grid, OwnPattern
from core.song.song import Song
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


def loosened(song: Song, rhythm: str) -> Song:
    return set_rhythm(song, 1, rhythm)


def ornamented(song: Song, ornament: str) -> Song:
    longest = max(range(len(song.part(1).notes)), key=lambda index: song.part(1).notes[index].duration)
    return set_ornament(song, 1, longest, ornament)


def drawn(song: Song, cells: str) -> Song:
    return set_pattern(keep_pattern(song, OwnPattern("drawn", (Grid.parse(cells, 2),))), 1, "drawn")


MORE = (
    *((f"rhythm {one.name}", partial(loosened, rhythm=one.name), Hand.RIGHT) for one in RHYTHMS),
    *((one.title, partial(ornamented, ornament=one.name), Hand.RIGHT) for one in ORNAMENTS),
    ("introduction of two bars", partial(add_introduction, bars=2), Hand.RIGHT),
    ("introduction of four bars", partial(add_introduction, bars=4), Hand.LEFT),
    ("own pattern", partial(drawn, cells="R 5 8 - C . 10 5"), Hand.LEFT),
)


@pytest.mark.parametrize("embellishment", EMBELLISHMENTS, ids=lambda embellishment: embellishment.name)
def test_every_key_is_heard_when_it_is_struck(bank: SampleBank, embellishment: Embellishment) -> None:
    name, hand = embellishment.name, embellishment.hand
    pattern, harmony = (name, None) if hand is Hand.LEFT else (None, name)
    hold_to_what_is_heard(
        bank, make_schedule(night_ferry(), Selection((1,), frozenset({hand}), pattern=pattern, harmony=harmony))
    )


@pytest.mark.parametrize(("made", "hand"), [way[1:] for way in MORE], ids=[way[0] for way in MORE])
def test_every_other_embellishment_is_heard_too(bank: SampleBank, made: Callable[[Song], Song], hand: Hand) -> None:
    hold_to_what_is_heard(bank, make_schedule(made(night_ferry()), Selection((1,), frozenset({hand}))))


@pytest.mark.parametrize("bars", [2, 4])
def test_an_ending_is_heard(bank: SampleBank, bars: int) -> None:
    song = add_ending(night_ferry(), bars)
    hold_to_what_is_heard(bank, make_schedule(song, Selection((len(song.parts),), frozenset({Hand.RIGHT}))))


def test_the_pedal_holds_what_is_let_go_until_the_next_chord(bank: SampleBank) -> None:
    song = set_pedal(set_pattern(night_ferry(), 1, "broken"), 1, True)
    schedule = make_schedule(song, Selection((1,), frozenset({Hand.LEFT})))
    first = next(event for event in schedule.events if event.kind == "on")
    let_go = next(event for event in schedule.events if event.kind == "off" and event.midi == first.midi)
    lifted = next(event for event in schedule.events if event.kind == "pedal" and not event.velocity)
    pedal = tuple(event for event in schedule.events if event.kind == "pedal")
    assert lifted.seconds > let_go.seconds + 0.8

    def heard(*events: TimedEvent) -> float:
        """How loud the first key is half a second after it was let go."""
        ordered = tuple(sorted(events, key=lambda event: event.seconds))
        sound = render_schedule(replace(schedule, events=ordered), Piano(bank))
        after = round((let_go.seconds + 0.5) * RATE)
        return float(np.abs(sound[after : after + RATE // 5]).max())

    assert heard(first, let_go, *pedal) > 10 * heard(first, let_go)


def hold_to_what_is_heard(bank: SampleBank, schedule: Schedule) -> None:
    """Every other strike of a key is rendered apart, so that what a damper leaves over hides no onset."""
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
