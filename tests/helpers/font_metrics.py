"""The font metrics that tests lay pictures out with: those of the project's own fonts."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from core.drawing.metrics import FontMetrics

FONTS = Path(__file__).resolve().parents[2] / "assets" / "fonts"


@cache
def font_metrics() -> FontMetrics:
    """Widths of the text font's letters."""
    return FontMetrics.of_table(json.loads((FONTS / "metrics.json").read_text(encoding="utf-8")))
