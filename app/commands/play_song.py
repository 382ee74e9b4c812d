"""``play``: a song, a part or a run-through, heard or rendered to a file."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path

from app.commands.song_files import song_named
from app.commands.speech import WrongUse, note, print_report, working
from app.commands.whole_files import refuse_to_overwrite, write_whole
from core.performance.schedule import Schedule, make_schedule
from core.performance.selection import (
    BOTH_HANDS,
    FASTEST_SPEED,
    SLOWEST_SPEED,
    Selection,
    one_part,
    run_through,
    whole_song,
)
from core.song.errors import DeviceError, DomainError, PlanError
from core.song.note import Hand
from core.song.song import Song

WAV = ".wav"


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be played, as it was asked for.

    Attributes:
        part: the number of one part, or None.
        through: the number of the last part of a run-through, or None; with neither, the song as it goes.
        hand: ``right`` or ``left``, or None for both.
        percent: of the song's tempo.
        port: a MIDI port's name, or None for the built-in piano.
        to: the file to render to, or None to play.
    """

    part: int | None = None
    through: int | None = None
    hand: str | None = None
    percent: float = 100.0
    port: str | None = None
    to: Path | None = None


def play_song(name: str, wish: Wish, *, force: bool, as_json: bool) -> int:
    """Plays or renders; returns the exit status.

    Args:
        name: the song's file, as typed.
        wish: what of it, and how.
        force: whether a file that is there already is replaced.
        as_json: whether the report is an object.
    """
    _check(wish, force=force)
    reading = song_named(name)
    selection = _selection(name, reading.song, wish)
    schedule = make_schedule(reading.song, selection)
    if not any(event.kind == "on" for event in schedule.events):
        raise PlanError(f"{name}: there is nothing to hear in what was asked for; choose another part or hand.")
    if not as_json:
        for warning in reading.warnings:
            note(f"{name}: {warning}")
    report: dict[str, object] = {
        "file": name,
        "title": reading.song.title,
        "parts": list(selection.parts),
        "seconds": round(schedule.length, 2),
        "warnings": list(reading.warnings),
    }
    if wish.to is not None:
        _render(schedule, wish.to, force=force)
        print_report({**report, "written": [str(wish.to)]}, [str(wish.to)], as_json=as_json)
    else:
        print_report({**report, "output": _play(schedule, wish.port)}, [], as_json=as_json)
    return 0


def _check(wish: Wish, *, force: bool) -> None:
    """Says what of a wish means nothing, before anything is read."""
    if wish.part is not None and wish.through is not None:
        raise WrongUse("play: --part plays one part and --through all up to one; ask for one of the two.")
    if wish.to is not None and wish.port is not None:
        raise WrongUse(
            "play: --to writes the built-in piano's sound and --port plays on a port; ask for one of the two."
        )
    slowest, fastest = SLOWEST_SPEED * 100, FASTEST_SPEED * 100
    if not math.isfinite(wish.percent) or not slowest <= wish.percent <= fastest:
        raise WrongUse(f"play: --speed is {wish.percent:g}; it must be from {slowest:g} to {fastest:g} percent.")
    if wish.to is not None:
        if wish.to.suffix.lower() != WAV:
            raise WrongUse(f"{wish.to}: sound is written as {WAV} alone; end the name in {WAV}.")
        refuse_to_overwrite([wish.to], force=force)


def _selection(name: str, song: Song, wish: Wish) -> Selection:
    try:
        if wish.part is not None:
            chosen = one_part(song, wish.part)
        elif wish.through is not None:
            chosen = run_through(song, wish.through)
        else:
            chosen = whole_song(song)
    except DomainError as error:
        count = len(song.parts)
        has = f"parts 1 to {count}" if count > 1 else "one part, number 1"
        raise WrongUse(f"{name}: there is no part {error.value}; the song has {has}.") from error
    hands = BOTH_HANDS if wish.hand is None else frozenset({Hand(wish.hand)})
    return replace(chosen, hands=hands, speed=wish.percent / 100)


def _render(schedule: Schedule, path: Path, *, force: bool) -> None:
    from app.engine.piano_samples import piano_samples
    from core.sound.piano import Piano, render_schedule
    from core.sound.wav import write_wav

    with working(f"rendering {schedule.length:.0f} seconds"):
        bank = piano_samples()
        sound = write_wav(render_schedule(schedule, Piano(bank)), bank.rate)
    write_whole({path: sound}, force=force)


def _play(schedule: Schedule, port: str | None) -> str:
    """Plays through the engine until it has ended; returns what it was heard through."""
    from app.engine.player import play_schedule

    try:
        with working(f"playing {schedule.length:.0f} seconds; Control-C stops it"):
            return play_schedule(schedule, port)
    except DeviceError as error:
        raise DeviceError(f"{error} To hear it on another machine, add --to and the name of a {WAV} file.") from error
