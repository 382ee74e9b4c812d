"""``plan``: the session plan, as a document to print, a page, a table and data."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from app.commands.quiet import quiet
from app.commands.song_files import song_named
from app.commands.speech import note, print_report, working
from app.commands.whole_files import write_folder
from app.plan_materials import plan_assets
from core.handover.registry import write_plan
from core.session.running_order import USUAL_SETTINGS, running_order, total_seconds
from core.song.errors import PlanError
from core.teaching.naming import Naming


def plan_lesson(name: str, out: str, *, force: bool, as_json: bool, naming: str = Naming.LETTERS.value) -> int:
    """Writes the plan of a song's lesson into a folder; returns the exit status.

    Args:
        name: the song's file, as typed.
        out: the folder, made if it is not there.
        force: whether files that are there already are replaced.
        as_json: whether the report is an object.
        naming: what notes and chords are called.

    Raises:
        DomainError: for an unknown way of naming.
    """
    settings = replace(USUAL_SETTINGS, naming=naming)
    with working(f"planning {name}"):
        reading = song_named(name)
        try:
            with quiet():
                contents = write_plan(reading.song, settings, plan_assets())
                segments = running_order(reading.song, settings)
        except PlanError as error:
            raise PlanError(f"{name}: {error}") from error
    written = [str(path) for path in write_folder(Path(out), contents, force=force)]
    report = {
        "file": name,
        "title": reading.song.title,
        "segments": len(segments),
        "seconds": round(total_seconds(segments), 2),
        "written": written,
        "warnings": list(reading.warnings),
    }
    if not as_json:
        for warning in reading.warnings:
            note(f"{name}: {warning}")
    print_report(report, written, as_json=as_json)
    return 0
