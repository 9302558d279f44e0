"""Edges of placed panels in space, and which of them come together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from tiler.fold.edges import SHORTEST, Edge, edges_of
from tiler.fold.rigid import Array, Rigid
from tiler.fold.tree import Node

TOLERANCE = 1.0
"""Edges farther apart than this do not meet, mm: board allowances (common practice, no source)."""
_LEAN = math.cos(math.radians(2))
"""Edges that lean more than this to each other do not meet."""


@dataclass(frozen=True, eq=False)
class PlacedEdge:
    """An edge where the folded panel has it."""

    edge: Edge
    start: Array
    """3, mm."""
    end: Array
    along: Array
    """Unit vector from start to end."""
    inward: Array
    """Unit vector into the panel."""
    outside: Array
    """Unit vector away from the panel's printed outside."""


@dataclass(frozen=True, eq=False)
class Contact:
    """Two edges that lie on each other."""

    first: PlacedEdge
    second: PlacedEdge
    begin: float
    """Where the common stretch begins, mm from the start of the first edge."""
    end: float
    """Where it ends."""
    gap: float
    """Largest distance between the edges along it, mm."""

    @property
    def same_side(self) -> float:
        """Cosine between the panels: 1 when one lies on the other, 0 at a right angle, -1 when flush."""
        return float(self.first.inward @ self.second.inward)

    @property
    def is_coherent(self) -> bool:
        """True when both panels turn the same print to the outside."""
        turns = [
            float(np.linalg.det(np.array([self.first.along, edge.inward, edge.outside])))
            for edge in (self.first, self.second)
        ]
        return turns[0] * turns[1] < 0


def placed_edges(nodes: Iterable[Node], places: Mapping[str, Rigid]) -> tuple[PlacedEdge, ...]:
    """All edges of all panels in space."""
    found = []
    for node in nodes:
        place = places[node.panel.id]
        for edge in edges_of(node.panel):
            start, end = place.place([edge.start, edge.end])
            inward = place.direct(*edge.inward)
            found.append(PlacedEdge(edge, start, end, (end - start) / edge.length, inward, place.outside))
    return tuple(found)


def contacts(edges: tuple[PlacedEdge, ...], tolerance: float = TOLERANCE) -> Iterator[Contact]:
    """All pairs of edges of different panels that lie on each other in space, but not in the flat."""
    if not edges:
        return
    starts = np.array([edge.start for edge in edges])
    along = np.array([edge.along for edge in edges])
    length = np.array([edge.edge.length for edge in edges])
    parallel = np.abs(along @ along.T) >= _LEAN
    for index, edge in enumerate(edges):
        off = starts - edge.start
        beside = np.linalg.norm(off - np.outer(off @ edge.along, edge.along), axis=1)
        near = parallel[index] & (beside <= tolerance + 0.04 * length)
        for other in np.flatnonzero(near[index + 1 :]) + index + 1:
            contact = _contact(edge, edges[other])
            if contact is not None and contact.gap <= tolerance:
                yield contact


def _contact(first: PlacedEdge, second: PlacedEdge) -> Contact | None:
    """The common stretch of two nearly parallel edges; None when it is short or a crease of the flat."""
    if first.edge.panel == second.edge.panel:
        return None
    a, b = (float((end - first.start) @ first.along) for end in (second.start, second.end))
    begin, end = max(0.0, min(a, b)), min(first.edge.length, max(a, b))
    if end - begin < SHORTEST:
        return None
    spots = [(second.start + (second.end - second.start) * (s - a) / (b - a), s) for s in (begin, end)]
    gap = max(float(np.linalg.norm(spot - first.start - s * first.along)) for spot, s in spots)
    if _is_one_line(first.edge, second.edge):
        return None
    return Contact(first, second, begin, end, gap)


def _is_one_line(first: Edge, second: Edge) -> bool:
    """True when both edges lie on each other in the flat: the two sides of a crease or of one cut."""
    along = first.along
    spots = []
    for place in (second.start, second.end):
        dx, dy = place.x - first.start.x, place.y - first.start.y
        if abs(dx * along.y - dy * along.x) > 0.5:
            return False
        spots.append(dx * along.x + dy * along.y)
    return min(first.length, max(spots)) - max(0.0, min(spots)) >= SHORTEST
