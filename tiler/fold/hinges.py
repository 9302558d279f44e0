"""Hinges: straight creases between two panels, the pieces of one line joined."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from tiler.geometry import Point
from tiler.structure.creases import Crease
from tiler.structure.kinds import LineKind
from tiler.structure.panels import Panel

IN_LINE = 0.5
"""Pieces of a crease that stray from one line by no more than this fold as one, mm."""
_STEP = 0.3
"""How far beside a crease the panels are looked for, mm."""


@dataclass(frozen=True)
class Hinge:
    """One straight fold between two panels."""

    first: str
    second: str
    start: Point
    """Upper or left end."""
    end: Point
    kind: LineKind
    side: Point
    """Unit vector square to the hinge, from ``first`` into ``second``."""

    @property
    def length(self) -> float:
        """From end to end, mm."""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Point:
        """Unit vector from start to end."""
        return Point((self.end.x - self.start.x) / self.length, (self.end.y - self.start.y) / self.length)

    @property
    def sign(self) -> float:
        """1 for a crease that folds away from the printed side, -1 for a reverse crease."""
        return -1.0 if self.kind is LineKind.REVERSE_CREASE else 1.0

    @property
    def name(self) -> str:
        """Both panels, as in ``P2/P5``."""
        return f"{self.first}/{self.second}"

    def other(self, panel: str) -> str:
        """The panel on the other side of ``panel``."""
        return self.second if panel == self.first else self.first

    def away(self, panel: str) -> Point:
        """Unit vector square to the hinge, out of ``panel``."""
        return self.side if panel == self.first else Point(-self.side.x, -self.side.y)

    def distance(self, at: Point) -> float:
        """How far a point lies on the side of ``second``, mm; negative on the other."""
        return (at.x - self.start.x) * self.side.x + (at.y - self.start.y) * self.side.y


def hinges_of(
    panels: Sequence[Panel], creases: Sequence[Crease]
) -> tuple[tuple[Hinge, ...], tuple[str, ...]]:
    """All hinges, and a sentence for every crease that cannot be one."""
    by_name = {panel.id: panel for panel in panels}
    between: dict[tuple[str, str], list[Crease]] = defaultdict(list)
    for crease in creases:
        if len(set(crease.panels)) == 2:
            between[crease.panels[0], crease.panels[1]].append(crease)
    hinges, reports = [], []
    for (first, second), pieces in between.items():
        start, end = _ends(pieces)
        if not _in_line(pieces, start, end):
            reports.append(
                f"the crease between {first} and {second} is curved or has a corner, so it is left flat"
            )
            continue
        side = _side(pieces[0], by_name[second], start, end)
        hinges.append(Hinge(first, second, start, end, pieces[0].kind, side))
    return tuple(hinges), tuple(reports)


def curved_pairs(creases: Sequence[Crease], hinges: Sequence[Hinge]) -> tuple[tuple[str, str], ...]:
    """Panels that only a curved or broken crease joins."""
    straight = {(hinge.first, hinge.second) for hinge in hinges}
    pairs = {(c.panels[0], c.panels[1]): None for c in creases if len(set(c.panels)) == 2}
    return tuple(pair for pair in pairs if pair not in straight)


def _ends(pieces: Sequence[Crease]) -> tuple[Point, Point]:
    """The two ends farthest apart, the upper or left one first."""
    ends = [end for piece in pieces for end in (piece.start, piece.end)]
    _, start, end = max((math.dist(a, b), a, b) for a in ends for b in ends)
    return (start, end) if (round(start.y, 2), start.x) <= (round(end.y, 2), end.x) else (end, start)


def _in_line(pieces: Sequence[Crease], start: Point, end: Point) -> bool:
    length = math.dist(start, end)
    if length < IN_LINE:
        return False
    ux, uy = (end.x - start.x) / length, (end.y - start.y) / length
    places = [place for piece in pieces for place in piece.points]
    return all(abs((p.x - start.x) * uy - (p.y - start.y) * ux) <= IN_LINE for p in places)


def _side(piece: Crease, second: Panel, start: Point, end: Point) -> Point:
    """The normal of the line that points into the second panel, seen from the middle of a piece."""
    length = math.dist(start, end)
    normal = Point(-(end.y - start.y) / length, (end.x - start.x) / length)
    middle = Point((piece.start.x + piece.end.x) / 2, (piece.start.y + piece.end.y) / 2)
    beside = [middle.shifted(sign * _STEP * normal.x, sign * _STEP * normal.y) for sign in (1, -1)]
    ahead, behind = (second.shape.distance(shapely.Point(*place)) for place in beside)
    return normal if ahead <= behind else Point(-normal.x, -normal.y)
