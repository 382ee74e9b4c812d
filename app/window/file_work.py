"""Work with files that takes long; done in the helper process, so this file knows no window."""

from __future__ import annotations

from pathlib import Path

from app.commands.quiet import quiet
from app.commands.song_files import song_bytes, song_named
from app.commands.whole_files import write_folder, write_whole
from app.document.lesson_store import open_lesson
from app.plan_materials import plan_assets
from core.formats.reading import Reading
from core.formats.registry import named_tune, tunes_in, write_song
from core.handover.registry import write_plan
from core.session.timing import LessonSettings
from core.song.song import Song


def read_foreign(name: str) -> Reading | tuple[str, ...]:
    """The song in a file of any kind; the titles of its tunes where the file is a book of several.

    Raises FormatError for a file that cannot be read.
    """
    if named_tune(name)[1] is None:
        with quiet():
            titles = tunes_in(name, song_bytes(name))
        if len(titles) > 1:
            return titles
    return song_named(name)


def write_session_plan(song: Song, settings: LessonSettings, folder: str) -> tuple[str, ...]:
    """Write the session plan into a folder, in the place of an older one; the paths written.

    Raises PlanError where there is nothing to plan, FormatError where the files cannot be written.
    """
    with quiet():
        contents = write_plan(song, settings, plan_assets())
    return tuple(str(path) for path in write_folder(Path(folder), contents, force=True))


def write_plan_of_file(path: str, settings: LessonSettings, folder: str) -> str:
    """Write the session plan of a lesson file into a new folder of its name inside another one; the new folder.

    Raises PlanError where there is nothing to plan, FormatError where something cannot be read or written, or where
    the folder holds a plan already, which is left as it is.
    """
    name = Path(path).stem
    with quiet():
        contents = write_plan(open_lesson(Path(path)).song, settings, plan_assets())
    write_folder(Path(folder) / name, contents, force=False)
    return name


def write_foreign(song: Song, path: str) -> str:
    """Write a song in the format of a name's ending, in the place of an older file; the path.

    Raises FormatError where it cannot be written.
    """
    with quiet():
        data = write_song(path, song)
    write_whole({Path(path): data}, force=True)
    return path
