"""Border lines as one network: nodes, and straight edges between them that meet nowhere else."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from tiler.geometry import Point
from tiler.structure.kinds import Evidence, LineKind
from tiler.structure.lines import Line

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

GRID = 0.01
"""Nodes lie on a grid of this width, mm: PDF writers round to about this much, no tool cuts finer."""
SNAP = 0.2
"""Lines closer than this are the same line, ends closer than this the same end, mm."""
_NOISE = 0.004
"""Ends this close are one point written with rounding, mm; a hundredth of a point is 0.0035 mm."""
_LONG = 2.0
"""Only segments this long, mm, are aligned with each other; shorter ones belong to curves."""
_KIND_ORDER = (
    LineKind.CUT,
    LineKind.DRILL,
    LineKind.CUT_CREASE,
    LineKind.REVERSE_CREASE,
    LineKind.CREASE,
    LineKind.PERFORATION,
    LineKind.PARTIAL_CUT,
)
"""Of equally trusted lines on top of each other the first of these holds: a cut parts the board in any
case."""


@dataclass(frozen=True)
class Segments:
    """Straight pieces of lines."""

    ends: Floats
    """(n, 4): x1, y1, x2, y2 in mm."""
    owner: Ints
    """(n,): index of the line each piece belongs to."""

    @property
    def length(self) -> Floats:
        """(n,): mm."""
        return np.hypot(self.ends[:, 2] - self.ends[:, 0], self.ends[:, 3] - self.ends[:, 1])

    @property
    def geometries(self) -> npt.NDArray[np.object_]:
        """(n,): the pieces as shapely lines."""
        return shapely.linestrings(self.ends.reshape(-1, 2, 2))  # type: ignore[no-any-return]

    def chosen(self, keep: Flags) -> Segments:
        """Only these pieces."""
        return Segments(self.ends[keep], self.owner[keep])

    def with_more(self, ends: Sequence[tuple[float, float, float, float]], owner: Sequence[int]) -> Segments:
        """The pieces and further ones."""
        if not ends:
            return self
        return Segments(
            np.vstack([self.ends, np.array(ends, dtype=np.float64)]),
            np.concatenate([self.owner, np.array(owner, dtype=np.int64)]),
        )


@dataclass(frozen=True)
class Network:
    """Nodes and the edges between them; no two edges cross, touch between nodes or coincide."""

    nodes: Floats
    """(k, 2): x, y in mm, each place once."""
    edges: Ints
    """(m, 2): node indices, the smaller first."""
    owner: Ints
    """(m,): index of the line that gives the edge its kind."""

    @property
    def ends(self) -> Floats:
        """(m, 4): x1, y1, x2, y2 of each edge, mm."""
        return self.nodes[self.edges].reshape(-1, 4)

    @property
    def length(self) -> Floats:
        """(m,): mm."""
        return Segments(self.ends, self.owner).length

    @property
    def degree(self) -> Ints:
        """(k,): edges at each node."""
        return np.bincount(self.edges.ravel(), minlength=len(self.nodes)).astype(np.int64)

    def chosen(self, keep: Flags) -> Network:
        """Only these edges; nodes keep their numbers."""
        return Network(self.nodes, self.edges[keep], self.owner[keep])


def chained(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Lines of one kind and evidence that follow each other as one, without needless points.

    Some writers draw a curve as thousands of separate strokes, far shorter than the grid is wide.
    """
    groups: dict[tuple[LineKind, Evidence], list[Line]] = defaultdict(list)
    for line in lines:
        groups[line.kind, line.evidence].append(line)
    chains = []
    for (kind, evidence), members in groups.items():
        points = np.array([point for line in members for point in line.points], dtype=np.float64)
        number = np.repeat(np.arange(len(members)), [len(line.points) for line in members])
        points = _met(points, number)
        pieces = shapely.multilinestrings(shapely.linestrings(points, indices=number))
        for part in shapely.get_parts(shapely.simplify(shapely.line_merge(pieces), GRID / 2)):
            places = tuple(Point(x, y) for x, y in shapely.get_coordinates(part).tolist())
            chains.append(Line(places, kind, evidence))
    return tuple(chains)


def _met(points: Floats, number: Ints) -> Floats:
    """Points of lines, where ends that all but meet do meet, so that lines can follow each other.

    Args:
        points: (n, 2) mm.
        number: (n,): the line each belongs to, ascending.
    """
    is_new = np.append(True, number[1:] != number[:-1])
    ends = np.flatnonzero(is_new | np.append(is_new[1:], True))
    places = shapely.points(points[ends])
    first, second = shapely.STRtree(places).query(places, predicate="dwithin", distance=_NOISE)
    same = np.arange(len(ends))
    np.minimum.at(same, second, first)
    met = points.copy()
    met[ends] = points[ends[same]]
    return met


