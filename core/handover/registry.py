"""The files of a session plan: one exporter each, behind one Protocol."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, Protocol

from msgspec import Struct

from core.handover.assets import PlanAssets
from core.handover.plan_csv import write_plan_csv
from core.handover.plan_html import write_plan_html
from core.handover.plan_json import write_plan_json
from core.handover.plan_pdf import write_plan_pdf
from core.handover.session_plan import Paper, SessionPlan, session_plan
from core.session.timing import LessonSettings
from core.song.song import Song
from core.teaching.naming import Naming

__all__ = ["EXPORTERS", "Paper", "PlanAssets", "PlanExporter", "write_plan"]


class PlanExporter(Protocol):
    """Writes a session plan as one file."""

    @property
    def file_name(self) -> str:
        """The name of the file."""

    def write(self, plan: SessionPlan, assets: PlanAssets) -> bytes:
        """The file's contents; the same plan gives the same bytes."""


class _Exporter(Struct, frozen=True):
    file_name: str
    write: Callable[[SessionPlan, PlanAssets], bytes]


EXPORTERS: Final[tuple[PlanExporter, ...]] = (
    _Exporter("plan.pdf", write_plan_pdf),
    _Exporter("plan.html", write_plan_html),
    _Exporter("plan.csv", lambda plan, _assets: write_plan_csv(plan)),
    _Exporter("plan.json", lambda plan, _assets: write_plan_json(plan)),
)


def write_plan(
    song: Song,
    settings: LessonSettings,
    assets: PlanAssets,
    paper: Paper = Paper.A4,
    naming: Naming | None = None,
) -> Mapping[str, bytes]:
    """A lesson's session plan as files.

    Args:
        song: the song.
        settings: how the teacher gives lessons.
        assets: fonts and typesetter.
        paper: the size of paper.
        naming: what notes are called, in place of what the settings say.

    Returns:
        The contents of each file by its name: ``plan.pdf``, ``plan.html``, ``plan.csv``, ``plan.json``.

    Raises:
        PlanError: for a song with nothing to teach.
    """
    plan = session_plan(song, settings, paper, naming)
    return {exporter.file_name: exporter.write(plan, assets) for exporter in EXPORTERS}
