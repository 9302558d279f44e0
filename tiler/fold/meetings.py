"""Meeting edges: where two edges of the flat that lie apart come together in the closed box.

A flap that goes under a panel shares that panel's edge in space, but it is hidden there, so the panel meets
what the flap hangs on::

        panel | panel                 the panel's cut edge meets the crease of the wall round the corner;
      --------+                       the flap on that crease lies under the panel and counts for nothing
      ========|  <- flap
              | wall
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tiler.fold.edges import Edge
from tiler.fold.folding import Folding
from tiler.fold.hinges import IN_LINE, Hinge
from tiler.fold.spatial import TOLERANCE, Contact, contacts, placed_edges
from tiler.geometry import Point

_ON_EACH_OTHER = 0.94
"""Cosine above which one panel lies on the other: 20 degrees and less between them."""


@dataclass(frozen=True)
class Side:
    """One of the two edges of a meeting, or the part of it that meets."""

    panel: str
    start: Point
    """Flat millimetres; meets the other side's start."""
    end: Point
    """Meets the other side's end."""
    inward: Point
    """Unit vector square to the edge, into the panel."""

    @property
    def length(self) -> float:
        """From start to end, mm."""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Point:
        """Unit vector from start to end."""
        return Point((self.end.x - self.start.x) / self.length, (self.end.y - self.start.y) / self.length)


@dataclass(frozen=True)
class Meeting:
    """Two edges that come together."""

    id: str
    """m1, m2 … in reading order of the first panel."""
    a: Side
    """Of the panel that comes first in reading order."""
    b: Side
    gap: float
    """Largest distance between the edges in the closed box, mm."""

    @property
    def length(self) -> float:
        """Of the common stretch, mm."""
        return self.a.length

    @property
    def panels(self) -> tuple[str, str]:
        """Both panels."""
        return self.a.panel, self.b.panel


def meetings_of(folding: Folding, tolerance: float = TOLERANCE) -> tuple[Meeting, ...]:
    """All meetings of the closed box.

    Args:
        folding: The box.
        tolerance: Edges farther apart than this do not meet, mm.
    """
    edges = placed_edges(folding.tree.nodes, folding.closed)
    met = [contact for contact in contacts(edges, tolerance) if _is_seen(contact)]
    areas = {node.panel.id: node.panel.area for node in folding.tree.nodes}
    hinges = _hinges_of_panels(folding)
    met = [contact for contact in met if not _is_lined(folding, contact, areas, hinges)]
    sides = [_sides(contact) for contact in met if not _is_covered(contact, met)]
    ordered = sorted(sides, key=lambda pair: (*_order(pair[0]), *_order(pair[1])))
    return tuple(Meeting(f"m{n}", a, b, gap) for n, (a, b, gap) in enumerate(ordered, 1))


def _is_seen(contact: Contact) -> bool:
    """True when both panels show the same print on either side of the edge."""
    return contact.same_side <= _ON_EACH_OTHER and contact.is_coherent


def _hinges_of_panels(folding: Folding) -> dict[str, list[Hinge]]:
    """The folded creases along each panel."""
    found: dict[str, list[Hinge]] = {}
    for _, hinge in folding.tree.hinged():
        for panel in (hinge.first, hinge.second):
            found.setdefault(panel, []).append(hinge)
    return found


def _is_lined(
    folding: Folding, contact: Contact, areas: Mapping[str, float], hinges: Mapping[str, Sequence[Hinge]]
) -> bool:
    """True when one of the panels only lines a larger one that hangs on the other panel's edge."""
    for lining, edge in ((contact.first, contact.second), (contact.second, contact.first)):
        for hinge in hinges.get(edge.edge.panel, ()):
            other = hinge.other(edge.edge.panel)
            inward = folding.closed[other].direct(*hinge.away(edge.edge.panel))
            on_edge = all(abs(hinge.distance(end)) < IN_LINE for end in (edge.edge.start, edge.edge.end))
            lies_on = float(inward @ lining.inward) > _ON_EACH_OTHER
            if on_edge and lies_on and areas[other] > areas[lining.edge.panel]:
                return True
    return False


def _is_covered(contact: Contact, others: Iterable[Contact]) -> bool:
    """True when most of the same stretch of an edge meets another edge better: closer, or longer."""
    mine = {id(edge.edge): edge.edge for edge in (contact.first, contact.second)}
    for other in others:
        common = [mine[id(e.edge)] for e in (other.first, other.second) if id(e.edge) in mine]
        if other is contact or not common or _rank(other) >= _rank(contact):
            continue
        if any(_overlap(contact, other, edge) > 0.5 * (contact.end - contact.begin) for edge in common):
            return True
    return False


def _rank(contact: Contact) -> tuple[float, float]:
    """Closer contacts come first, then longer ones."""
    return round(contact.gap, 2), contact.begin - contact.end


def _overlap(one: Contact, other: Contact, edge: Edge) -> float:
    """Length of an edge that two contacts share, mm."""
    spans = []
    for contact in (one, other):
        is_first = contact.first.edge is edge
        spans.append(sorted((contact.begin, contact.end) if is_first else _on_second(contact)))
    return min(spans[0][1], spans[1][1]) - max(spans[0][0], spans[1][0])


def _on_second(contact: Contact) -> tuple[float, float]:
    """The common stretch along the second edge, mm from its start, in the direction of the first."""
    first, second = contact.first, contact.second
    ends = [first.start + distance * first.along for distance in (contact.begin, contact.end)]
    spots = [float(np.clip((end - second.start) @ second.along, 0, second.edge.length)) for end in ends]
    return spots[0], spots[1]


def _sides(contact: Contact) -> tuple[Side, Side, float]:
    """Both sides, the panel with the lower number first, each from its upper or left end on."""
    begin, end = _on_second(contact)
    one = _side(contact.first.edge, contact.begin, contact.end)
    other = _side(contact.second.edge, begin, end)
    first, second = sorted((one, other), key=lambda side: (_number(side.panel), side.start))
    if (round(first.end.y, 2), first.end.x) < (round(first.start.y, 2), first.start.x):
        first, second = _turned(first), _turned(second)
    return first, second, contact.gap


def _side(edge: Edge, begin: float, end: float) -> Side:
    return Side(edge.panel, edge.at(begin), edge.at(end), edge.inward)


def _turned(side: Side) -> Side:
    return Side(side.panel, side.end, side.start, side.inward)


def _order(side: Side | float) -> tuple[float, ...]:
    """Reading order of panels, then of places."""
    if isinstance(side, float):
        return (side,)
    return _number(side.panel), round(side.start.y, 1), round(side.start.x, 1)


def _number(panel: str) -> int:
    return int(panel[1:])
