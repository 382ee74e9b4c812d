"""Every format that can be read or written, and the one door through which files come in and go out."""

from __future__ import annotations

import re
from typing import Final

from core.edits.recut import recut
from core.formats.abc_reader import AbcReader
from core.formats.heard_chords import with_heard_chords
from core.formats.lesson_file import LessonFile
from core.formats.midi_reader import MidiReader
from core.formats.midi_writer import MidiWriter
from core.formats.musicxml_reader import MusicXmlReader
from core.formats.musicxml_writer import MusicXmlWriter
from core.formats.played_reader import PlayedReader
from core.formats.reading import Reader, Reading, Writer
from core.formats.suggested_chords import with_suggested_chords
from core.song.errors import ForeignFileError, FormatError
from core.song.song import Song
from core.song.wording import say
from core.teaching.splitting import propose_cuts

READERS: Final[tuple[Reader, ...]] = (LessonFile(), MusicXmlReader(), MidiReader(), AbcReader(), PlayedReader())
WRITERS: Final[tuple[Writer, ...]] = (LessonFile(), MusicXmlWriter(), MidiWriter())

readable_endings: Final = tuple(ending for reader in READERS for ending in reader.endings)
writable_endings: Final = tuple(ending for writer in WRITERS for ending in writer.endings)

_TUNE: Final = re.compile(r"(.+)#([1-9]\d{0,6})")


def read_song(name: str, data: bytes) -> Reading:
    """The song in a file, cut into parts.

    Args:
        name: the file's name, whose ending says the format; ``#3`` after it picks the third tune of a book.
        data: its bytes.

    Raises:
        ForeignFileError: the ending is of no format that can be read, or the file is not what its ending says.
        FormatError: anything else that keeps the file from being read, in one sentence.
    """
    file_name, tune = named_tune(name)
    reader = _reader_of(file_name)
    if tune is not None and tune > 1 and len(reader.titles(file_name, data)) == 1:
        raise FormatError(file_name, f"#{tune}", say("it holds one song only"), say("leave the number away"))
    reading = reader.read(file_name, data, tune)
    if not isinstance(reader, LessonFile):
        reading = with_suggested_chords(with_heard_chords(reading))
    if reading.has_cuts or not any(part.notes for part in reading.song.parts):
        return reading
    song = recut(reading.song, propose_cuts(reading.song, slurs=reading.slurs))
    return Reading(song, reading.warnings, has_cuts=False, slurs=reading.slurs)


def tunes_in(name: str, data: bytes) -> tuple[str, ...]:
    """The titles of a file's tunes in order: several for a book of tunes, else one; raises FormatError."""
    file_name, _ = named_tune(name)
    return _reader_of(file_name).titles(file_name, data)


def write_song(name: str, song: Song) -> bytes:
    """The file of a song in the format of the name's ending; raises ForeignFileError for another ending."""
    ending = _ending(name)
    for writer in WRITERS:
        if ending in writer.endings:
            return writer.write(name, song)
    trouble = say("no song can be written with the ending “{ending}”", ending=ending)
    raise ForeignFileError(name, "", trouble, say("end the name in {endings}", endings=_listed(writable_endings)))


def named_tune(name: str) -> tuple[str, int | None]:
    """A name apart: the file's own, and the number of the tune after ``#``, or None."""
    found = _TUNE.fullmatch(name)
    if found is None or _ending(found[1]) not in readable_endings:
        return name, None
    return found[1], int(found[2])


def _reader_of(name: str) -> Reader:
    ending = _ending(name)
    for reader in READERS:
        if ending in reader.endings:
            return reader
    if ending:
        trouble = say("songs are not read from files with the ending “{ending}”", ending=ending)
    else:
        trouble = say("the name has no ending")
    raise ForeignFileError(
        name, "", trouble, say("open a file that ends in {endings}", endings=_listed(readable_endings))
    )


def _ending(name: str) -> str:
    stem, dot, ending = name.rpartition(".")
    return f".{ending.lower()}" if dot and stem else ""


def _listed(endings: tuple[str, ...]) -> str:
    return say("{endings} or {last}", endings=", ".join(endings[:-1]), last=endings[-1])
