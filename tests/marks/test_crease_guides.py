"""Crease guides on faces and in the waste."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from tests.sample_plans import grid_2x3, one_tile
from tiler.geometry import Point, Rect
from tiler.marks.crease_guides import PATTERNS, TICK, WORDS, clip, draw_guides
from tiler.marks.facts import GuideLine
from tiler.marks.shapes import Line

numbers = st.floats(-100, 300).map(lambda value: round(value, 2))


@given(numbers, numbers, numbers, numbers)
def test_clipping_agrees_with_shapely(x1: float, y1: float, x2: float, y2: float) -> None:
    """Shapely's intersection is the reference."""
    rect = Rect(0, 0, 200, 150)
    expected = LineString([(x1, y1), (x2, y2)]).intersection(box(0, 0, 200, 150)).length
    part = clip(Point(x1, y1), Point(x2, y2), rect)
    assert (math.dist(*part) if part else 0.0) == pytest.approx(expected, abs=1e-5)


def test_every_kind_of_line_has_its_own_pattern_and_words() -> None:
    assert len(set(PATTERNS.values())) == len(PATTERNS) == len(WORDS)


def test_a_guide_over_a_seam_is_drawn_on_both_tiles_at_the_same_place() -> None:
    plan = grid_2x3()
    guide = GuideLine(Point(100, 60), Point(250, 60), ticks=False)
    found = []
    for label in ("A1", "A2"):
        tile = plan.tile(label)
        (line,) = draw_guides([guide], tile, "full")
        assert isinstance(line, Line)
        found.append([point.shifted(-tile.to_sheet.x, -tile.to_sheet.y) for point in line.points])
    assert found[0] == [Point(100, 60), Point(plan.tile("A1").window.right, 60)]
    assert found[1] == [Point(plan.tile("A2").window.x, 60), Point(250, 60)]


def test_ticks_stand_beyond_both_ends_in_line_with_the_crease() -> None:
    tile = one_tile().tiles[0]
    guide = GuideLine(Point(40, 50), Point(100, 50))
    start, end = draw_guides([guide], tile, "ticks")
    assert isinstance(start, Line)
    assert isinstance(end, Line)
    xs = [point.x - tile.to_sheet.x for point in (*start.points, *end.points)]
    assert xs == pytest.approx([39, 39 - TICK, 101, 101 + TICK])
    assert {point.y - tile.to_sheet.y for point in (*start.points, *end.points)} == {50}


def test_a_tile_that_an_end_does_not_lie_on_has_no_tick_for_it() -> None:
    plan = grid_2x3()
    guide = GuideLine(Point(100, 60), Point(300, 60))
    assert len(draw_guides([guide], plan.tile("A1"), "ticks")) == 1
    assert len(draw_guides([guide], plan.tile("B1"), "ticks")) == 0


def test_nothing_is_drawn_in_mode_none() -> None:
    guide = GuideLine(Point(40, 50), Point(100, 50))
    assert draw_guides([guide], one_tile().tiles[0], "none") == ()
