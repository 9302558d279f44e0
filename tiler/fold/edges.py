"""The straight edges of a panel, whole from corner to corner however many creases and cuts make them up."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import shapely

from tiler.geometry import Point
from tiler.structure.panels import Panel

STRAIGHT = 0.1
"""Corners that stray from the line between their neighbours by less than this are no corners, mm."""
SHORTEST = 3.0
"""Shorter edges, such as those of a curve or a relief cut, are not looked at, mm."""


@dataclass(frozen=True)
class Edge:
    """One straight edge of a panel."""

    panel: str
    start: Point
    end: Point
    inward: Point
    """Unit vector square to the edge, into the panel."""

    @property
    def length(self) -> float:
        """From corner to corner, mm."""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Point:
        """Unit vector from start to end."""
        return Point((self.end.x - self.start.x) / self.length, (self.end.y - self.start.y) / self.length)

    def at(self, distance: float) -> Point:
        """The place that far from the start, mm."""
        return self.start.shifted(distance * self.along.x, distance * self.along.y)


def edges_of(panel: Panel) -> tuple[Edge, ...]:
    """The edges of a panel's outline, in its order round the panel."""
    ring = _corners(panel)
    area = sum(a.x * b.y - b.x * a.y for a, b in pairwise([*ring, ring[0]]))
    turn = 1.0 if area > 0 else -1.0
    edges = []
    for start, end in pairwise([*ring, ring[0]]):
        length = math.dist(start, end)
        if length >= SHORTEST:
            ux, uy = (end.x - start.x) / length, (end.y - start.y) / length
            edges.append(Edge(panel.id, start, end, Point(-uy * turn, ux * turn)))
    return tuple(edges)


def _corners(panel: Panel) -> list[Point]:
    """The outline without points that lie on a straight edge, beginning at a corner."""
    ring = list(panel.polygon)
    first = max(range(len(ring)), key=lambda i: math.dist(ring[i], panel.centre))
    turned = [*ring[first:], *ring[:first], ring[first]]
    simple = shapely.simplify(shapely.LineString(turned), STRAIGHT)
    return [Point(x, y) for x, y in shapely.get_coordinates(simple)[:-1].tolist()]
