"""Widths of text come from the font's table."""

import pytest

from core.drawing.metrics import FontMetrics
from core.song.errors import DomainError
from tests.helpers.font_metrics import font_metrics

TABLE = {
    "units_per_em": 1000,
    "ascent": 900,
    "descent": 300,
    "capital_height": 700,
    "advances": {"regular": {"a": 500, "b": 600}, "semibold": {"a": 550, "b": 650}},
}


def test_a_line_is_as_wide_as_its_letters_together() -> None:
    metrics = FontMetrics.of_table(TABLE)
    assert metrics.width("aab", 10) == pytest.approx(16.0)
    assert metrics.width("aab", 10, bold=True) == pytest.approx(17.5)


def test_an_unknown_letter_is_one_em_wide() -> None:
    assert FontMetrics.of_table(TABLE).width("漢", 12) == pytest.approx(12.0)


def test_heights_grow_with_the_size() -> None:
    metrics = FontMetrics.of_table(TABLE)
    assert metrics.ascent(20) == pytest.approx(18.0)
    assert metrics.descent(20) == pytest.approx(6.0)
    assert metrics.capital_height(20) == pytest.approx(14.0)


def test_the_fitting_size_is_the_largest_that_fits_and_none_if_even_the_smallest_does_not() -> None:
    metrics = FontMetrics.of_table(TABLE)
    assert metrics.fitting_size("aa", 10.0, 12.0, 6.0) == 10.0
    assert metrics.fitting_size("aa", 20.0, 12.0, 6.0) == 12.0
    assert metrics.fitting_size("aa", 5.0, 12.0, 6.0) is None
    assert metrics.fitting_size("", 0.0, 12.0, 6.0) == 12.0


def test_a_table_without_a_field_is_refused_by_name() -> None:
    with pytest.raises(DomainError, match="capital_height"):
        FontMetrics.of_table({name: value for name, value in TABLE.items() if name != "capital_height"})


def test_the_projects_fonts_have_every_sign_that_names_need() -> None:
    metrics = font_metrics()
    for letter in "ABCDEFGHabcdefgh0123456789♭♮♯𝄪𝄫·–→▶☐ÄÖÜäöüßŁłąęśćżźńéèêçœ":
        assert letter in metrics.regular
        assert letter in metrics.bold
