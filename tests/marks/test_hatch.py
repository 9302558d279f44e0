"""Hatching."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from shapely.geometry import LineString, Polygon

from tests.outlines import covers, outline
from tiler.geometry import Point, Rect
from tiler.marks.hatch import PITCH, hatch

TRAPEZIUM = (Point(10, 10), Point(22, 10), Point(22, 88), Point(10, 100))


def test_every_stroke_lies_inside_and_reaches_the_outline() -> None:
    outside = Polygon(TRAPEZIUM).buffer(1e-6)
    lines = hatch(TRAPEZIUM)
    assert len(lines) > 20
    for line in lines:
        assert covers(outside, outline(line))
        assert outside.exterior.distance(LineString(line.points).boundary) < line.width


def test_lines_run_at_45_degrees_one_pitch_apart() -> None:
    lines = hatch(Rect(0, 0, 40, 12).corners)
    sums = sorted(line.points[0].x + line.points[0].y for line in lines)
    for line in lines:
        assert sum(line.points[0]) == pytest.approx(sum(line.points[1]))
    steps = {round((b - a) / math.sqrt(2), 6) for a, b in pairwise(sums)}
    assert steps == {PITCH}
