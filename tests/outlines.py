"""What a shape covers on paper, as a shapely geometry: an independent account of where ink goes."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from tiler.geometry import Rect
from tiler.marks.shapes import Area, Artwork, Line, Picture, Ring, Shape, Words
from tiler.pack.ink import text_width
from tiler.units import MM_PER_POINT

CAP, DEPTH = 0.66, 0.22
"""Height of capitals (OS/2 table) and depth of descenders (measured by rendering) of Source Sans Pro, em."""


FOOT = 0.015
"""How far round letters and figures dip below the base line, em (measured by rendering)."""


def rectangle(rect: Rect) -> BaseGeometry:
    """A rectangle."""
    return box(rect.x, rect.y, rect.right, rect.bottom)


def covers(whole: BaseGeometry, part: BaseGeometry) -> bool:
    """True when ``part`` lies wholly in ``whole``."""
    return bool(shapely.covers(whole, part))


def shared(one: BaseGeometry, other: BaseGeometry) -> float:
    """The area that both cover, mm²."""
    return float(shapely.area(shapely.intersection(one, other)))


def outline(shape: Shape, halo: bool = True) -> BaseGeometry:
    """The paper that a shape covers, with or without its white edge."""
    match shape:
        case Line():
            points = [*shape.points, shape.points[0]] if shape.closed else list(shape.points)
            half = shape.width / 2 + (shape.halo if halo else 0)
            cap = "square" if halo and shape.halo else "flat"
            return LineString(points).buffer(half, cap_style=cap, join_style="mitre")
        case Area():
            return Polygon(shape.points)
        case Ring():
            return Point(shape.centre).buffer(shape.radius + shape.width / 2 + (shape.halo if halo else 0))
        case Words():
            grown = words_box(shape)
            return grown.buffer(shape.halo) if halo and shape.halo else grown
        case Artwork():
            return rectangle(shape.clip)
        case Picture():
            return rectangle(shape.place)


def words_box(words: Words) -> BaseGeometry:
    """The turned box round a line of text, from the foot of a p to the head of a capital."""
    width = text_width(words.text, words.size, words.bold)
    left = {"left": 0.0, "middle": -width / 2, "right": -width}[words.align]
    em = words.size * MM_PER_POINT
    depth = DEPTH if set(words.text) & set("gjpqy,;()Q") else FOOT
    flat = box(left, -CAP * em, left + width, depth * em)
    return translate(rotate(flat, words.turn, origin=(0, 0)), *words.at)


def colliding_words(shapes: Iterable[Shape], slack: float = 0.05) -> list[tuple[str, str]]:
    """Pairs of texts that are written over each other by more than ``slack`` mm."""
    words = [shape for shape in shapes if isinstance(shape, Words)]
    boxes = [words_box(word).buffer(-slack) for word in words]
    tree = shapely.STRtree(boxes)
    found = []
    for index, one in enumerate(boxes):
        for other in tree.query(one, predicate="intersects"):
            if other > index:
                found.append((words[index].text, words[int(other)].text))
    return found


def most_layers(pieces: list[BaseGeometry]) -> int:
    """How many pieces of paper lie over one another somewhere, at most (up to five are told apart)."""
    for count in range(5, 1, -1):
        for group in combinations(pieces, count):
            if shapely.intersection_all(list(group)).area > 1e-6:
                return count
    return 1 if pieces else 0
