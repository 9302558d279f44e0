"""Panels: the faces of the flat, named in reading order and measured."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from tiler.geometry import Point, Rect
from tiler.structure.faces import Face
from tiler.structure.network import GRID

_ROW = 5.0
"""Panels whose middles differ in height by less than this belong to one row of reading, mm."""
_RECTANGULAR = 0.97
"""Share of its tightest rectangle that a rectangular panel fills; rounded corners and bevels take a
little."""


@dataclass(frozen=True)
class Panel:
    """A face bounded by cuts and creases."""

    id: str
    """P1, P2 … in reading order."""
    polygon: tuple[Point, ...]
    """Its outline, flat coordinates, mm; the first point is not repeated."""
    holes: tuple[tuple[Point, ...], ...]
    """Outlines of holes within it."""
    area: float
    """Without its holes, mm²."""
    width: float
    """mm, across as it lies; along the more level side for a rectangular panel that lies askew."""
    height: float
    """mm, the other way."""
    centre: Point
    """A place well within it, for its name."""

    @property
    def box(self) -> Rect:
        """The upright rectangle around it."""
        xs, ys = [p.x for p in self.polygon], [p.y for p in self.polygon]
        return Rect.between(min(xs), min(ys), max(xs), max(ys))

    @property
    def shape(self) -> Polygon:
        """The panel as a shapely polygon."""
        return Polygon(self.polygon, self.holes)


def named(faces: Sequence[Face]) -> tuple[tuple[Face, ...], tuple[Panel, ...]]:
    """The faces in reading order, and the panels they make."""
    ordered = reading_order(faces)
    return ordered, tuple(_panel(f"P{number}", face.polygon) for number, face in enumerate(ordered, 1))


def reading_order(faces: Sequence[Face]) -> tuple[Face, ...]:
    """Row by row from the top, each row from the left; by the middle of each face's box."""
    middles = []
    for face in faces:
        left, top, right, bottom = face.polygon.bounds
        middles.append(((top + bottom) / 2, (left + right) / 2))
    order = sorted(range(len(faces)), key=lambda index: middles[index])
    rows: list[list[int]] = []
    for index in order:
        if rows and middles[index][0] - middles[rows[-1][0]][0] < _ROW:
            rows[-1].append(index)
        else:
            rows.append([index])
    return tuple(faces[i] for row in rows for i in sorted(row, key=lambda i: (middles[i][1], middles[i][0])))


def _panel(name: str, polygon: Polygon) -> Panel:
    """Measure one face."""
    outline = shapely.simplify(polygon, GRID)
    width, height = _extent(polygon)
    centre = shapely.maximum_inscribed_circle(outline, tolerance=1.0).coords[0]
    return Panel(
        name,
        _ring(outline.exterior),
        tuple(_ring(ring) for ring in outline.interiors),
        polygon.area,
        width,
        height,
        Point(*centre),
    )


def _ring(ring: object) -> tuple[Point, ...]:
    return tuple(Point(x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist())


def _extent(polygon: Polygon) -> tuple[float, float]:
    """Width and height, along its own sides when it is a rectangle."""
    left, top, right, bottom = polygon.bounds
    tight = shapely.minimum_rotated_rectangle(polygon)
    blank = Polygon(polygon.exterior)
    if tight.area <= 0 or blank.area < _RECTANGULAR * tight.area:
        return right - left, bottom - top
    a, b, c = shapely.get_coordinates(tight)[:3]
    sides = [(math.dist(p, q), abs(q[1] - p[1]) / max(math.dist(p, q), 1e-9)) for p, q in ((a, b), (b, c))]
    (width, _), (height, _) = sorted(sides, key=lambda side: side[1])
    return float(np.round(width, 6)), float(np.round(height, 6))
