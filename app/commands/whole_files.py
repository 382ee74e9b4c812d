"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from core.song.errors import FormatError
from core.song.wording import say, to_say

ANOTHER_PLACE = to_say("choose a place where there is room and you may write")


def refuse_to_overwrite(paths: Mapping[Path, str] | list[Path], *, force: bool) -> None:
    """Raises FormatError for the first of the paths at which something stands already, unless told to go on."""
    for path in paths:
        try:
            is_folder = path.is_dir()
        except OSError as error:
            raise FormatError(
                str(path), "", say("it cannot be written ({reason})", reason=_reason(error)), say(ANOTHER_PLACE)
            ) from error
        if is_folder:
            raise FormatError(str(path), "", say("this is a folder"), say("name a file"))
        if not force and os.path.lexists(path):
            raise FormatError(
                str(path), "", say("this file is there already"), say("choose another name or add --force")
            )


def write_whole(contents: Mapping[Path, bytes], *, force: bool) -> None:
    """Writes files beside their places first and moves them there only when all of them are written.

    A name that stands for a file elsewhere (a symbolic link) goes on doing so: that file is replaced.

    Args:
        contents: the bytes of each file; the folders must be there.
        force: whether files that are there already are replaced.

    Raises:
        FormatError: a file is there already, or cannot be written; then nothing is left behind.
    """
    refuse_to_overwrite(list(contents), force=force)
    beside: dict[Path, Path] = {}
    path = Path()
    try:
        for path, data in contents.items():
            beside[path] = _written_beside(_place_of(path), data)
        for path, written in beside.items():
            written.replace(_place_of(path))
    except OSError as error:
        raise FormatError(
            str(path), "", say("it cannot be written ({reason})", reason=_reason(error)), say(ANOTHER_PLACE)
        ) from error
    finally:
        for written in beside.values():
            written.unlink(missing_ok=True)


def write_streamed(path: Path, fill: Callable[[BinaryIO], None], *, force: bool) -> None:
    """Has a file filled beside its place and moves it there only when that is done.

    Raises:
        FormatError: as ``write_whole``; whatever `fill` raises leaves nothing behind either.
    """
    refuse_to_overwrite([path], force=force)
    written = None
    try:
        written = _filled_beside(_place_of(path), fill)
        written.replace(_place_of(path))
    except OSError as error:
        raise FormatError(
            str(path), "", say("it cannot be written ({reason})", reason=_reason(error)), say(ANOTHER_PLACE)
        ) from error
    finally:
        if written is not None:
            written.unlink(missing_ok=True)


def write_folder(folder: Path, contents: Mapping[str, bytes], *, force: bool) -> list[Path]:
    """Writes files into a folder, which is made if it is not there; returns their paths.

    Raises:
        FormatError: as ``write_whole``; a folder that was made for the files goes again when they cannot be written.
    """
    paths = {folder / name: data for name, data in contents.items()}
    refuse_to_overwrite(list(paths), force=force)
    made = _made_folders(folder)
    try:
        write_whole(paths, force=force)
    except BaseException:
        with suppress(OSError):  # where something has got into one meanwhile, it stays
            for new in reversed(made):
                new.rmdir()
        raise
    return list(paths)


def _made_folders(folder: Path) -> list[Path]:
    """Makes a folder with those above it and returns the ones that were not there, outermost first."""
    absent = [folder, *folder.parents]
    made = []
    try:
        for place in reversed(absent):
            if not place.exists():
                place.mkdir()
                made.append(place)
        if not folder.is_dir():
            raise NotADirectoryError(20, say("not a folder"))
    except OSError as error:
        for new in reversed(made):
            new.rmdir()
        trouble = say("this folder cannot be made ({reason})", reason=_reason(error))
        raise FormatError(str(folder), "", trouble, say("choose a place where you may write")) from error
    return made


def _place_of(path: Path) -> Path:
    return Path(os.path.realpath(path))


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _written_beside(path: Path, data: bytes) -> Path:
    """A new file with the data in it."""

    def fill(file: BinaryIO) -> None:
        file.write(data)

    return _filled_beside(path, fill)


def _filled_beside(path: Path, fill: Callable[[BinaryIO], None]) -> Path:
    """A new file, filled, beside the place where it is to go and with the rights a new file has."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name[:100]}.", suffix=".new", dir=path.parent)
    written = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            fill(file)
            file.flush()
            os.fsync(file.fileno())
        written.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_mask())
    except BaseException:
        written.unlink(missing_ok=True)
        raise
    return written


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
