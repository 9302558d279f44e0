"""Lengths, scales and shares as people write them."""

from __future__ import annotations

import doctest

import pytest

import tiler.geometry
import tiler.plan.tile
import tiler.units
from tiler.errors import UsageError
from tiler.geometry import Affine, Margins, Rect
from tiler.units import parse_length, parse_percent, parse_scale


@pytest.mark.parametrize("module", [tiler.units, tiler.plan.tile])
def test_the_examples_in_the_documentation_hold(module: object) -> None:
    result = doctest.testmod(module)  # type: ignore[arg-type]
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize("text", ["", "wide", "12 m", "1..2", "12mm 3mm", "nan", "-"])
def test_what_is_no_length_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(UsageError, match="as in 12mm"):
        parse_length(text)


@pytest.mark.parametrize("text", ["9" * 400, "-" + "9" * 300, "1000001", "101000 cm"])
def test_a_length_beyond_a_kilometre_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="more than a kilometre"):
        parse_length(text)


@pytest.mark.parametrize("text", ["0", "-1", "1:0", "50 50", "20", "x"])
def test_what_is_no_scale_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="is not a scale"):
        parse_scale(text)


@pytest.mark.parametrize("text", ["-1%", "91%", "light"])
def test_a_share_out_of_bounds_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="0 to 90 %"):
        parse_percent(text, 0, 90)


def test_an_affine_map_and_its_inverse_cancel() -> None:
    both = Affine(1.01, 0.02, -0.03, 0.98, 5, -7)
    there_and_back = both.then(both.inverse())
    assert there_and_back == pytest.approx((1, 0, 0, 1, 0, 0), abs=1e-12)


def test_turned_margins_take_the_larger_of_the_edges_that_may_meet() -> None:
    assert Margins(1, 2, 12, 4).turned() == Margins(4, 12, 4, 12)


def test_rectangles_that_only_touch_do_not_overlap() -> None:
    left, right = Rect(0, 0, 10, 10), Rect(10, 0, 10, 10)
    assert not left.overlaps(right)
    assert left.union(right) == Rect(0, 0, 20, 10)
    assert left.intersection(Rect(50, 50, 1, 1)).is_empty
