"""Creases: folded lines with the panels on both their sides."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from tiler.geometry import Point
from tiler.structure.faces import Face, sides_of
from tiler.structure.kinds import Evidence, LineKind
from tiler.structure.lines import Line
from tiler.structure.network import GRID, Network
from tiler.structure.panels import Panel

_CORNER = math.radians(15)
"""A turn by more than this between two sides of at least _SIDE is a corner; points of a curve lie closer."""
_SHARP = math.radians(30)
"""A turn by more than this is a corner anywhere."""
_SIDE = 2.0
"""mm."""
_STRAIGHT = 0.05
"""A crease that leaves the line between its ends by no more than this is straight, mm."""


@dataclass(frozen=True)
class Crease:
    """One fold between two panels, or within one."""

    points: tuple[Point, ...]
    """Two for a straight crease, more along a curve, mm; from its upper or left end."""
    kind: LineKind
    panels: tuple[str, ...]
    """Names of the panels on both sides; one when it ends within a panel, none when it folds nothing."""
    evidence: Evidence

    @property
    def start(self) -> Point:
        """Its upper or left end."""
        return self.points[0]

    @property
    def end(self) -> Point:
        """Its other end."""
        return self.points[-1]

    @property
    def is_straight(self) -> bool:
        """True when it has only its two ends."""
        return len(self.points) == 2

    @property
    def length(self) -> float:
        """Along the crease, mm."""
        return sum(math.dist(a, b) for a, b in pairwise(self.points))


def creases_of(
    network: Network, lines: Sequence[Line], faces: Sequence[Face], panels: Sequence[Panel]
) -> tuple[Crease, ...]:
    """All creases, pieces that touch in line and have the same neighbours joined; in reading order.

    ``faces`` and ``panels`` are the same in the same order.
    """
    sides = sides_of(faces)
    groups: dict[tuple[LineKind, Evidence, tuple[int, ...]], list[int]] = defaultdict(list)
    loose = []
    for edge, owner in enumerate(network.owner.tolist()):
        line = lines[owner]
        if not line.kind.is_fold:
            continue
        if edge in sides:
            groups[line.kind, line.evidence, tuple(sorted(sides[edge]))].append(edge)
        else:
            loose.append(edge)
    for edge, home in zip(loose, _homes(network, loose, faces), strict=True):
        line = lines[network.owner[edge]]
        groups[line.kind, line.evidence, home].append(edge)
    creases = []
    for (kind, evidence, pair), edges in groups.items():
        names = tuple(panels[number].id for number in pair)
        creases += [Crease(points, kind, names, evidence) for points in chains_of(network, edges)]
    return tuple(sorted(creases, key=lambda c: (round(c.start.y, 1), round(c.start.x, 1), c.end)))


def chains_of(network: Network, edges: Sequence[int]) -> list[tuple[Point, ...]]:
    """The edges joined to lines and curves that run from one corner or junction of theirs to the next."""
    pieces = shapely.linestrings(network.ends[list(edges)].reshape(-1, 2, 2))
    merged = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(pieces)))
    return [chain for line in merged for chain in _straightened(line)]


def _homes(network: Network, edges: Sequence[int], faces: Sequence[Face]) -> list[tuple[int, ...]]:
    """For edges on no face's outline, the face each lies in."""
    if not edges:
        return []
    middles = shapely.points(network.ends[list(edges)].reshape(-1, 2, 2).mean(axis=1))
    homes: list[tuple[int, ...]] = [()] * len(edges)
    if faces:
        tree = shapely.STRtree([face.polygon for face in faces])
        for edge, face in zip(*tree.query(middles, predicate="within").tolist(), strict=True):
            homes[edge] = (face,)
    return homes


def _straightened(line: object) -> list[tuple[Point, ...]]:
    """Chains without corners and without needless points, each from its upper or left end."""
    places = [Point(x, y) for x, y in shapely.get_coordinates(shapely.simplify(line, GRID)).tolist()]
    chains, begin = [], 0
    for index in range(1, len(places) - 1):
        if _is_corner(*places[index - 1 : index + 2]):
            chains.append(places[begin : index + 1])
            begin = index
    chains.append(places[begin:])
    return [_directed(chain) for chain in chains]


def _directed(chain: list[Point]) -> tuple[Point, ...]:
    """The chain from its upper or left end; just its ends when it is straight."""
    first, last = chain[0], chain[-1]
    if (last.y, last.x) < (first.y, first.x) and (abs(last.y - first.y) > GRID or last.x < first.x):
        chain = chain[::-1]
    along = np.array(chain[-1]) - np.array(chain[0])
    length = float(np.hypot(*along))
    if length > 0:
        delta = np.array(chain) - np.array(chain[0])
        off = np.abs(along[0] * delta[:, 1] - along[1] * delta[:, 0]).max() / length
        if off <= _STRAIGHT:
            return chain[0], chain[-1]
    return tuple(chain)


def _is_corner(a: Point, b: Point, c: Point) -> bool:
    """True when the way from ``a`` to ``c`` has a corner at ``b``."""
    angle = math.atan2(c.y - b.y, c.x - b.x) - math.atan2(b.y - a.y, b.x - a.x)
    turn = abs((angle + math.pi) % (2 * math.pi) - math.pi)
    return turn > _SHARP or (turn > _CORNER and min(math.dist(a, b), math.dist(b, c)) >= _SIDE)
