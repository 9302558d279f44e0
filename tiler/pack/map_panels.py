"""Panel names on the map, each with a small arrow towards what is up when the box stands."""

from __future__ import annotations

import math

from tiler.geometry import Point, Size
from tiler.marks.arrow import arrow
from tiler.marks.facts import Facts
from tiler.marks.metrics import Measure, cap_height, em
from tiler.marks.shapes import Ring, Shape, Words
from tiler.marks.style import CLOSE, FINE, HALO, QUIET
from tiler.pack.map_frame import Frame
from tiler.pack.map_places import Places

_NUDGE = 8.0
"""A panel's name may stand this far from the panel's centre, mm."""
_SIZE = 0.9
"""Type size, share of that of the dimensions."""
_DOT = 0.45
"""Radius of the dot on a panel that lies level, mm."""
_LONGEST = 3.0
"""Length of an arrow, mm."""


def draw_panel_names(
    facts: Facts, frame: Frame, places: Places, figure: float, measure: Measure
) -> list[Shape]:
    """The names that find room near their panels' centres, with arrows where the way up is known.

    Args:
        facts: What to name.
        frame: Where the flat lies.
        places: Free places.
        figure: Type size of dimensions, pt.
        measure: Width of a text.
    """
    size = figure * _SIZE
    ups = dict(facts.fold.ups) if facts.fold is not None else {}
    shapes: list[Shape] = []
    for panel in facts.panels:
        text = measure(panel.text, size, False)
        pointer = _LONGEST if panel.text in ups else 0.0
        room = Size(text + (pointer and CLOSE / 2 + pointer), max(em(size), pointer))
        centre = frame.point(panel.centre)
        place = places.near(room, centre, _NUDGE)
        if place is None and pointer:
            pointer = 0.0
            place = places.near(Size(text, em(size)), centre, _NUDGE)
        if place is None:
            places.miss("panel name")
            continue
        base = Point(place.x + text / 2, place.centre.y + cap_height(size) / 2)
        shapes.append(Words(base, panel.text, size, align="middle", grey=QUIET / 2, halo=HALO))
        if pointer:
            shapes += way_up(Point(place.right - pointer / 2, place.centre.y), ups[panel.text])
    return shapes


def way_up(middle: Point, turn: float | None) -> tuple[Shape, ...]:
    """The arrow, or the dot of a panel that lies level.

    Args:
        middle: Of the sign, sheet mm.
        turn: Degrees clockwise from the sheet's top; None for level.
    """
    if turn is None:
        return (Ring(middle, _DOT, grey=QUIET / 2, halo=HALO, filled=True),)
    angle = math.radians(turn)
    away = (math.sin(angle) * _LONGEST / 2, -math.cos(angle) * _LONGEST / 2)
    return arrow(middle.shifted(-away[0], -away[1]), middle.shifted(*away), QUIET / 2, FINE, HALO)
