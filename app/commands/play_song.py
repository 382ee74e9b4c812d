"""``play``: a song, a part or a run-through, heard or rendered to a file."""

from __future__ import annotations

import math
from pathlib import Path
from typing import BinaryIO

from msgspec import Struct
from msgspec.structs import replace

from app.commands.chosen_outputs import chosen_outputs, output_named
from app.commands.song_files import song_named
from app.commands.speech import WrongUse, note, print_report, working
from app.commands.whole_files import refuse_to_overwrite, write_streamed
from core.performance.in_a_row import at_speed
from core.performance.output import PIANO, Output
from core.performance.schedule import Schedule, make_schedule
from core.performance.selection import (
    BOTH_HANDS,
    FASTEST_SPEED,
    SLOWEST_SPEED,
    Selection,
    bars_of_song,
    one_part,
    parts_in_a_row,
    run_through,
    whole_song,
)
from core.song.errors import DeviceError, DomainError, PlanError
from core.song.note import Hand
from core.song.song import Song
from core.song.wording import say, say_counted

WAV = ".wav"
SOUND_ENDINGS = (WAV, ".flac")


class Wish(Struct, frozen=True):
    """What is to be played, as it was asked for.

    Attributes:
        part: the number of one part, or None.
        through: the number of the last part of a run-through, or None; with neither, the song as it goes.
        hand: ``right`` or ``left``, or None for both.
        percent: of the song's tempo.
        port: a MIDI port's name, or None for the built-in piano.
        also: further outputs, as `app.commands.chosen_outputs` reads them.
        sound_font: the file of a SoundFont that sounds in place of the built-in piano, or None.
        to: the file to render to, or None to play.
        row: parts in a row, in words, or None.
        segment: the number of a segment of the lesson, played as it is recorded, or None.
        softer: a hand that is heard softer, or None.
        times: how often it is played in a row.
        rise: percent of the first time's speed by which each further time is faster.
        count_in: whether a bar is counted before it.
        metronome: clicks to a beat, 0 for none.
        bars: bars of the song, in words, or None.
        click: percent of the usual level of the metronome.
    """

    part: int | None = None
    through: int | None = None
    hand: str | None = None
    percent: float = 100.0
    port: str | None = None
    also: tuple[str, ...] = ()
    sound_font: Path | None = None
    to: Path | None = None
    row: str | None = None
    segment: int | None = None
    softer: str | None = None
    times: int = 1
    rise: float = 0.0
    count_in: bool = False
    metronome: int = 0
    bars: str | None = None
    click: float = 100.0


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
    parts, schedule = _schedule(name, reading.song, wish)
    if not any(event.kind == "on" for event in schedule.events):
        raise PlanError(
            say("{file}: there is nothing to hear in what was asked for; choose another part or hand.", file=name)
        )
    if not as_json:
        for warning in reading.warnings:
            note(say("{file}: {warning}", file=name, warning=warning))
    report: dict[str, object] = {
        "file": name,
        "title": reading.song.title,
        "parts": list(parts),
        "seconds": round(schedule.length, 2),
        "warnings": list(reading.warnings),
    }
    if wish.to is not None:
        _render(schedule, wish, wish.to, force=force)
        print_report({**report, "written": [str(wish.to)]}, [str(wish.to)], as_json=as_json)
    else:
        print_report({**report, "output": _play(schedule, wish)}, [], as_json=as_json)
    return 0


def _check(wish: Wish, *, force: bool) -> None:
    """Says what of a wish means nothing, before anything is read."""
    asked = [
        option
        for option, value in (
            ("--part", wish.part),
            ("--through", wish.through),
            ("--parts", wish.row),
            ("--bars", wish.bars),
            ("--segment", wish.segment),
        )
        if value is not None
    ]
    if len(asked) > 1:
        options = asked[0]
        for option in asked[1:]:
            options = say("{options} and {option}", options=options, option=option)
        raise WrongUse(say("play: {options} each say what is played; ask for one of them.", options=options))
    if wish.segment is not None and _changed(wish):
        raise WrongUse(
            say("play: --segment plays as it is recorded; leave the options for hands, times and clicks away.")
        )
    if wish.to is not None and (wish.port is not None or wish.also):
        asked_for = "--port" if wish.port is not None else "--also"
        raise WrongUse(
            say(
                "play: --to writes the built-in piano's sound and {option} plays on a port; ask for one of the two.",
                option=asked_for,
            )
        )
    if (
        wish.sound_font is not None
        and wish.to is None
        and wish.port is not None
        and PIANO not in map(output_named, wish.also)
    ):
        raise WrongUse(
            say("play: --soundfont sounds in place of the built-in piano; leave --port away, or add --also piano.")
        )
    slowest, fastest = SLOWEST_SPEED * 100, FASTEST_SPEED * 100
    if not math.isfinite(wish.percent) or not slowest <= wish.percent <= fastest:
        raise WrongUse(
            say(
                "play: --speed is {speed}; it must be from {slowest} to {fastest} percent.",
                speed=f"{wish.percent:g}",
                slowest=f"{slowest:g}",
                fastest=f"{fastest:g}",
            )
        )
    if wish.to is not None:
        if wish.to.suffix.lower() not in SOUND_ENDINGS:
            wav, flac = SOUND_ENDINGS
            raise WrongUse(
                say("{file}: sound is written as {wav} or {flac}; end the name so.", file=wish.to, wav=wav, flac=flac)
            )
        refuse_to_overwrite([wish.to], force=force)


