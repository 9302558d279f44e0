"""Hatching at 45 degrees inside a convex polygon."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tiler.geometry import EPSILON, Point
from tiler.marks.shapes import Line
from tiler.marks.style import FAINT, HAIR

PITCH = 1.8
"""Distance between two lines of the hatching, mm."""


def hatch(polygon: Sequence[Point], pitch: float = PITCH, grey: float = FAINT) -> tuple[Line, ...]:
    """Lines running up to the right, so spaced that neighbouring polygons of one sheet match.

    Args:
        polygon: Corners of a convex polygon, in order.
        pitch: Distance between lines, mm.
        grey: Of the lines.
    """
    step = pitch * math.sqrt(2)
    sums = [corner.x + corner.y for corner in polygon]
    first, last = math.ceil(min(sums) / step), math.floor(max(sums) / step)
    lines = (_across(polygon, number * step) for number in range(first, last + 1))
    return tuple(Line(ends, HAIR, grey) for ends in lines if ends is not None)


def _across(polygon: Sequence[Point], total: float) -> tuple[Point, Point] | None:
    """Where the line x + y = ``total`` enters and leaves; None when it only touches."""
    met: list[Point] = []
    for start, end in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        before, after = start.x + start.y - total, end.x + end.y - total
        if (before < 0) == (after < 0):
            continue
        share = before / (before - after)
        met.append(Point(start.x + share * (end.x - start.x), start.y + share * (end.y - start.y)))
    if len(met) != 2 or abs(met[0].x - met[1].x) < EPSILON:
        return None
    low, high = sorted(met)
    back = HAIR / 2 / math.sqrt(2)
    if high.x - low.x <= 2 * back:
        return None
    # Drawn back by half their width, so that not even the corners of the strokes leave the polygon.
    return low.shifted(back, -back), high.shifted(-back, back)
