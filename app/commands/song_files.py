"""Songs from the files that a command line names."""

from __future__ import annotations

import errno
from pathlib import Path

from app.commands.quiet import quiet
from core.edits.recut import recut
from core.formats.reading import Reading
from core.formats.registry import named_tune, read_song, tunes_in
from core.song.errors import FormatError
from core.song.song import Song
from core.song.wording import say, to_say
from core.teaching.splitting import propose_cuts

REMEDIES = {
    errno.ENOENT: (to_say("there is no such file"), to_say("check its name and folder")),
    errno.ENOTDIR: (to_say("there is no such file"), to_say("check its name and folder")),
    errno.EISDIR: (to_say("this is a folder"), to_say("name a file in it")),
    errno.EACCES: (to_say("this file may not be read"), to_say("ask its owner for the right to read it")),
    errno.EPERM: (to_say("this file may not be read"), to_say("ask its owner for the right to read it")),
    errno.ENAMETOOLONG: (to_say("no file can have so long a name"), to_say("check its name")),
}


def song_bytes(name: str) -> bytes:
    """The bytes of a file.

    Args:
        name: its path, as typed; ``#3`` after a book's name is not part of it.

    Raises:
        FormatError: it is not there or cannot be read.
    """
    file_name, _ = named_tune(name)
    path = Path(file_name)
    if not file_name:
        raise FormatError(say("The name of the song"), "", say("it is empty"), say("name a file"))
    try:
        if path.exists() and not path.is_file() and not path.is_dir():
            raise FormatError(file_name, "", say("this is a device, not a file"), say("name a file"))
        return path.read_bytes()
    except OSError as error:
        book, sign, number = file_name.rpartition("#")
        if error.errno == errno.ENOENT and sign and Path(book).is_file():
            trouble = say("tunes are counted from 1, so none is “{number}”", number=number)
            raise FormatError(book, f"#{number}", trouble, say("name one, as in {tune}", tune=f"{book}#1")) from error
        if error.errno in REMEDIES:
            trouble, remedy = map(say, REMEDIES[error.errno])
        else:
            trouble = (error.strerror or say("it cannot be read")).lower()
            remedy = say("check the disk that it is on")
        raise FormatError(file_name, "", trouble, remedy) from error
    except ValueError as error:  # a null character in a name
        raise FormatError(file_name, "", say("no file can have this name"), say("check its name")) from error


def song_named(name: str) -> Reading:
    """The song in a file, or the one that ``#3`` after a book's name picks; raises FormatError."""
    data = song_bytes(name)
    with quiet():
        return read_song(name, data)


def song_in_parts(reading: Reading, count: int | None) -> tuple[Song, tuple[str, ...]]:
    """A song that was read, cut anew into a number of parts, and what is to be said of it.

    Args:
        reading: as it was read.
        count: how many parts are wanted; None to leave those it has.

    Raises:
        DomainError: for a count below 1.
    """
    if count is None:
        return reading.song, reading.warnings
    song = recut(reading.song, propose_cuts(reading.song, count, slurs=reading.slurs))
    if len(song.parts) == count:
        return song, reading.warnings
    nearest = say(
        "The song cannot be cut into {wanted} parts; it has {count}, the nearest number.",
        wanted=count,
        count=len(song.parts),
    )
    return song, (*reading.warnings, nearest)


def tunes_of_book(name: str) -> list[str]:
    """The names of a book's tunes, ``book.abc#1``, ``book.abc#2`` …; raises FormatError where it cannot be read."""
    data = song_bytes(name)
    with quiet():
        titles = tunes_in(name, data)
    return [f"{name}#{number}" for number in range(1, len(titles) + 1)]