def _changed(wish: Wish) -> bool:
    """Whether something is asked for that a segment has of its own."""
    plain = Wish()
    fields = ("hand", "softer", "times", "rise", "count_in", "metronome", "click")
    return any(getattr(wish, field) != getattr(plain, field) for field in fields)


def _schedule(name: str, song: Song, wish: Wish) -> tuple[tuple[int, ...], Schedule]:
    """The parts that are played, and the whole performance."""
    if wish.segment is None:
        selection = _selection(name, song, wish)
        return selection.parts, make_schedule(song, selection)
    from core.session.running_order import running_order
    from core.session.segment_playing import segment_numbered, segment_schedule

    segment = segment_numbered(running_order(song), wish.segment)
    return segment.parts, at_speed(segment_schedule(song, segment), wish.percent / 100)


def _selection(name: str, song: Song, wish: Wish) -> Selection:
    try:
        if wish.part is not None:
            chosen = one_part(song, wish.part)
        elif wish.through is not None:
            chosen = run_through(song, wish.through)
        elif wish.row is not None:
            chosen = parts_in_a_row(song, wish.row)
        elif wish.bars is not None:
            chosen = bars_of_song(song, wish.bars)
        else:
            chosen = whole_song(song)
    except DomainError as error:
        if wish.bars is not None:
            raise WrongUse(say("{file}: {error}", file=name, error=error)) from error
        if wish.row is not None and not isinstance(error.value, int):
            raise WrongUse(
                say("play: --parts is “{parts}”; say for example “3, then 1-3” or “2 x 4”.", parts=wish.row)
            ) from error
        raise WrongUse(
            say_counted(
                "{file}: there is no part {number}; the song has one part, number 1.",
                "{file}: there is no part {number}; the song has parts 1 to {count}.",
                len(song.parts),
                file=name,
                number=error.value,
            )
        ) from error
    hands = BOTH_HANDS if wish.hand is None else frozenset({Hand(wish.hand)})
    try:
        return replace(
            chosen,
            hands=hands,
            speed=wish.percent / 100,
            softer=Hand(wish.softer) if wish.softer else None,
            times=wish.times,
            rise=wish.rise / 100,
            count_in=wish.count_in,
            metronome=wish.metronome > 0,
            subdivisions=max(1, wish.metronome),
            click_level=wish.click / 100,
        )
    except DomainError as error:
        raise WrongUse(say("play: {error}", error=error)) from error


def _render(schedule: Schedule, wish: Wish, path: Path, *, force: bool) -> None:
    from app.engine.piano_samples import piano_samples
    from app.engine.sound_font import SoundFont
    from core.sound.flac import FlacStream
    from core.sound.instrument import instrument_blocks
    from core.sound.piano import Piano, render_blocks
    from core.sound.wav import WavStream

    def fill(file: BinaryIO) -> None:
        stream = WavStream(bank.rate) if path.suffix.lower() == WAV else FlacStream(bank.rate)
        file.write(stream.head())
        if wish.sound_font is None:
            blocks = render_blocks(schedule, piano)
        else:
            blocks = instrument_blocks(schedule, SoundFont(wish.sound_font, piano), bank.rate)
        file.writelines(stream.add(block) for block in blocks)
        file.write(stream.end())
        file.seek(0)
        file.write(stream.head())

    with working(say("rendering {seconds} seconds", seconds=f"{schedule.length:.0f}")):
        bank = piano_samples()
        piano = Piano(bank)
        write_streamed(path, fill, force=force)


def _play(schedule: Schedule, wish: Wish) -> str:
    """Plays through the engine until it has ended; returns what it was heard through."""
    from app.engine.player import play_schedule

    outputs = chosen_outputs((wish.port or PIANO, *wish.also)) if wish.port or wish.also else (Output(PIANO),)
    sound_font = "" if wish.sound_font is None else str(wish.sound_font.absolute())
    try:
        with working(say("playing {seconds} seconds; Control-C stops it", seconds=f"{schedule.length:.0f}")):
            return play_schedule(
                schedule,
                outputs,
                sound_font=sound_font,
                tell=lambda sentence: note(say("play: {sentence}", sentence=sentence)),
            )
    except DeviceError as error:
        raise DeviceError(
            say(
                "{error} To hear it on another machine, add --to and the name of a {ending} file.",
                error=error,
                ending=WAV,
            )
        ) from error
