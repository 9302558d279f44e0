"""Panel names on the map, each with a small arrow towards what is up when the box stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tiler.geometry import Point, Rect, Size
from tiler.marks.arrow import arrow, head
from tiler.marks.crease_guides import clip
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
_GROUND = 2.0
"""Size of the white ground below an arrow's head, times the head."""
_STEPS = tuple(
    (away * dx, away * dy)
    for away in (0.0, 1.5, 3.0, 5.0)
    for dx, dy in ((0, -1), (0, 1), (-1, 0), (1, 0))
    if away or dy == -1
)
"""Ways aside from the panel's centre, mm, nearest first."""


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
    ups = dict(facts.fold.ups) if facts.fold is not None else {}
    shapes: list[Shape] = []
    for panel in facts.panels:
        size = figure * _SIZE
        text = Size(measure(panel.text, size, False), em(size))
        forms = [_Form(text)]
        if panel.text in ups:
            pointer = pointer_size(ups[panel.text])
            forms = [_Form(text, pointer), _Form(text, pointer, stacked=True), *forms]
        found = _settled(forms, frame.point(panel.centre), places)
        if found is None:
            places.miss("panel name")
            continue
        form, place = found
        base = form.text_at(place).shifted(0, cap_height(size) / 2)
        shapes.append(Words(base, panel.text, size, align="middle", grey=QUIET / 2, halo=HALO))
        if form.pointer is not None:
            shapes += way_up(form.pointer_at(place), ups[panel.text])
    return shapes


@dataclass(frozen=True)
class _Form:
    """A name with its sign beside it or below it, or alone."""

    text: Size
    pointer: Size | None = None
    stacked: bool = False

    @property
    def size(self) -> Size:
        """Of it all, mm."""
        text, pointer = self.text, self.pointer
        if pointer is None:
            return text
        if self.stacked:
            return Size(max(text.width, pointer.width), text.height + pointer.height)
        return Size(text.width + CLOSE + pointer.width, max(text.height, pointer.height))

    def text_at(self, place: Rect) -> Point:
        """The middle of the name."""
        if self.stacked:
            return Point(place.centre.x, place.y + self.text.height / 2)
        return Point(place.x + self.text.width / 2, place.centre.y)

    def pointer_at(self, place: Rect) -> Point:
        """The middle of the sign."""
        assert self.pointer is not None, "there is a sign"
        if self.stacked:
            return Point(place.centre.x, place.bottom - self.pointer.height / 2)
        return Point(place.right - self.pointer.width / 2, place.centre.y)


def _settled(forms: Sequence[_Form], centre: Point, places: Places) -> tuple[_Form, Rect] | None:
    """The first form with a place that no line crosses, else the first with any place, now taken."""
    lines = places.lines_in(Rect(*centre, 0, 0).grown(2 * _NUDGE))
    for dx, dy in _STEPS:
        for form in forms:
            width, height = form.size
            place = Rect(centre.x + dx - width / 2, centre.y + dy - height / 2, width, height)
            if places.is_free(place) and not any(clip(*line, place) for line in lines):
                return form, places.take(place)
    for form in forms:
        found = places.near(form.size, centre, _NUDGE)
        if found is not None:
            return form, found
    return None


def pointer_size(turn: float | None) -> Size:
    """Room for an arrow that leans so far, or for the dot, mm."""
    if turn is None:
        return Size(2 * _DOT, 2 * _DOT)
    angle = math.radians(turn)
    across, down = abs(math.sin(angle)) * _LONGEST, abs(math.cos(angle)) * _LONGEST
    return Size(max(across, 2 * _DOT), max(down, 2 * _DOT))


def way_up(middle: Point, turn: float | None) -> tuple[Shape, ...]:
    """The arrow, or the dot of a panel that lies level.

    Args:
        middle: Of the sign, sheet mm.
        turn: Degrees clockwise from the sheet's top; None for level.
    """
    if turn is None:
        return (Ring(middle, _DOT, grey=QUIET / 2, halo=HALO, filled=True),)
    angle = math.radians(turn)
    x, y = math.sin(angle), -math.cos(angle)
    tail, tip = (middle.shifted(way * x * _LONGEST / 2, way * y * _LONGEST / 2) for way in (-1, 1))
    ground = head(tip.shifted(2 * HALO * x, 2 * HALO * y), turn - 90, 1.0, _GROUND)
    return (ground, *arrow(tail, tip, QUIET / 2, FINE, HALO))
