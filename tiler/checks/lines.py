"""Lines: strokes, and shapes as thin as strokes, that are too thin at true size."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import shapely

from tiler.checks.drawing import Stroke
from tiler.checks.finding import Finding
from tiler.checks.group import around, grouped
from tiler.checks.limits import Limit, Limits
from tiler.checks.pixels import lightness
from tiler.checks.sight import Sight
from tiler.units import MM_PER_POINT, format_number

HAIR = 0.01
"""A stroke thinner than this is a hairline, pt."""
SAME = 0.15
"""Strokes this near a structure line all along draw that line, mm."""
NEAR = 15.0
"""Lines of one width this near each other are told together, mm."""
BESIDE = 0.5
"""Distance from a line's edge at which its ground is sampled, mm."""
MOST_LOOKS = 3000
"""Lines whose ground is sampled; of more, only so many, evenly picked."""
MOST_PLACES = 12
"""Places along a line at which its ground is sampled."""
LIGHTER = 0.15
"""A line this much lighter than its ground is reversed (own choice, no source)."""


def widest_of_interest(limits: Limits) -> float:
    """Lines wider than this miss no limit, pt."""
    return max(limits[name].value for name in ("line_width", "line_reversed_width"))


def line_findings(sight: Sight, limits: Limits) -> Iterator[Finding]:
    """All findings on lines."""
    strokes = [stroke for stroke in sight.drawing.strokes if sight.is_printed(stroke.box)]
    strokes = _without_structure(sight, strokes)
    missed = [(stroke, limit, rule) for stroke in strokes for limit, rule in _missed(stroke, limits)]
    missed += _reversed(sight, strokes, limits)
    for same in grouped(
        missed, lambda item: item[0].box, lambda item: (item[2], round(item[0].width, 2)), NEAR
    ):
        yield _told([stroke for stroke, _, _ in same], same[0][1], same[0][2])


def _without_structure(sight: Sight, strokes: list[Stroke]) -> list[Stroke]:
    """Strokes that do not draw a cut, a crease or another line of the structure."""
    lines = [line.points for line in sight.structure.lines if line.length > 0]
    if not lines or not strokes:
        return strokes
    whole = shapely.multilinestrings([shapely.linestrings(points) for points in lines]).buffer(SAME)
    shapely.prepare(whole)
    shapes = [
        shapely.linestrings(s.points) if len(s.points) > 1 else shapely.points(s.points[0]) for s in strokes
    ]
    draws = shapely.contains(whole, np.array(shapes, dtype=object))
    return [stroke for stroke, is_structure in zip(strokes, draws, strict=True) if not is_structure]


def _missed(stroke: Stroke, limits: Limits) -> Iterator[tuple[Limit, str]]:
    """The limit that a stroke misses on any ground."""
    hair, plain = limits["hairline"], limits["line_width"]
    if stroke.width <= HAIR:
        if hair.severity is not None:
            yield hair, "line.hairline"
    elif plain.is_below(stroke.width):
        yield plain, "line.width"


def _reversed(sight: Sight, strokes: list[Stroke], limits: Limits) -> list[tuple[Stroke, Limit, str]]:
    """Strokes that are too thin only because they are light on dark."""
    plain, light = limits["line_width"], limits["line_reversed_width"]
    thin = [s for s in strokes if s.width > HAIR and light.is_below(s.width) and not plain.is_below(s.width)]
    looked_at = thin[:: -(-len(thin) // MOST_LOOKS)] if thin else []
    return [(stroke, light, "line.reversed") for stroke in looked_at if _is_reversed(sight, stroke)]


def _is_reversed(sight: Sight, stroke: Stroke) -> bool:
    """True for a line lighter than what lies beside it."""
    own = lightness(stroke.colour)
    if own < LIGHTER:
        return False
    places = _beside(stroke)
    if not places:
        return False
    ground = np.median(sight.pixels.at(np.array(places)).reshape(-1, 3), axis=0)
    return own - lightness(ground) > LIGHTER


def _beside(stroke: Stroke) -> list[tuple[float, float]]:
    """Places to both sides of a line's pieces."""
    away = stroke.width * MM_PER_POINT / 2 + BESIDE
    pieces = list(pairwise(stroke.points))
    places = []
    for (x0, y0), (x1, y1) in pieces[:: max(1, len(pieces) // MOST_PLACES)]:
        length = math.hypot(x1 - x0, y1 - y0)
        if length > 0:
            dx, dy = -(y1 - y0) / length * away, (x1 - x0) / length * away
            x, y = (x0 + x1) / 2, (y0 + y1) / 2
            places += [(x + dx, y + dy), (x - dx, y - dy)]
    return places


def _told(strokes: list[Stroke], limit: Limit, rule: str) -> Finding:
    """One finding for lines of one width that lie together."""
    width = min(stroke.width for stroke in strokes)
    many = len(strokes) > 1
    subject = f"{len(strokes)} lines" if many else "Line"
    box = around([stroke.box for stroke in strokes])
    if rule == "line.hairline":
        subject = f"{len(strokes)} hairlines" if many else "Hairline"
        message = f"{subject} of width 0: give {'them' if many else 'it'} a width in points"
        return limit.finding(rule, box, message, 0.0)
    kind = "light on dark, " if rule == "line.reversed" else ""
    message = f"{subject} of {format_number(width, 3)} pt, {kind}below {format_number(limit.value, 2)} pt"
    return limit.finding(rule, box, message, width)
