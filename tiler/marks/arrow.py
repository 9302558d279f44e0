"""The slim arrow that points to a neighbour or tells an order."""

from __future__ import annotations

import math

from tiler.geometry import Point
from tiler.marks.shapes import Area, Line, Shape
from tiler.marks.style import BLACK, FINE

HEAD_LENGTH = 1.6
"""Mm; with the half width below, the head is as slim as that of a dimension line (house style)."""
HEAD_HALF = 0.35
"""Half the width of the head, mm."""


def head(tip: Point, degrees: float, grey: float = BLACK, size: float = 1.0) -> Area:
    """A filled arrow head ending in ``tip``; 0 degrees points right, 90 down."""
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    back, half = HEAD_LENGTH * size, HEAD_HALF * size
    base = tip.shifted(-back * cosine, -back * sine)
    side = (-sine * half, cosine * half)
    return Area((tip, base.shifted(*side), base.shifted(-side[0], -side[1])), grey)


def arrow(
    tail: Point, tip: Point, grey: float = BLACK, width: float = FINE, halo: float = 0.0
) -> tuple[Shape, ...]:
    """A shaft with a filled head at ``tip``; shorter than a head, it is a head alone."""
    degrees = math.degrees(math.atan2(tip.y - tail.y, tip.x - tail.x))
    length = math.hypot(tip.x - tail.x, tip.y - tail.y)
    size = min(1.0, length / HEAD_LENGTH) if length else 0.0
    share = max(0.0, 1 - HEAD_LENGTH * size / length) if length else 0.0
    neck = Point(tail.x + (tip.x - tail.x) * share, tail.y + (tip.y - tail.y) * share)
    shaft = (Line((tail, neck), width, grey, halo=halo),) if share > 0 else ()
    return (*shaft, head(tip, degrees, grey, size))
