"""From a song to the plan's PDF, beside the same document with fixed text.

Run by name: ``python -m tests.benchmarks.bench_plan``. Both sides run in one process, one after the other in each
round: ours from a song whose every part is a new object, so that nothing computed before is found again; the other
side sets the finished document, in which nothing has to be computed. In every round both get a new title, so that
the typesetter cannot answer either from memory. The median of the rounds counts.
"""

from __future__ import annotations

import json
import sys
import time
from statistics import median

from msgspec.structs import replace

from app.plan_materials import plan_assets
from app.resources import demo_songs
from app.typesetting import typeset
from core.formats.registry import read_song
from core.handover.plan_pdf import plan_document, write_plan_pdf
from core.handover.session_plan import session_plan
from core.handover.typesetting import TypesetDocument
from core.session.timing import LessonSettings
from core.song.song import Song
from tests.benchmarks.results import keep, show

ROUNDS = 15
TARGET = 1.5
SETTINGS = LessonSettings()


def fresh(song: Song, title: str) -> Song:
    """The song with every part a new object."""
    return replace(song, title=title, parts=tuple(replace(part) for part in song.parts))


def titled(document: TypesetDocument, title: str) -> TypesetDocument:
    """The finished document under another title."""
    plan = json.loads(document.inputs["plan"]) | {"title": title}
    return TypesetDocument(document.source, {**document.inputs, "plan": json.dumps(plan, ensure_ascii=False)})


def main() -> int:
    """Print and keep the table."""
    assets = plan_assets()
    figures: dict[str, object] = {"to reach": TARGET}
    show(f"{'song':24} {'plan':>9} {'fixed text':>11} {'ratio':>6}  to reach {TARGET}")
    for path in demo_songs():
        song = read_song(path.name, path.read_bytes()).song
        document = plan_document(session_plan(song, SETTINGS), assets)
        typeset(document)
        ours, fixed = [], []
        for round_number in range(ROUNDS):
            began = time.perf_counter()
            write_plan_pdf(session_plan(fresh(song, f"Ours {round_number}"), SETTINGS), assets)
            ours.append(time.perf_counter() - began)
            finished = titled(document, f"Fixed {round_number}")
            began = time.perf_counter()
            typeset(finished)
            fixed.append(time.perf_counter() - began)
        ratio = median(ours) / median(fixed)
        figures[path.stem] = {
            "plan ms": round(1e3 * median(ours), 1),
            "fixed text ms": round(1e3 * median(fixed), 1),
            "ratio": round(ratio, 2),
        }
        show(f"{path.stem:24} {1e3 * median(ours):7.1f}ms {1e3 * median(fixed):9.1f}ms {ratio:6.2f}")
    keep("plan", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())
