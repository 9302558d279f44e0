"""Check points, names of meeting edges and numbers of texts on the map."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

from tiler.geometry import Point, Rect, Size
from tiler.marks.facts import CheckSpot, Facts, MeetingEdge
from tiler.marks.metrics import Measure, cap_height, em
from tiler.marks.shapes import Line, Ring, Shape, Words
from tiler.marks.style import BLACK, CLOSE, FINE, HALO
from tiler.pack.map_frame import Frame
from tiler.pack.map_places import Places

_MEETING, _NUMBER = 0.85, 0.67
"""Type sizes of names and of numbers, share of that of the dimensions."""
_NUDGE = 3.0
"""A number may stand this far from the middle of its text, mm."""
BLEED = 3.0
"""Art beyond a cut edge, mm of the plan (common practice, no source)."""
_DIRECTIONS = 12
"""Ways in which the sign of a check point steps aside."""
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where along its edge a name may stand, best first."""


def draw_check_points(
    facts: Facts, frame: Frame, places: Places, figure: float, measure: Measure
) -> list[Shape]:
    """A disc with its letter on every spot, or beside it with a line to it where the spot is taken."""
    shapes: list[Shape] = []
    for spot in facts.check_points:
        at, radius = frame.point(spot.at), disc_radius(spot.sign, figure, measure)
        room = places.first(Rect(*middle, 0, 0).grown(radius) for middle in _around(at, radius))
        if room is None:
            places.miss("check point")
            continue
        middle = places.take(room).centre
        if middle != at:
            dot = Ring(at, 0.3, halo=HALO, filled=True)
            shapes += [Line((at, middle), FINE, halo=HALO), dot]
            places.take(Rect(*at, 0, 0).grown(0.3))
        shapes += disc(spot, middle, figure, measure)
    return shapes


def disc_radius(sign: str, figure: float, measure: Measure) -> float:
    """Of the disc round a sign, mm."""
    return max(0.62 * em(figure), measure(sign, figure * _MEETING, True) / 2 + 0.5)


def disc(spot: CheckSpot, middle: Point, figure: float, measure: Measure) -> tuple[Shape, ...]:
    """The sign of a check point: a white letter on a black disc."""
    size = figure * _MEETING
    base = middle.shifted(0, cap_height(size) * 0.4)
    return (
        Ring(middle, disc_radius(spot.sign, figure, measure), halo=HALO, filled=True),
        Words(base, spot.sign, size, bold=True, align="middle", grey=1),
    )


def _around(at: Point, radius: float) -> Iterator[Point]:
    """The spot itself, then places round it, farther and farther."""
    yield at
    for away in (2.6, 4.0, 6.0):
        for step in range(_DIRECTIONS):
            angle = math.radians(-45 + 360 / _DIRECTIONS * step)
            yield at.shifted(away * radius * math.cos(angle), away * radius * math.sin(angle))


def draw_meetings(facts: Facts, frame: Frame, places: Places, figure: float, measure: Measure) -> list[Shape]:
    """The names at both edges of each meeting; where one of the two finds no room, neither stands."""
    if facts.fold is None:
        return []
    size = figure * _MEETING
    shapes: list[Shape] = []
    for text, edges in groupby(facts.fold.edges, key=lambda edge: edge.text):
        room = Size(measure(text, size, True), cap_height(size))
        found: list[Rect] = []
        for edge in edges:
            place = places.first(_beside(edge, frame, room))
            if place is not None:
                found.append(places.take(place))
        if len(found) < 2:
            places.miss("meeting name")
            places.give_back(found)
            continue
        for place in found:
            base = Point(place.centre.x, place.bottom)
            shapes.append(Words(base, text, size, bold=True, align="middle", halo=1.5 * HALO))
    return shapes


def _beside(edge: MeetingEdge, frame: Frame, room: Size) -> Iterator[Rect]:
    """Places beside an edge: first where there is waste, then on its other side."""
    start, end = frame.point(edge.start), frame.point(edge.end)
    reach = (abs(edge.away.x) * room.width + abs(edge.away.y) * room.height) / 2 + 0.7 * CLOSE
    beyond_bleed = reach + (BLEED * frame.factor if edge.spots else 0.0)
    for side in (beyond_bleed, reach, -reach):
        for share in _SHARES:
            x = start.x + share * (end.x - start.x) + side * edge.away.x
            y = start.y + share * (end.y - start.y) + side * edge.away.y
            yield Rect(x - room.width / 2, y - room.height / 2, *room)


def draw_numbers(facts: Facts, frame: Frame, places: Places, figure: float, measure: Measure) -> list[Shape]:
    """The numbers of the proof list on their texts."""
    size = figure * _NUMBER
    shapes: list[Shape] = []
    for text, middle in facts.numbers:
        room = Size(measure(text, size, False), cap_height(size))
        place = places.near(room, frame.point(middle), _NUDGE)
        if place is None:
            places.miss("text number")
            continue
        base = Point(place.centre.x, place.bottom)
        shapes.append(Words(base, text, size, align="middle", grey=BLACK, halo=1.5 * HALO))
    return shapes
