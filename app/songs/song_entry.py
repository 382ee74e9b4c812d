"""What the list of songs says of a lesson; read and computed in the helper process, so this file knows no window.

What reading and computing need is imported where they happen: the window, too, imports this file, and only to
show what the helper found.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path
from typing import Final

from msgspec import Struct

from core.song.errors import PhrasebenchError, PlanError
from core.song.wording import say

LESSON_ENDING: Final = ".lesson"
TITLES_KEPT: Final = 1 << 15
"""So many titles are compared with others without being taken apart anew."""
NO_LETTERS: Final = {code: " " for code in range(128) if not chr(code).isalnum()}


class SongEntry(Struct, frozen=True):
    """A lesson in the list.

    Attributes:
        path: its file.
        title: the song's title, or the file's name where it cannot be read.
        key: with its mode.
        chords: its different chords in order of first sounding, as they are shown.
        parts: how many it is cut into.
        effort: of the whole song, 0 … 100.
        seconds: how long the camera session lasts, or None where there is nothing to teach yet.
        changed: when the file was last changed, in seconds since 1970.
        trouble: one sentence where the file cannot be read, else empty.
        state: wanted, drafted, recorded or published.
        asked_by: who asked for the song; may be empty.
        asked_on: the day they asked, as ``2026-11-25``; may be empty.
        rights: the note of rights; may be empty.
        rights_cleared: whether its owner says that the song may be sold and published.
        words: what else typing finds: composer, section, the teacher's own words, chords as typed; empty in an entry
            that comes from the index, which keeps it for finding.
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
    state: str = "drafted"
    asked_by: str = ""
    asked_on: str = ""
    rights: str = ""
    rights_cleared: bool = False
    words: str = ""

    @property
    def searched(self) -> str:
        """Everything that typing finds the lesson by."""
        name = Path(self.path).name
        facts = (self.title, self.key, *self.chords, name, self.state, self.asked_by, self.asked_on, self.rights)
        return " ".join((*facts, self.words))

    @property
    def song(self) -> str:
        """What lessons of one song have in common: the title without accents, capitals, signs and a leading article."""
        return song_of_title(self.title)


@lru_cache(maxsize=TITLES_KEPT)
def song_of_title(title: str) -> str:
    """A title as it is compared with others."""
    plain = title.casefold()
    if plain.isascii():
        words = plain.translate(NO_LETTERS).split()
    else:
        letters = (letter for letter in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(letter))
        words = "".join(letter if letter.isalnum() else " " for letter in letters).split()
    return " ".join(words[1:] if len(words) > 1 and words[0] in ("the", "a", "an") else words)


def _unread(file: Path, error: OSError) -> str:
    return say("{file}: {reason}.", file=file.name, reason=(error.strerror or say("cannot be read")).lower())


def describe_lesson(path: str) -> SongEntry:
    """Read a lesson and say what the list shows; never raises for a file that cannot be read."""
    from core.formats.lesson_file import LessonFile
    from core.session.analysis import song_effort
    from core.session.running_order import running_order, total_seconds
    from core.theory.chord_symbols import show_chord, write_chord

    file = Path(path)
    try:
        changed = file.stat().st_mtime
        song = LessonFile().read(file.name, file.read_bytes()).song
    except PhrasebenchError as error:
        return SongEntry(path, file.stem, changed=changed, trouble=str(error))
    except OSError as error:
        return SongEntry(path, file.stem, trouble=_unread(file, error))
    symbols = dict.fromkeys(chord.symbol for _, chord in song.placed_chords() if not chord.symbol.is_silent)
    try:
        seconds = total_seconds(running_order(song))
    except PlanError:
        seconds = None
    own_words = (words.text for part in song.parts for words in part.teaching.words)
    return SongEntry(
        path,
        song.title,
        song.key.symbol,
        tuple(dict.fromkeys(show_chord(symbol) for symbol in symbols)),
        len(song.parts),
        song_effort(song).total if any(part.notes for part in song.parts) else 0.0,
        seconds,
        changed,
        state=song.standing.state,
        asked_by=song.standing.asked_by,
        asked_on=song.standing.asked_on,
        rights=song.rights,
        rights_cleared=song.standing.rights_cleared,
        words=" ".join((song.composer, song.section, song.key.plain, *map(write_chord, symbols), *own_words)),
    )
