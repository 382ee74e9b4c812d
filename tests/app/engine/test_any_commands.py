"""Whatever the engine is told and whatever happens to its devices, no port is left with a note sounding."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.engine.midi_system import CONTROL, NOTE_OFF, NOTE_ON, SUSTAIN
from app.engine.protocol import (
    ChooseInput,
    Command,
    Exchange,
    Expect,
    Load,
    Loop,
    Play,
    PressKey,
    Seek,
    SentEvent,
    SentNote,
    Silence,
    Speed,
    Stop,
)
from core.song.note import Hand
from core.sound.bank import SampleBank
from core.sound.piano_model import RATE
from tests.app.engine.fakes import Bench, FakePort, heard_through, prepared_bank

KEYS = (60, 62, 64, 72)
LENGTH = 4.0
_banks: list[SampleBank] = []


def bank() -> SampleBank:
    """One for all examples, since its keys take a while to make."""
    if not _banks:
        _banks.append(prepared_bank())
    return _banks[0]


def schedule(notes: list[tuple[float, float, int, int]], pedal: bool) -> tuple[SentEvent, ...]:
    events = [SentEvent(0.5, "pedal", SUSTAIN, 127), SentEvent(2.5, "pedal", SUSTAIN, 0)] if pedal else []
    for start, length, midi, channel in notes:
        events += [
            SentEvent(start, "on", midi, 80, channel),
            SentEvent(min(LENGTH, start + length), "off", midi, 0, channel),
        ]
    return tuple(sorted(events, key=lambda event: (event.seconds, event.kind != "off")))


NOTES = st.lists(
    st.tuples(st.floats(0, 3.5), st.floats(0.01, 2), st.sampled_from(KEYS), st.sampled_from([0, 1])), max_size=6
)
SCHEDULES = st.builds(schedule, NOTES, st.booleans())
SECONDS = st.floats(0, 3.5)
COMMANDS: st.SearchStrategy[Command] = st.one_of(
    st.builds(lambda events: Load(1, events, LENGTH), SCHEDULES),
    st.builds(lambda events, at: Exchange(2, events, LENGTH, at), SCHEDULES, SECONDS),
    st.just(Play()),
    st.just(Play()),
    st.just(Stop()),
    st.builds(Seek, SECONDS),
    st.builds(lambda start: Loop(start, start + 0.5), SECONDS),
    st.just(Loop()),
    st.builds(Speed, st.sampled_from([0.3, 1.0, 1.2])),
    st.builds(PressKey, st.sampled_from(KEYS), st.just(70), st.booleans()),
    st.builds(Silence, st.sampled_from([(), ("Synth",), ("Keyboard", "Gone")])),
    st.builds(heard_through, st.sampled_from(["Synth", "Keyboard", "piano", "none"])),
    st.builds(ChooseInput, st.sampled_from(["Keyboard", ""]), st.booleans()),
    st.builds(lambda seconds, wait: Expect((SentNote(seconds, 60, Hand.RIGHT),), wait), SECONDS, st.booleans()),
)
EVENTS = st.one_of(
    st.tuples(st.just("command"), COMMANDS),
    st.tuples(st.just("command"), COMMANDS),
    st.tuples(st.just("time"), st.sampled_from([0.01, 0.2, 0.7])),
    st.tuples(st.just("sleep"), st.sampled_from([5.0, 3600.0])),
    st.tuples(st.just("pull"), st.sampled_from(["Synth", "Keyboard"])),
    st.tuples(st.just("plug"), st.sampled_from(["Synth", "Keyboard"])),
    st.tuples(st.just("break"), st.just("")),
    st.tuples(st.just("key"), st.sampled_from(KEYS)),
)


def sounding(port: FakePort) -> set[tuple[int, int]]:
    """Channel and key of every note that a port was told of and not told the end of."""
    down: set[tuple[int, int]] = set()
    for status, first, second in port.messages:
        kind, channel = status & 0xF0, status & 0x0F
        if kind == NOTE_ON and second:
            down.add((channel, first))
        elif kind in (NOTE_OFF, NOTE_ON):
            down.discard((channel, first))
    return down


def pedals_down(port: FakePort) -> set[int]:
    down: dict[int, int] = {}
    for status, first, second in port.messages:
        if status & 0xF0 == CONTROL and first == SUSTAIN:
            down[status & 0x0F] = second
    return {channel for channel, value in down.items() if value}


def ports_of(bench: Bench) -> list[FakePort]:
    return [port for ports in bench.midi.opened.values() for port in ports]


def happen(bench: Bench, what: str, value: object) -> None:
    if what == "command":
        bench.do(value)  # type: ignore[arg-type]  # the strategy pairs them
    elif what == "time":
        bench.run(float(str(value)), step=0.05)
    elif what == "sleep":
        bench.clock.now += float(str(value))
        bench.engine.tick()
    elif what in ("pull", "plug"):
        there = {*bench.midi.output_names, value} if what == "plug" else {*bench.midi.output_names} - {value}
        names = tuple(name for name in ("Keyboard", "Synth") if name in there)
        bench.midi.output_names = names
        bench.midi.input_names = tuple(name for name in names if name == "Keyboard")
        if what == "pull":
            for port in bench.midi.opened.get(str(value), []):
                port.broken = True
        bench.engine.look_for_ports()
    elif what == "break":
        for port in ports_of(bench)[-1:]:
            port.broken = True
    elif bench.midi.heard is not None:
        bench.midi.heard((NOTE_ON, int(str(value)), 70))
        bench.midi.heard((NOTE_OFF, int(str(value)), 64))


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(EVENTS, max_size=25))
def test_no_port_is_left_sounding_whatever_is_told_and_whatever_happens(events: list[tuple[str, object]]) -> None:
    bench = Bench(bank=bank())
    try:
        bench.do(heard_through("Synth"))
        for what, value in events:
            happen(bench, what, value)
            if isinstance(value, Stop | Silence):
                for port in ports_of(bench):
                    assert port.broken or not sounding(port)
                    assert port.broken or not pedals_down(port)
    finally:
        bench.engine.close()
    for port in ports_of(bench):
        assert port.closed
        assert port.broken or not sounding(port)
        assert port.broken or not pedals_down(port)
    assert not bench.card.ask(RATE // 2)[-RATE // 10 :].any()
