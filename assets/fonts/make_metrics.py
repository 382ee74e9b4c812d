"""Make the table of advance widths that pictures are laid out with.

    python assets/fonts/make_metrics.py [FOLDER]

Pictures are laid out without a screen and without a font engine, so the widths of the letters are written down
once, from the font files in this folder. Kerning, which moves letters by a few hundredths of the height, is left out.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from fontTools.ttLib import TTFont

WEIGHTS = {
    "regular": ("AtkinsonHyperlegibleNext-Regular.ttf", "PhrasebenchSigns.ttf"),
    "semibold": ("AtkinsonHyperlegibleNext-SemiBold.ttf", "PhrasebenchSigns-SemiBold.ttf"),
}
"""For each weight the fonts in the order in which a letter is looked for."""


def advances(paths: list[Path]) -> dict[str, int]:
    """Advance width of every letter in font units, from the first font that has it."""
    widths: dict[str, int] = {}
    for path in paths:
        font = TTFont(path)
        for code, glyph in font.getBestCmap().items():
            widths.setdefault(chr(code), font["hmtx"][glyph][0])
    return dict(sorted(widths.items()))


def metrics(folder: Path) -> dict[str, object]:
    """The table: vertical measures and, for each weight, advance widths; all in font units."""
    text_font = TTFont(folder / WEIGHTS["regular"][0])
    return {
        "family": "Atkinson Hyperlegible Next",
        "units_per_em": text_font["head"].unitsPerEm,
        "ascent": text_font["hhea"].ascent,
        "descent": -text_font["hhea"].descent,
        "capital_height": text_font["OS/2"].sCapHeight,
        "small_height": text_font["OS/2"].sxHeight,
        "advances": {weight: advances([folder / name for name in names]) for weight, names in WEIGHTS.items()},
    }


if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    table = json.dumps(metrics(target), ensure_ascii=False, indent=1)
    (target / "metrics.json").write_text(table + "\n", encoding="utf-8")
