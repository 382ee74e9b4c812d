"""``inspect``: everything that is computed for a song, one JSON object on a line of its own for each."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from app.commands.quiet import quiet
from app.commands.song_files import song_named, tunes_of_book
from app.commands.speech import WrongUse, complain, print_json, working
from app.commands.unforeseen import foreseen
from core.session.inspection import FIELDS, inspect_song
from core.session.lesson_settings import LessonSettings
from core.session.running_order import USUAL_SETTINGS
from core.song.errors import PhrasebenchError, SeveralTunesError
from core.song.wording import say
from core.teaching.naming import Naming

ALWAYS = ("file", "error")
"""Fields that are printed whether they are asked for or not."""


def inspect_songs(names: Sequence[str], only: frozenset[str] | None, naming: str = Naming.LETTERS.value) -> int:
    """Prints an object for each song in each file.

    Args:
        names: the files as typed.
        only: the fields wanted, None for all.
        naming: what notes and chords are called in the words.

    Returns:
        The exit status: 0, 1 if some of several songs failed, 2 if the only one did.

    Raises:
        DomainError: for an unknown way of naming.
    """
    settings = replace(USUAL_SETTINGS, naming=naming)
    printed = [done for name in names for done in _inspect_file(name, only, settings)]
    if all(printed):
        return 0
    return 2 if len(printed) == 1 else 1


def fields_named(text: str | None) -> frozenset[str] | None:
    """The fields that ``--only`` asks for; None for all.

    Raises:
        WrongUse: a field that does not exist; the nearest one that does is named.
    """
    if text is None:
        return None
    names = frozenset(name.strip() for name in text.split(",") if name.strip())
    known = (*ALWAYS, *FIELDS)
    for name in sorted(names):
        if name not in known:
            near = difflib.get_close_matches(name, known, n=1)
            if near:
                raise WrongUse(say("inspect has no field “{field}”: did you mean “{near}”?", field=name, near=near[0]))
            raise WrongUse(
                say("inspect has no field “{field}”: there are {known}.", field=name, known=", ".join(known))
            )
    return names


def _inspect_file(name: str, only: frozenset[str] | None, settings: LessonSettings) -> Iterator[bool]:
    """Prints the songs of a file one after another; says of each whether it could be read."""
    tunes = []
    try:
        yield _inspect(name, only, settings)
    except SeveralTunesError:
        tunes = tunes_of_book(name)
    for tune in tunes:
        yield _inspect(tune, only, settings)


def _inspect(name: str, only: frozenset[str] | None, settings: LessonSettings) -> bool:
    try:
        with working(say("reading {file}", file=name)), foreseen(name):
            reading = song_named(name)
            with quiet():
                inspection = inspect_song(reading.song, only, reading.warnings, settings)
    except SeveralTunesError:
        raise
    except PhrasebenchError as error:
        _print_failure(name, str(error))
        return False
    print_json({"file": name, **inspection})
    return True


def _print_failure(name: str, error: str) -> None:
    print_json({"file": name, "error": error})
    complain(error)
