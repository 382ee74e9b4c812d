"""What writing a plan needs from outside core: the fonts among the assets, their widths, and the typesetter."""

from __future__ import annotations

import json

from app.resources import asset
from app.typesetting import typeset
from core.drawing.metrics import FontMetrics
from core.handover.assets import PLAN_FONTS, FontFile
from core.handover.registry import PlanAssets


def plan_assets() -> PlanAssets:
    """Fonts, widths and typesetter for ``core.handover.registry.write_plan``."""
    fonts = (FontFile(family, weight, asset(f"fonts/{name}")) for name, (family, weight) in PLAN_FONTS.items())
    return PlanAssets(FontMetrics.of_table(json.loads(asset("fonts/metrics.json"))), typeset, tuple(fonts))
