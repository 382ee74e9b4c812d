"""What the list of songs says of a lesson; read and computed in the helper process, so this file knows no window.

What reading and computing need is imported where they happen: the window, too, imports this file, and only to
show what the helper found.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from core.song.errors import PhrasebenchError, PlanError

LESSON_ENDING: Final = ".lesson"
CHORDS_NAMED: Final = 8
"""How many different chords of a song are listed."""


@dataclass(frozen=True, slots=True)
class SongEntry:
    """A lesson in the list.

    Attributes:
        path: its file.
        title: the song's title, or the file's name where it cannot be read.
        key: with its mode.
        chords: its different chords in order of first sounding.
        parts: how many it is cut into.
        effort: of the whole song, 0 … 100.
        seconds: how long the camera session lasts, or None where there is nothing to teach yet.
        changed: when the file was last changed, in seconds since 1970.
        trouble: one sentence where the file cannot be read, else empty.
    """

    path: str
    title: str
    key: str = ""
    chords: tuple[str, ...] = ()
    parts: int = 0
    effort: float = 0.0
    seconds: float | None = None
    changed: float = 0.0
    trouble: str = ""

    @property
    def searched(self) -> str:
        """Everything that typing filters by, in small letters."""
        return " ".join((self.title, self.key, *self.chords, Path(self.path).name)).casefold()


def lessons_in(folder: str) -> tuple[str, ...]:
    """Paths of the lesson files directly in a folder, by name; raises OSError where it cannot be read."""
    found = (path for path in Path(folder).iterdir() if path.suffix.lower() == LESSON_ENDING and path.is_file())
    return tuple(str(path) for path in sorted(found, key=lambda path: path.name.casefold()))


def describe_lesson(path: str) -> SongEntry:
    """Read a lesson and say what the list shows; never raises for a file that cannot be read."""
    from core.formats.lesson_file import LessonFile
    from core.session.analysis import song_effort
    from core.session.running_order import running_order, total_seconds
    from core.theory.chord_symbols import show_chord

    file = Path(path)
    try:
        changed = file.stat().st_mtime
        song = LessonFile().read(file.name, file.read_bytes()).song
    except PhrasebenchError as error:
        return SongEntry(path, file.stem, changed=changed, trouble=str(error))
    except OSError as error:
        return SongEntry(path, file.stem, trouble=f"{file.name}: {(error.strerror or 'cannot be read').lower()}.")
    chords = dict.fromkeys(show_chord(chord.symbol) for _, chord in song.placed_chords() if not chord.symbol.is_silent)
    try:
        seconds = total_seconds(running_order(song))
    except PlanError:
        seconds = None
    return SongEntry(
        path,
        song.title,
        song.key.symbol,
        tuple(chords)[:CHORDS_NAMED],
        len(song.parts),
        song_effort(song).total if any(part.notes for part in song.parts) else 0.0,
        seconds,
        changed,
    )