def segments_of(lines: Sequence[Line]) -> Segments:
    """All straight pieces of the lines; pieces without length are left out."""
    if not lines:
        return Segments(np.empty((0, 4)), np.empty(0, dtype=np.int64))
    points = np.array([point for line in lines for point in line.points], dtype=np.float64)
    number = np.repeat(np.arange(len(lines)), [len(line.points) for line in lines])
    is_piece = number[:-1] == number[1:]
    segments = Segments(
        np.hstack([points[:-1], points[1:]])[is_piece], number[:-1][is_piece].astype(np.int64)
    )
    return segments.chosen(segments.length > 1e-9)


def aligned(segments: Segments) -> Segments:
    """Segments that run along a longer one closer than SNAP, laid exactly on it."""
    order = np.flatnonzero(segments.length >= _LONG)
    if len(order) < 2:
        return segments
    geometries = segments.geometries[order]
    first, second = shapely.STRtree(geometries).query(geometries, predicate="dwithin", distance=SNAP)
    length = segments.length[order]
    is_shorter = (length[second] < length[first]) | ((length[second] == length[first]) & (second > first))
    first, second = order[first[is_shorter]], order[second[is_shorter]]
    start = segments.ends[first, :2]
    along = (segments.ends[first, 2:] - start) / segments.length[first, None]
    ends = segments.ends.copy()
    placed, offsets = [], []
    for columns in (slice(0, 2), slice(2, 4)):
        delta = segments.ends[second, columns] - start
        placed.append(np.einsum("ij,ij->i", delta, along))
        offsets.append(np.abs(along[:, 0] * delta[:, 1] - along[:, 1] * delta[:, 0]))
    low, high = np.minimum(*placed), np.maximum(*placed)
    shared = np.minimum(high, segments.length[first]) - np.maximum(low, 0.0)
    off = np.maximum(*offsets)
    for index in np.flatnonzero((shared > _LONG / 2) & (off < SNAP) & (off > 1e-9)):
        for columns, place in zip((slice(0, 2), slice(2, 4)), placed, strict=True):
            ends[second[index], columns] = start[index] + along[index] * place[index]
    return Segments(ends, segments.owner)


def network_of(segments: Segments, lines: Sequence[Line]) -> Network:
    """Cut all segments at every place where they meet, and merge what coincides."""
    if not len(segments.ends):
        return Network(np.empty((0, 2)), np.empty((0, 2), np.int64), np.empty(0, np.int64))
    geometries = segments.geometries
    parts = shapely.get_parts(shapely.unary_union(geometries, grid_size=GRID))
    coordinates, index = shapely.get_coordinates(parts, return_index=True)
    is_pair = index[:-1] == index[1:]
    pairs = np.stack([coordinates[:-1][is_pair], coordinates[1:][is_pair]], axis=1) + 0.0
    nodes, number = np.unique(pairs.reshape(-1, 2), axis=0, return_inverse=True)
    edges = np.sort(number.reshape(-1, 2), axis=1)
    edges = np.unique(edges[edges[:, 0] != edges[:, 1]], axis=0).astype(np.int64)
    return Network(nodes, edges, _owners(nodes[edges], geometries, segments.owner, lines))


def _owners(pairs: Floats, geometries: npt.NDArray[np.object_], owner: Ints, lines: Sequence[Line]) -> Ints:
    """(m,): for each edge the most telling line that runs along it."""
    if not len(pairs):
        return np.empty(0, dtype=np.int64)
    rank = np.array(
        [line.evidence.rank * len(_KIND_ORDER) + _KIND_ORDER.index(line.kind) for line in lines], np.int64
    )[owner]
    middles = shapely.points(pairs.mean(axis=1))
    tree = shapely.STRtree(geometries)
    edge, segment = tree.query(middles, predicate="dwithin", distance=1.5 * GRID)
    order = np.lexsort((owner[segment], rank[segment], edge))
    edge, segment = edge[order], segment[order]
    found, first = np.unique(edge, return_index=True)
    owners = np.full(len(pairs), -1, dtype=np.int64)
    owners[found] = owner[segment[first]]
    lost = np.flatnonzero(owners < 0)
    if len(lost):
        owners[lost] = owner[tree.nearest(middles[lost])]
    return owners
