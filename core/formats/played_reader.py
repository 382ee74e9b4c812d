"""Reading what was played in: a file of messages with their times, as the recorder leaves it.

The first line says when it was begun, on which keyboard, and, where it was played to a click, at which tempo (quarter
notes a minute); each line after it is a message, ``[seconds, status, data, data]``. A file that the machine broke off
in its last line is read up to there. What was played after a silence of `SILENCE` seconds is a take of its own, chosen
like a tune of a book.

Tempo and note values are told from the playing. Nothing in it says where bars begin, so that the first beat counts as
the first of a bar of 4/4.
"""

from __future__ import annotations

import json
from typing import Final

from core.formats.played_times import Played, Take, takes_apart, written_take
from core.formats.reading import Reading
from core.formats.song_building import build_song
from core.formats.source import Source, SourceBar, SourceNote
from core.song.errors import BrokenFileError, ForeignFileError, FormatError, SeveralTunesError
from core.song.metre import Metre, MetreChange, bars_of
from core.song.tempo import FASTEST_TEMPO, SLOWEST_TEMPO
from core.song.wording import say, say_counted, to_say
from core.theory.key_finding import find_key
from core.theory.spelling import spell

SILENCE: Final = 8.0
"""Seconds: longer than anybody holds a pause inside a piece."""
LONGEST: Final = 86_400.0
"""Seconds; a time beyond a day is a damaged one."""
NOTE_ON: Final = 0x90
NOTE_OFF: Final = 0x80
PEDAL: Final = (0xB0, 64)
"""Status and number of the sustain pedal (MIDI 1.0)."""
HELD_TO_THE_END: Final = 0.5
"""Seconds for a key of which nobody knows when it came up."""

BARS_GUESSED: Final = to_say(
    "Bar lines are not heard in playing: the first beat was taken as the first of a bar of 4/4."
)
TEMPO_TOLD: Final = to_say("The tempo and the note values were told from the playing.")
PEDAL_LEFT_OUT: Final = to_say("The pedal was left out.")
CUT_SHORT: Final = to_say("The last line is cut short and was left out.")


class PlayedReader:
    """Reads what was recorded from a keyboard."""

    endings: Final = (".played",)

    def titles(self, name: str, data: bytes) -> tuple[str, ...]:
        """A title for each take: the file's name, with its number where there are several; raises FormatError."""
        takes = _opened(name, data).takes
        title = name.rpartition(".")[0] or name
        return (
            tuple(say("{title}, take {number}", title=title, number=number) for number in range(1, len(takes) + 1))
            if len(takes) > 1
            else (title,)
        )

    def read(self, name: str, data: bytes, tune: int | None = None) -> Reading:
        """The song of a take.

        Raises:
            ForeignFileError: nothing that was recorded.
            BrokenFileError: a line in its middle cannot be read.
            SeveralTunesError: several takes, and none named; the message lists them.
            FormatError: no take with that number.
        """
        found = _opened(name, data)
        number = _chosen(name, len(found.takes), tune)
        title = self.titles(name, data)[number - 1]
        warnings = [*found.warnings]
        if not found.takes:
            return build_song(Source(bars=_bars(0), warnings=tuple(warnings)), title)
        take = written_take(found.takes[number - 1], found.tempo)
        warnings += [say(BARS_GUESSED)] if found.tempo else [say(TEMPO_TOLD), say(BARS_GUESSED)]
        return build_song(_source(take, tuple(warnings)), title)


class _Opened:
    """A file that was recorded, its messages paired to keys."""

    def __init__(self, tempo: float | None, keys: list[Played], warnings: list[str]) -> None:
        self.tempo = tempo
        self.takes = tuple(takes_apart(keys, SILENCE))
        self.warnings = warnings


def _opened(name: str, data: bytes) -> _Opened:
    lines = data.split(b"\n")
    head = _json(lines[0])
    if not isinstance(head, dict) or "begun" not in head:
        trouble = say("nothing that was played in is kept in it") if data else say("the file is empty")
        raise ForeignFileError(name, "", trouble, say("open a file that the recorder has written"))
    warnings: list[str] = []
    tempo = head.get("tempo")
    if not isinstance(tempo, int | float) or not SLOWEST_TEMPO <= tempo <= FASTEST_TEMPO:
        tempo = None
    keys: list[Played] = []
    down: dict[tuple[int, int], tuple[float, int]] = {}
    now, has_pedal = 0.0, False
    for number, line in enumerate(lines[1:], 2):
        if not line.strip():
            continue
        message = _message(line)
        if message is None:
            if number == len(lines):
                warnings.append(say(CUT_SHORT))
                break
            raise BrokenFileError(
                name, say("line {line}", line=number), say("it is no message of a keyboard"), say("take the line out")
            )
        now, status, data_1, data_2 = message
        kind, key = status & 0xF0, (status & 0x0F, data_1)
        if kind in (NOTE_ON, NOTE_OFF):
            if key in down:
                since, velocity = down.pop(key)
                keys.append(Played(since, now, data_1, velocity))
            if kind == NOTE_ON and data_2:
                down[key] = (now, data_2)
        elif (kind, data_1) == PEDAL and not has_pedal:
            has_pedal = True
            warnings.append(say(PEDAL_LEFT_OUT))
    keys += [
        Played(since, max(now, since + HELD_TO_THE_END), midi, velocity)
        for (_, midi), (since, velocity) in down.items()
    ]
    return _Opened(tempo, keys, warnings)


def _json(line: bytes) -> object:
    try:
        return json.loads(line)
    except (ValueError, RecursionError):
        return None


def _message(line: bytes) -> tuple[float, int, int, int] | None:
    found = _json(line)
    if not isinstance(found, list) or len(found) != 4:
        return None
    seconds, status, *data = found
    if not isinstance(seconds, int | float) or not 0 <= seconds <= LONGEST:
        return None
    if type(status) is not int or not 0x80 <= status <= 0xFF:
        return None
    if any(type(value) is not int or not 0 <= value <= 127 for value in data):
        return None
    return float(seconds), status, data[0], data[1]


def _chosen(name: str, takes: int, tune: int | None) -> int:
    if tune is None:
        if takes > 1:
            trouble = say_counted(
                "it holds {count} take with silence around it",
                "it holds {count} takes with silence between them",
                takes,
            )
            remedy = say("choose one: {first} to {last}", first=f"{name}#1", last=f"{name}#{takes}")
            raise SeveralTunesError(name, "", trouble, remedy)
        return 1
    if tune > max(1, takes):
        has = say_counted("it holds one take only", "it holds {count} takes", max(1, takes))
        raise FormatError(name, f"#{tune}", has, say("choose one of these"))
    return tune


def _source(take: Take, warnings: tuple[str, ...]) -> Source:
    key = find_key([(note.onset, note.duration, note.midi) for note in take.notes]).key
    pitches = spell([note.midi for note in take.notes], key, [note.onset for note in take.notes])
    return Source(
        notes=tuple(
            SourceNote(note.onset, note.duration, pitch) for note, pitch in zip(take.notes, pitches, strict=True)
        ),
        bars=_bars(max(note.onset + note.duration for note in take.notes)),
        tempos=((0, round(take.bpm, 1)),),
        warnings=warnings,
    )


def _bars(end: int) -> tuple[SourceBar, ...]:
    bars = bars_of((MetreChange(0, Metre()),), 0, max(1, end))
    return tuple(SourceBar(bar.onset, bar.metre.bar_ticks, bar.metre) for bar in bars)
