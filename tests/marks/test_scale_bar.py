"""The bar that every sheet is measured by."""

from __future__ import annotations

import pytest

from tests.outlines import covers, outline, rectangle
from tiler.geometry import Rect
from tiler.marks.scale_bar import LENGTHS, bar_size, scale_bar
from tiler.marks.shapes import Line, Words
from tiler.pack.ink import text_width
from tiler.units import POINTS_PER_MM


def ends(length: float, upright: bool) -> list[float]:
    """Where the middles of the two highest ticks stand along the bar, mm."""
    place = Rect(17.3, 21.7, *bar_size(length, upright))
    lines = [shape for shape in scale_bar(place, upright, text_width) if isinstance(shape, Line)]
    across = 0 if upright else 1
    heights = [abs(line.points[0][across] - line.points[1][across]) for line in lines]
    along = 1 - across
    return sorted(
        line.points[0][along]
        for line, height in zip(lines, heights, strict=True)
        if height > max(heights) - 1e-6
    )


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("length", LENGTHS)
def test_the_end_ticks_are_exactly_the_length_apart(length: float, upright: bool) -> None:
    first, last = ends(length, upright)
    assert last - first == pytest.approx(length, abs=1e-9)


def test_100_mm_are_283_465_points() -> None:
    """ISO 32000-2, 8.3.2.3: the unit of user space is 1/72 inch; an inch is 25.4 mm by definition."""
    first, last = ends(100.0, False)
    assert (last - first) * POINTS_PER_MM == pytest.approx(283.465, abs=0.0005)


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("length", LENGTHS)
def test_a_bar_fills_its_place_and_leaves_it_nowhere(length: float, upright: bool) -> None:
    place = Rect(17.3, 21.7, *bar_size(length, upright))
    room = rectangle(place.grown(1e-6))
    for shape in scale_bar(place, upright, text_width):
        assert covers(room, outline(shape))


def test_ticks_stand_every_10_mm_and_every_millimetre_of_the_first_10() -> None:
    place = Rect(0, 0, *bar_size(100.0, False))
    left = place.x + (place.width - 100) / 2
    lines = [s for s in scale_bar(place, False, text_width) if isinstance(s, Line)]
    found = sorted({round(s.points[0].x - left, 6) for s in lines if s.points[0].x == s.points[1].x})
    assert found == [*range(0, 10), *range(10, 101, 10)]


def test_a_short_bar_says_its_length_and_drops_the_rest() -> None:
    place = Rect(0, 0, *bar_size(20.0, False))
    texts = [s.text for s in scale_bar(place, False, text_width) if isinstance(s, Words)]
    assert texts == ["20 mm"]
