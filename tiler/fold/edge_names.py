"""Where the names of meetings are written in the flat: in the waste beside a cut edge, else on the panel."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely

from tiler.fold.box import FoldedBox
from tiler.fold.meetings import Side
from tiler.geometry import Point

BESIDE = 3.5
"""Distance of a name's middle from its edge, mm of the flat (house style)."""
_CLEAR = 1.5
"""A name in the waste keeps this far from every panel, mm of the flat."""


@dataclass(frozen=True)
class EdgeName:
    """The name of a meeting at one of its two edges."""

    text: str
    """Such as ``m3``; it stands at both edges."""
    at: Point
    """Its middle, true-size flat millimetres."""
    turn: float
    """Degrees clockwise that let it stand along the edge and be read from below or from the right."""
    in_waste: bool
    """True where it lies outside all panels, so that it may be printed on a tile."""


def edge_names(box: FoldedBox) -> tuple[EdgeName, ...]:
    """Two names for every meeting, in order of the meetings."""
    panels = shapely.union_all([node.panel.shape for node in box.folding.tree.nodes])
    return tuple(
        _name(meeting.id, side, panels) for meeting in box.meetings for side in (meeting.a, meeting.b)
    )


def _name(text: str, side: Side, panels: shapely.Geometry) -> EdgeName:
    """Outside the panel where that is waste, else on it."""
    middle = Point((side.start.x + side.end.x) / 2, (side.start.y + side.end.y) / 2)
    beyond = middle.shifted(-BESIDE * side.inward.x, -BESIDE * side.inward.y)
    in_waste = bool(panels.distance(shapely.Point(*beyond)) >= _CLEAR)
    at = beyond if in_waste else middle.shifted(BESIDE * side.inward.x, BESIDE * side.inward.y)
    turn = math.degrees(math.atan2(side.along.y, side.along.x))
    turn = turn - 180 if turn >= 90 else turn + 180 if turn < -90 else turn
    return EdgeName(text, at, turn + 0.0, in_waste)
