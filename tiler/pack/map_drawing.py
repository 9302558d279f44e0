"""The drawing on the map page: the flat itself, with tiles, strips, creases, panel names and overall size."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from tiler.geometry import Affine, Point, Rect
from tiler.marks.arrow import arrow
from tiler.marks.crease_guides import PATTERNS
from tiler.marks.dimension import dimension
from tiler.marks.facts import Facts
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.names import strip_tag
from tiler.marks.shapes import Artwork, Line, Ring, Shape, Words
from tiler.marks.style import BLACK, CLOSE, FINE, FIRM, HAIR, HALO, NEAR, QUIET, WIDE
from tiler.pack.map_frame import HIDDEN, TAG, Frame
from tiler.pack.map_panels import draw_panel_names
from tiler.pack.map_places import Places
from tiler.pack.map_spots import draw_check_points, draw_meetings, draw_numbers
from tiler.plan.tile import Plan, Seam, Tile
from tiler.units import MM_PER_POINT, format_length

LIGHTEN = 0.55
"""White over the flat, so that lines and labels lead."""
_ROOMY = 20.0
"""Tiles wider than this on the map (mm) are parted by firm lines, smaller ones by fine ones."""
_SMALLEST, _LARGEST = 4.0, 17.0
"""Type sizes of tile labels, pt."""


@dataclass(frozen=True)
class Drawing:
    """The drawing on the map page."""

    shapes: tuple[Shape, ...]
    missed: str
    """Names and numbers that found no room, in words; empty when all did."""


def draw_map(plan: Plan, facts: Facts, frame: Frame, figure: float, measure: Measure) -> Drawing:
    """The whole drawing; ``figure`` is the type size of dimensions, pt."""
    to_sheet = Affine.stretch(facts.scale * frame.factor, facts.scale * frame.factor).then(
        Affine.shift(frame.flat.x, frame.flat.y)
    )
    labels, taken = _tile_labels(plan, frame, bool(facts.panels), measure)
    taken += [_around_seam(seam, frame) for seam in plan.seams]
    lines = [(frame.point(guide.start), frame.point(guide.end)) for guide in facts.guides]
    places = Places(frame.flat, taken, lines)
    points = draw_check_points(facts, frame, places, figure, measure)
    names = draw_panel_names(facts, frame, places, figure, measure)
    meetings = draw_meetings(facts, frame, places, figure, measure)
    numbers = draw_numbers(facts, frame, places, figure, measure)
    shapes = (
        Artwork(frame.flat, to_sheet, facts.flat, LIGHTEN),
        Line(frame.flat.corners, HAIR, QUIET, closed=True),
        *_guides(facts, frame),
        *(_outline(tile, frame) for tile in plan.tiles),
        *_seams(plan, frame),
        *numbers,
        *meetings,
        *names,
        *points,
        *labels,
        *_strip_order(plan, frame),
        *_overall(plan, frame, figure, measure),
    )
    return Drawing(shapes, places.missed)


def _guides(facts: Facts, frame: Frame) -> list[Line]:
    """Lines of the structure with their patterns, which stay as they are on the tiles but half as long."""
    return [
        Line(
            (frame.point(guide.start), frame.point(guide.end)),
            FINE,
            QUIET,
            tuple(length / 2 for length in PATTERNS[guide.kind]),
        )
        for guide in facts.guides
    ]


def _outline(tile: Tile, frame: Frame) -> Line:
    return Line(frame.rect(tile.face).corners, HAIR, QUIET, closed=True)


def _seams(plan: Plan, frame: Frame) -> list[Line]:
    """All seams, finer where the tiles of the map are small."""
    narrow = min(min(tile.face.size) for tile in plan.tiles) * frame.factor
    width = FIRM if narrow > _ROOMY else FINE
    return [line for seam in plan.seams for line in _seam(seam, plan.overlap, frame, width)]


def _seam(seam: Seam, overlap: float, frame: Frame, width: float) -> tuple[Line, Line]:
    """The seam, and the edge of the tab hidden beyond it."""
    away = (overlap, 0.0) if seam.is_upright else (0.0, overlap)
    ends = (frame.point(seam.start), frame.point(seam.end))
    hidden = (frame.point(seam.start.shifted(*away)), frame.point(seam.end.shifted(*away)))
    return Line(hidden, HAIR, QUIET, HIDDEN), Line(ends, width, halo=HALO)


def _tile_labels(
    plan: Plan, frame: Frame, cornered: bool, measure: Measure
) -> tuple[list[Words], list[Rect]]:
    """The labels, all of one size, in the middle of the faces or in a corner when panels have names."""
    longest = max((tile.label for tile in plan.tiles), key=lambda text: measure(text, 10, True))
    faces = [frame.rect(tile.face) for tile in plan.tiles]
    width = min(face.width for face in faces) * 0.6
    height = min(face.height for face in faces) * 0.4
    by_width = 10 * width / measure(longest, 10, True)
    by_height = height / (cap_height(10) / 10)
    largest = 0.5 * _LARGEST if cornered else _LARGEST
    size = max(_SMALLEST, min(by_width, by_height, largest))
    words, taken = [], []
    for tile, face in zip(plan.tiles, faces, strict=True):
        base = face.y + (face.height + cap_height(size)) / 2
        half = measure(tile.label, size, True) / 2
        middle = face.centre.x
        if cornered:
            inset = min(NEAR, face.width * 0.15, face.height * 0.15)
            base, middle = face.y + inset + cap_height(size), face.x + inset + half
        label = Words(Point(middle, base), tile.label, size, bold=True, align="middle", halo=1.5 * HALO)
        words.append(label)
        taken.append(Rect.between(middle - half, base - cap_height(size), middle + half, base).grown(0.5))
    return words, taken


def _around_seam(seam: Seam, frame: Frame) -> Rect:
    start, end = frame.point(seam.start), frame.point(seam.end)
    return Rect.between(start.x, start.y, end.x, end.y).grown(FIRM)


def _strip_order(plan: Plan, frame: Frame) -> list[Shape]:
    """Tags of the strips beside the drawing, with arrows from one to the next."""
    strips = plan.strips
    if len(strips) < 2:
        return []
    across = plan.direction == "across"
    middles = []
    for strip in strips:
        box = frame.rect(strip[0].face)
        for tile in strip[1:]:
            box = box.union(frame.rect(tile.face))
        aside = Point(frame.flat.right + NEAR + TAG, box.centre.y)
        middles.append(aside if across else Point(box.centre.x, frame.flat.bottom + NEAR + TAG))
    shapes: list[Shape] = []
    step = min(abs(b[across] - a[across]) for a, b in pairwise(middles))
    radius = min(TAG, step * 0.4)
    size = radius * 2.6 / MM_PER_POINT / 2
    for index, middle in enumerate(middles):
        base = middle.shifted(0, cap_height(size) / 2)
        shapes += [Ring(middle, radius, FINE), Words(base, strip_tag(plan, index), size, align="middle")]
    away = (0.0, radius + CLOSE) if across else (radius + CLOSE, 0.0)
    for here, there in pairwise(middles):
        if step > 2 * radius + WIDE:
            shapes += arrow(here.shifted(*away), there.shifted(-away[0], -away[1]), BLACK, HAIR)
    return shapes


def _overall(plan: Plan, frame: Frame, figure: float, measure: Measure) -> tuple[Shape, ...]:
    """The two overall dimensions."""
    flat = frame.flat
    width, height = format_length(plan.flat.width), format_length(plan.flat.height)
    return (
        *dimension(Point(flat.x, flat.y), Point(flat.right, flat.y), width, figure, measure),
        *dimension(Point(flat.x, flat.bottom), Point(flat.x, flat.y), height, figure, measure),
    )
