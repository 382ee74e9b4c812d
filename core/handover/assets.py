"""What the exporters need from outside: fonts, their widths, a typesetter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from core.drawing.metrics import FontMetrics
from core.handover.typesetting import Typesetter


@dataclass(frozen=True, slots=True, eq=False)
class FontFile:
    """A font to be put inside a page.

    Attributes:
        family: its family's name.
        weight: 400 regular, 600 semi-bold.
        data: the bytes of a TrueType file.
    """

    family: str
    weight: int
    data: bytes = field(repr=False)


@dataclass(frozen=True, slots=True, eq=False)
class PlanAssets:
    """What writing a plan needs besides the song.

    Attributes:
        metrics: widths of letters, from ``assets/fonts/metrics.json``.
        typeset: sets the PDF.
        fonts: fonts for the HTML page; without any, the page asks for the reader's own fonts.
    """

    metrics: FontMetrics
    typeset: Typesetter
    fonts: tuple[FontFile, ...] = ()


FontTable = Mapping[str, tuple[str, int]]
PLAN_FONTS: FontTable = {
    "AtkinsonHyperlegibleNext-Regular.ttf": ("Atkinson Hyperlegible Next", 400),
    "AtkinsonHyperlegibleNext-SemiBold.ttf": ("Atkinson Hyperlegible Next", 600),
}
"""Family and weight of each font file that a page holds, by its name in ``assets/fonts``."""
