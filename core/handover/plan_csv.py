"""The session plan as a table for spreadsheets: ``plan.csv``, one row a segment (RFC 4180, in UTF-8)."""

from __future__ import annotations

import csv
import io
from typing import Final

from core.handover.plan_words import joined, what_to_play
from core.handover.session_plan import SessionPlan
from core.session.asides import aside_line

COLUMNS: Final = ("number", "start", "seconds", "kind", "parts", "title", "say", "play")


def write_plan_csv(plan: SessionPlan) -> bytes:
    """``plan.csv``: start and length in seconds, part numbers with blanks between them."""
    table = io.StringIO(newline="")
    writer = csv.writer(table)
    writer.writerow(COLUMNS)
    for segment in plan.segments:
        writer.writerow(
            (
                segment.number,
                round(segment.start, 3),
                round(segment.seconds, 3),
                segment.kind,
                " ".join(map(str, segment.parts)),
                segment.title,
                joined((*segment.say, *(aside_line(plan.song, aside) for aside in segment.asides))),
                what_to_play(plan.song, segment),
            )
        )
    return table.getvalue().encode()
