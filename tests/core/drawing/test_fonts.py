"""The font files and their tables are what their scripts make."""

import json
import runpy
from pathlib import Path
from typing import Any

import pytest
from fontTools.ttLib import TTFont

from tests.helpers.font_metrics import FONTS

FILES = sorted(FONTS.glob("*.ttf"))


def script(name: str) -> dict[str, Any]:
    return runpy.run_path(str(FONTS / name))


def test_the_font_of_signs_is_made_anew_to_the_same_bytes(tmp_path: Path) -> None:
    signs = script("make_signs.py")
    weights = (("REGULAR", ""), ("SEMIBOLD", "-SemiBold"), ("BOLD", "-Bold"))
    for weight, ending in weights:
        name = f"PhrasebenchSigns{ending}.ttf"
        signs["make"](signs[weight], tmp_path / name)
        assert (tmp_path / name).read_bytes() == (FONTS / name).read_bytes()


def test_the_table_of_widths_is_made_anew_to_the_same_figures() -> None:
    made = script("make_metrics.py")["metrics"](FONTS)
    assert made == json.loads((FONTS / "metrics.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_all_fonts_stand_on_the_same_lines(path: Path) -> None:
    font = TTFont(path)
    measures = font["hhea"].ascent, font["hhea"].descent, font["hhea"].lineGap, font["head"].unitsPerEm
    assert measures == (984, -316, 0, 1000)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_font_is_found_by_family_and_weight(path: Path) -> None:
    font = TTFont(path)
    family = "Phrasebench Signs" if "Signs" in path.stem else "Atkinson Hyperlegible Next"
    weight = {"SemiBold": 600, "Bold": 700}.get(path.stem.partition("-")[2], 400)
    assert font["name"].getBestFamilyName() == family
    assert font["OS/2"].usWeightClass == weight


def test_every_sign_has_an_outline_in_every_weight() -> None:
    for path in FILES:
        if "Signs" not in path.stem:
            continue
        font = TTFont(path)
        for code, glyph in font.getBestCmap().items():
            assert font["glyf"][glyph].numberOfContours > 0, chr(code)


def test_the_text_font_comes_with_its_licence_and_has_no_reserved_name() -> None:
    licence = (FONTS / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    copyright_notice = licence[: licence.index("This Font Software is licensed")]
    assert "Reserved Font Name" not in copyright_notice


def test_the_text_font_has_every_sign_inside_so_that_no_second_font_is_needed() -> None:
    signs = set(TTFont(FONTS / "PhrasebenchSigns.ttf").getBestCmap())
    for path in FILES:
        assert signs <= set(TTFont(path).getBestCmap()), path.name
