r"""Angles that closing edges determine: where the edges of two neighbours meet, both fold in one way only.

::

            d            Two walls hang on neighbouring edges of their parent. Their free edges at the common
           /|\           corner are of one length and close to one edge d, making the angle a1 with the
          / | \          first hinge and a2 with the second: d is known, and with it the fold of both walls,
    ---- +--+--+ ----    90 degrees for a tray, more for a pyramid, less for a tapered tray.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from tiler.fold.edges import Edge, edges_of
from tiler.fold.hinges import Hinge
from tiler.fold.rigid import Rigid
from tiler.fold.tree import Node, Tree
from tiler.geometry import Point

CORNER = 2.0
"""A hinge ends at a corner, and an edge begins there, within this distance, mm (relief cuts are narrower)."""
_SQUARE = 1.5
"""Angles that come out this near to 90 degrees are 90: allowances of board thickness, degrees."""
_AGREE = 6.0
"""Both ends of a hinge must give the same angle within this, degrees."""
_ROUND = 3
"""Walls that lean inwards close only all round: at fewer corners they are flaps with bevelled ends."""


@dataclass(frozen=True)
class _Corner:
    """Two walls whose edges close."""

    folds: tuple[tuple[str, float], ...]
    """Both walls with their angles, degrees."""
    leans_in: bool
    """True when both edges make less than a right angle with their hinges."""


def one_length(a: float, b: float) -> bool:
    """Edges that can close: equal but for 1 mm or 2 % (common practice, no source)."""
    return abs(a - b) <= max(1.0, 0.02 * max(a, b))


def closing_angles(tree: Tree, known: Mapping[str, float]) -> dict[str, float]:
    """Names of panels with the angle of their hinge, where closing edges determine it, degrees.

    Args:
        tree: The panels.
        known: Angles that are settled already; edges that would need another one do not close.
    """
    edges = {node.panel.id: edges_of(node.panel) for node in tree.nodes}
    found: dict[str, list[float]] = defaultdict(list)
    for parent in tree.nodes:
        corners = [
            corner
            for first, second in combinations(_hanging(tree, parent), 2)
            for place in _shared(first, second)
            if (corner := _closed_corner(first, second, place, edges)) is not None
        ]
        leaning = [corner for corner in corners if corner.leans_in]
        for corner in corners:
            if corner.leans_in and len(leaning) < _ROUND:
                continue
            if all(abs(known.get(name, angle) - angle) <= _AGREE for name, angle in corner.folds):
                for name, angle in corner.folds:
                    found[name].append(angle)
    return {name: settled(angles) for name, angles in found.items() if max(angles) - min(angles) <= _AGREE}


def _hanging(tree: Tree, parent: Node) -> list[Node]:
    """Panels on hinges of a panel."""
    return [node for node in tree.children(parent.panel.id) if node.hinge is not None]


def settled(angles: list[float]) -> float:
    """The mean, or 90 degrees when that is near."""
    mean = sum(angles) / len(angles)
    return math.copysign(90.0, mean) if abs(abs(mean) - 90) <= _SQUARE else mean


def has_open_corners(tree: Tree) -> bool:
    """True when the root's flaps lean inwards at every corner and no two of them can close: an envelope."""
    flaps = [node for node in tree.children(tree.root.id) if node.hinge is not None]
    if len(flaps) < 3 or len(flaps) != len(tree.nodes) - 1:
        return False
    edges = {node.panel.id: edges_of(node.panel) for node in flaps}
    corners = 0
    for first, second in combinations(flaps, 2):
        for corner in _shared(first, second):
            one, other = _edge_at(first, corner, edges), _edge_at(second, corner, edges)
            if one is None or other is None or one_length(one[1], other[1]) or max(one[0], other[0]) > 85:
                return False
            corners += 1
    return corners >= 2


def _shared(first: Node, second: Node) -> Iterator[Point]:
    """Corners of the parent where both hinges end."""
    assert first.hinge is not None, "the caller has looked"
    assert second.hinge is not None, "the caller has looked"
    for one in (first.hinge.start, first.hinge.end):
        for other in (second.hinge.start, second.hinge.end):
            if math.dist(one, other) <= CORNER:
                yield Point((one.x + other.x) / 2, (one.y + other.y) / 2)


def _from(hinge: Hinge, corner: Point) -> Point:
    """Unit vector along a hinge, away from a corner at one of its ends."""
    if math.dist(hinge.start, corner) <= math.dist(hinge.end, corner):
        return hinge.along
    return Point(-hinge.along.x, -hinge.along.y)


def _edge_at(node: Node, corner: Point, edges: dict[str, tuple[Edge, ...]]) -> tuple[float, float] | None:
    """Angle to the hinge, in degrees, and length of a wall's own edge at a corner."""
    assert node.hinge is not None, "the caller has looked"
    ahead = _from(node.hinge, corner)
    for edge in edges[node.panel.id]:
        for near, far in ((edge.start, edge.end), (edge.end, edge.start)):
            if math.dist(near, corner) > CORNER or abs(node.hinge.distance(far)) < CORNER:
                continue
            dx, dy = (far.x - near.x) / edge.length, (far.y - near.y) / edge.length
            cosine = max(-1.0, min(1.0, dx * ahead.x + dy * ahead.y))
            return math.degrees(math.acos(cosine)), edge.length
    return None


def _closed_corner(
    first: Node, second: Node, corner: Point, edges: dict[str, tuple[Edge, ...]]
) -> _Corner | None:
    """The folds of two walls whose edges close at a corner; none when they cannot."""
    assert first.hinge is not None, "the caller has looked"
    assert second.hinge is not None, "the caller has looked"
    one, other = _edge_at(first, corner, edges), _edge_at(second, corner, edges)
    if one is None or other is None or not one_length(one[1], other[1]):
        return None
    e1, e2 = _from(first.hinge, corner), _from(second.hinge, corner)
    if first.hinge.sign != second.hinge.sign or abs(e1.x * e2.y - e1.y * e2.x) < 0.05:
        return None
    wanted = [math.cos(math.radians(one[0])), math.cos(math.radians(other[0]))]
    dx, dy = np.linalg.solve(np.array([e1, e2]), np.array(wanted)).tolist()
    height = 1 - dx * dx - dy * dy
    if height <= 1e-6:
        return None
    rise, folds = math.sqrt(height), []
    for node in (first, second):
        out = dx * node.side.x + dy * node.side.y
        folds.append((node.panel.id, first.hinge.sign * math.degrees(math.atan2(rise, out))))
    return _Corner(tuple(folds), max(one[0], other[0]) < 85)


def angle_under(node: Node, parent: Rigid, inward: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    """The fold that lays a flap along a direction in space.

    Args:
        node: The flap.
        parent: Where its parent lies.
        inward: Unit vector, square to the hinge, into the panel under which the flap goes.

    Returns:
        Degrees, above -180 up to 180.
    """
    level, down = parent.direct(node.side.x, node.side.y), parent.turn[:, 2]
    return math.degrees(math.atan2(float(inward @ down), float(inward @ level)))
