"""``convert``: a song from any format that can be read into one that can be written."""

from __future__ import annotations

from pathlib import Path

from app.commands.quiet import quiet
from app.commands.song_files import song_named
from app.commands.speech import note, print_report, working
from app.commands.whole_files import write_whole
from core.formats.registry import write_song
from core.song.wording import say


def convert_song(name: str, out: str, *, force: bool, as_json: bool) -> int:
    """Writes a song as another file; returns the exit status.

    Args:
        name: the song's file, as typed.
        out: the file to write; its ending says the format.
        force: whether a file that is there already is replaced.
        as_json: whether the report is an object.
    """
    with working(say("converting {file}", file=name)):
        reading = song_named(name)
        with quiet():
            data = write_song(out, reading.song)
    write_whole({Path(out): data}, force=force)
    if not as_json:
        for warning in reading.warnings:
            note(say("{file}: {warning}", file=name, warning=warning))
    report = {"file": name, "title": reading.song.title, "written": [out], "warnings": list(reading.warnings)}
    print_report(report, [out], as_json=as_json)
    return 0
