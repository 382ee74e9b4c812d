"""``plan``: the session plan, as a document to print, a page, a table and data."""

from __future__ import annotations

import difflib
from pathlib import Path

from msgspec.structs import replace

from app.commands.quiet import quiet
from app.commands.song_files import song_in_parts, song_named
from app.commands.speech import WrongUse, note, print_report, working
from app.commands.whole_files import write_folder
from app.plan_materials import plan_assets
from app.settings.settings_place import kept_settings, settings_path
from core.handover.registry import write_plan
from core.session.lesson_settings import LessonSettings
from core.session.running_order import USUAL_SETTINGS, running_order, total_seconds
from core.session.script_check import script_warnings
from core.song.errors import PlanError
from core.song.wording import say


def plan_lesson(
    name: str,
    out: str,
    *,
    force: bool,
    as_json: bool,
    naming: str | None = None,
    preset: str | None = None,
    parts: int | None = None,
) -> int:
    """Writes the plan of a song's lesson into a folder; returns the exit status.

    Args:
        name: the song's file, as typed.
        out: the folder, made if it is not there.
        force: whether files that are there already are replaced.
        as_json: whether the report is an object.
        naming: what notes and chords are called; None to leave it to the preset or, without one, to letters.
        preset: the preset by which the lesson is given; None for the usual values.
        parts: how many parts the song is cut into; None to leave its own or those proposed.

    Raises:
        WrongUse: there is no such preset.
        PhrasebenchError: the settings or the song cannot be read, the way of naming is unknown, or nothing can be
            planned.
    """
    settings = USUAL_SETTINGS if preset is None else _lesson_by(preset)
    if naming is not None:
        settings = replace(settings, naming=naming)
    with working(say("planning {file}", file=name)):
        song, remarks = song_in_parts(song_named(name), parts)
        try:
            with quiet():
                contents = write_plan(song, settings, plan_assets())
                segments = running_order(song, settings)
        except PlanError as error:
            raise PlanError(say("{file}: {error}", file=name, error=error)) from error
    warnings = [*remarks, *script_warnings(song, settings.way_of_naming)]
    written = [str(path) for path in write_folder(Path(out), contents, force=force)]
    report = {
        "file": name,
        "title": song.title,
        "segments": len(segments),
        "seconds": round(total_seconds(segments), 2),
        "written": written,
        "warnings": warnings,
    }
    if preset is not None:
        report["preset"] = preset
    if not as_json:
        for warning in warnings:
            note(say("{file}: {warning}", file=name, warning=warning))
    print_report(report, written, as_json=as_json)
    return 0


def _lesson_by(preset: str) -> LessonSettings:
    """How lessons are given by a preset that the window has kept."""
    settings = kept_settings(settings_path())
    names = [known.name for known in settings.presets]
    if preset in names:
        return settings.lesson_as(preset)
    if not names:
        raise WrongUse(
            say(
                "plan: there is no preset “{preset}”, nor any other yet; Settings in the window keeps them.",
                preset=preset,
            )
        )
    near = difflib.get_close_matches(preset, names, n=1)
    listed = ", ".join(say("“{name}”", name=name) for name in names)
    if near:
        raise WrongUse(
            say(
                "plan: there is no preset “{preset}”; did you mean “{near}”? There are {presets}.",
                preset=preset,
                near=near[0],
                presets=listed,
            )
        )
    raise WrongUse(say("plan: there is no preset “{preset}”; there are {presets}.", preset=preset, presets=listed))
