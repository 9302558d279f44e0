"""Loose ends of border lines, and the short patches that join them to what they should have met.

::

    cut ----.  .---- cut        a gap: both ends are joined
    crease ----  | cut          a crease that stops short: taken on in its own direction
    crease ------|-- cut        a spur: the overshoot is dropped
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely

from tiler.structure.lines import Line
from tiler.structure.network import Flags, Floats, Ints, Network

GAP = 0.5
"""Gaps up to this are closed, mm; above drawing noise and below any real slot (common practice, no
source)."""
SHORT_CREASE = 3.0
"""Creases that end this near before a cut are taken on to it, mm: creasing rules stop short of the edge so
that the board does not tear there (common practice, no source)."""

DASH = 5.0
"""Pieces of a crease in one line are joined over gaps up to this, mm.

Some writers draw each dash of a dashed line as a line of its own (common practice, no source).
"""
_IN_LINE = math.cos(math.radians(5))
_MOST_ENDS = 4000
"""With more loose ends than this the lines are no drawing of a box, and none is mended."""


class Patch(NamedTuple):
    """A short piece from a loose end to what it should have met."""

    ends: tuple[float, float, float, float]
    """x1, y1 of the loose end, x2, y2 where it goes, mm."""
    owner: int
    """Index of the line that is taken on."""
    is_crease: bool

    @property
    def length(self) -> float:
        """Mm."""
        return math.dist(self.ends[:2], self.ends[2:])


class _Ends(NamedTuple):
    """The loose ends of a network."""

    edge: Ints
    """(n,): the edge each belongs to."""
    node: Ints
    """(n,): its node."""
    place: Floats
    """(n, 2): mm."""
    ahead: Floats
    """(n, 2): unit vector in which the line would go on."""


def spurs(network: Network) -> Flags:
    """(m,): the short ends of lines that shoot over the line they should end at."""
    degree = network.degree[network.edges]
    is_loose = degree.min(axis=1, initial=9) == 1
    return np.asarray((network.length <= GAP) & is_loose & (degree.max(axis=1, initial=0) >= 3))


def loose_ends(network: Network) -> _Ends:
    """Ends that meet nothing, spurs aside."""
    degree, is_spur = network.degree, spurs(network)
    edges, nodes, inner = [], [], []
    for side in (0, 1):
        found = np.flatnonzero((degree[network.edges[:, side]] == 1) & ~is_spur)
        edges.append(found)
        nodes.append(network.edges[found, side])
        inner.append(network.edges[found, 1 - side])
    edge, node = np.concatenate(edges), np.concatenate(nodes)
    place = network.nodes[node]
    ahead = place - network.nodes[np.concatenate(inner)]
    length = np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    return _Ends(edge.astype(np.int64), node, place, ahead / np.where(length > 0, length, 1))


def patches_for(network: Network, lines: Sequence[Line]) -> list[Patch]:
    """A patch for every loose end that nearly meets another end, or a line ahead of it."""
    ends = loose_ends(network)
    if not 0 < len(ends.edge) <= _MOST_ENDS:
        return []
    is_fold = np.array([line.kind.is_fold for line in lines], dtype=bool)[network.owner]
    targets: dict[int, tuple[float, float]] = {}
    joined: set[int] = set()
    for first, second in (*_meeting_ends(ends), *_dashes(ends, is_fold)):
        if first not in joined and second not in joined:
            targets[first] = (float(ends.place[second, 0]), float(ends.place[second, 1]))
            joined.update((first, second))
    geometries = shapely.linestrings(network.ends.reshape(-1, 2, 2))
    tree = shapely.STRtree(geometries)
    free = np.array([k for k in range(len(ends.edge)) if k not in joined], dtype=np.int64)
    for search in (_lines_ahead, _lines_near):
        for end, place in search(ends, free, tree, geometries, is_fold):
            targets.setdefault(end, place)
    patches = []
    for end, (x, y) in sorted(targets.items()):
        edge = ends.edge[end]
        start = (float(ends.place[end, 0]), float(ends.place[end, 1]))
        patches.append(Patch((*start, x, y), int(network.owner[edge]), bool(is_fold[edge])))
    return patches


def _meeting_ends(ends: _Ends) -> list[tuple[int, int]]:
    """Pairs of loose ends within GAP, the nearest first."""
    points = shapely.points(ends.place)
    first, second = shapely.STRtree(points).query(points, predicate="dwithin", distance=GAP)
    keep = (first < second) & (ends.edge[first] != ends.edge[second])
    first, second = first[keep], second[keep]
    gap = np.hypot(*(ends.place[first] - ends.place[second]).T)
    order = np.lexsort((second, first, gap))
    return list(zip(first[order].tolist(), second[order].tolist(), strict=True))


def _dashes(ends: _Ends, is_fold: Flags) -> list[tuple[int, int]]:
    """Pairs of crease ends that face each other in one line within DASH, the nearest first."""
    points = shapely.points(ends.place)
    first, second = shapely.STRtree(points).query(points, predicate="dwithin", distance=DASH)
    keep = (first < second) & is_fold[ends.edge[first]] & is_fold[ends.edge[second]]
    keep &= ends.edge[first] != ends.edge[second]
    first, second = first[keep], second[keep]
    step = ends.place[second] - ends.place[first]
    gap = np.hypot(*step.T)
    toward = np.einsum("ij,ij->i", step, ends.ahead[first])
    back = -np.einsum("ij,ij->i", step, ends.ahead[second])
    order = np.lexsort((second, first, gap))
    order = order[(np.minimum(toward, back) >= _IN_LINE * gap)[order]]
    return list(zip(first[order].tolist(), second[order].tolist(), strict=True))


def _lines_ahead(
    ends: _Ends, free: Ints, tree: shapely.STRtree, geometries: Floats, is_fold: Flags
) -> list[tuple[int, tuple[float, float]]]:
    """Where each end meets the first line in its own direction; beyond GAP only a crease meets a cut."""
    if not len(free):
        return []
    reach = np.where(is_fold[ends.edge[free]], SHORT_CREASE, GAP)[:, None]
    place = ends.place[free]
    rays = shapely.linestrings(np.stack([place, place + ends.ahead[free] * reach], axis=1))
    ray, edge = tree.query(rays, predicate="intersects")
    keep = edge != ends.edge[free[ray]]
    ray, edge = ray[keep], edge[keep]
    hits = shapely.intersection(rays[ray], geometries[edge])
    far = shapely.distance(shapely.points(place[ray]), hits)
    keep = (far <= GAP) | ~is_fold[edge]
    ray, far = ray[keep], far[keep]
    order = np.lexsort((far, ray))
    found, first = np.unique(ray[order], return_index=True)
    met = place[found] + ends.ahead[free[found]] * far[order][first][:, None]
    return [(int(free[k]), (float(x), float(y))) for k, (x, y) in zip(found, met, strict=True)]


def _lines_near(
    ends: _Ends, free: Ints, tree: shapely.STRtree, geometries: Floats, is_fold: Flags
) -> list[tuple[int, tuple[float, float]]]:
    """The nearest place of any line within GAP that does not lie behind the end."""
    points = shapely.points(ends.place[free])
    point, edge = tree.query(points, predicate="dwithin", distance=GAP)
    keep = edge != ends.edge[free[point]]
    point, edge = point[keep], edge[keep]
    if not len(point):
        return []
    on = shapely.line_interpolate_point(
        geometries[edge], shapely.line_locate_point(geometries[edge], points[point])
    )
    step = shapely.get_coordinates(on) - ends.place[free[point]]
    far = np.hypot(*step.T)
    keep = np.einsum("ij,ij->i", step, ends.ahead[free[point]]) >= -1e-9
    point, far, met = point[keep], far[keep], shapely.get_coordinates(on)[keep]
    order = np.lexsort((far, point))
    found, first = np.unique(point[order], return_index=True)
    return [(int(free[k]), (float(x), float(y))) for k, (x, y) in zip(found, met[order][first], strict=True)]
