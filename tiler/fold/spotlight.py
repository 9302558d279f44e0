"""Where one crease, meeting or edge of a box falls on its picture, as far as it is seen."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from tiler.fold.box import FoldedBox
from tiler.fold.hinges import Hinge
from tiler.fold.meetings import Meeting
from tiler.fold.quick_view import QuickView
from tiler.fold.rigid import Rigid
from tiler.geometry import Point

_SHORTEST = 1.0
"""Shorter stretches are not worth showing, points of the picture."""
_SHARE = 0.15
"""Nor is less than this share of an edge: where it ends at a visible corner, a hidden edge peeps out."""
_FINE = 2
"""Places looked at for each point of the picture."""

Stretch = tuple[Point, Point]
"""A straight visible piece, points of the picture."""


def visible_crease(view: QuickView, places: Mapping[str, Rigid], hinge: Hinge) -> tuple[Stretch, ...]:
    """The visible stretches of a crease.

    Args:
        view: The box as it is seen.
        places: Where its panels lie.
        hinge: The crease.
    """
    return visible_edge(view, places[hinge.first], hinge.start, hinge.end)


def visible_meeting(view: QuickView, places: Mapping[str, Rigid], meeting: Meeting) -> tuple[Stretch, ...]:
    """The visible stretches of both edges of a meeting, which lie apart while the box is open.

    Args:
        view: The box as it is seen.
        places: Where its panels lie.
        meeting: The edges.
    """
    sides = (meeting.a, meeting.b)
    return tuple(
        stretch for side in sides for stretch in visible_edge(view, places[side.panel], side.start, side.end)
    )


def visible_edge(
    view: QuickView, place: Rigid, start: Point, end: Point, number: int | None = None
) -> tuple[Stretch, ...]:
    """The visible stretches of an edge.

    Args:
        view: The box as it is seen.
        place: Where the panel lies.
        start: Flat mm.
        end: Flat mm.
        number: The panel must itself be seen beside its edge; None asks only that nothing hides the edge.
    """
    ends = place.place([start, end])
    pictured = view.pictured(ends)[:, :2]
    count = max(2, math.ceil(_FINE * math.dist(*pictured.tolist())) + 1)
    along = np.linspace(0, 1, count)[:, None]
    spots = ends[0] + along * (ends[1] - ends[0])
    seen = view.seen(spots) if number is None else view.seen(spots) & view.shows(number, spots)
    line = (pictured[0] + along * (pictured[1] - pictured[0])).tolist()
    found = [(Point(*line[first]), Point(*line[last])) for first, last in _runs(seen.tolist())]
    least = max(_SHORTEST, _SHARE * math.dist(*pictured.tolist()))
    return tuple(stretch for stretch in found if math.dist(*stretch) >= least)


def _runs(flags: list[bool]) -> Iterator[tuple[int, int]]:
    """First and last place of each run that is true."""
    first = None
    for index, flag in enumerate([*flags, False]):
        if flag and first is None:
            first = index
        elif not flag and first is not None:
            yield first, index - 1
            first = None


def hinge_named(box: FoldedBox, name: str) -> Hinge | None:
    """The crease between two panels, named as in ``P2/P5``; None where none is folded."""
    return next((hinge for _, hinge in box.folding.tree.hinged() if hinge.name == name), None)


def meeting_named(box: FoldedBox, name: str) -> Meeting | None:
    """The meeting of a name; None when there is none."""
    return next((meeting for meeting in box.meetings if meeting.id == name), None)
