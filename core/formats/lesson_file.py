"""The lesson file (``.lesson``): readable JSON that holds a song with everything decided for teaching it.

::

    {
      "format": "phrasebench lesson", "version": 1, "title": …, "section": …, "composer": …, "rights": …,
      "keys": [{"onset": 0, "key": "E dorian"}], "metres": [{"onset": 0, "metre": "4/4"}],
      "tempos": [{"onset": 0, "bpm": 84}], "pickup": 0, "playing_order": [1, 2, 3],
      "hands": {"right_reach": 12, "left_reach": 12},
      "standing": {"state": "drafted", "asked_by": …, "asked_on": "2026-11-25", "rights_cleared": false},
      "phrases": [{"kind": "opening", "text": "Welcome. ‹words›"}],
      "parts": [{"duration": 8, "taught": true, "pattern": "block", "harmony": "none", "teaching_tempo": 60,
                 "words": [{"kind": "right_hand", "text": "Start on E …", "review": false}],
                 "chords": [{"onset": 0, "duration": 8, "symbol": "Em", "continued": false}, …],
                 "notes": [{"onset": 0, "duration": 1, "pitch": "E4", "hand": "right", "hand_given": true,
                            "melody": true, "finger": 1}, …]}, …]
    }

Times are quarter notes (a number, or a fraction in text such as ``"1/3"``); a song's and its changes' from the
song's start, a part's from the part's start. Left out, a field has its usual value: ``taught`` true, ``given``
and ``hand_given`` true (a lesson names its hands), ``hand`` right, ``melody`` true in the right hand. A part,
and a chord for itself, may have a ``voicing``: ``root`` (the usual) or ``nearest`` (inversion). A chord that is
not ``given`` was suggested from the melody. A lesson's state is ``wanted``, ``drafted`` (the usual), ``recorded`` or
``published``. Fields that this version does not know are kept and written again.
"""

from __future__ import annotations

from typing import Final

from core.formats.lesson_reading import FORMAT, MIGRATORS, VERSION, read_lesson
from core.formats.lesson_writing import write_lesson
from core.formats.reading import Reading
from core.song.song import Song

__all__ = ["FORMAT", "MIGRATORS", "VERSION", "LessonFile", "read_lesson", "write_lesson"]


class LessonFile:
    """Reads and writes lesson files."""

    endings: Final = (".lesson",)

    def read(self, name: str, data: bytes, tune: int | None = None) -> Reading:  # noqa: ARG002 - one song a file
        """The song of a lesson file; raises BrokenFileError, ForeignFileError or NewerFileError."""
        return Reading(read_lesson(name, data), has_cuts=True)

    def titles(self, name: str, data: bytes) -> tuple[str, ...]:
        """The song's title, as a list of one."""
        return (self.read(name, data).song.title,)

    def write(self, name: str, song: Song) -> bytes:  # noqa: ARG002 - nothing to say about the name
        """The lesson file of a song."""
        return write_lesson(song)
