"""Small drawings beside the steps of assembly: a tile to trim, a strip to join, all strips to join."""

from __future__ import annotations

from tiler.geometry import EPSILON, Point, Rect, Size
from tiler.marks.arrow import arrow
from tiler.marks.hatch import hatch
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.shapes import Line, Shape, Words
from tiler.marks.style import CLOSE, FINE, FIRM, HAIR, NEAR, QUIET
from tiler.pack.assembly_steps import Step
from tiler.plan.tile import Plan, Tile

HEIGHT = 24.0
"""Sketches are at most this high, mm."""
_GAP = 6.0
"""Between two tiles that are still apart, mm; it shrinks with many tiles."""
_CLEAR = 0.6
"""Between an arrow and the outline it comes from, mm."""
_LABEL, _LEAST_LABEL = 10.0, 3.5
"""Type sizes of labels, pt; where they would be smaller still they are left out."""
_PITCH = 1.0
"""Of the hatching, mm."""


def sketch_size(plan: Plan, step: Step, width: float) -> Size:
    """The room a sketch takes in a column of that width, mm; empty without one."""
    if step.sketch == "":
        return Size(0, 0)
    if step.sketch == "trim":
        return Size(min(width, 34.0), HEIGHT)
    boxes, _ = _explode(plan, step, width)
    return Size(max(b.right for _, b in boxes), max(b.bottom for _, b in boxes))


def draw_sketch(plan: Plan, step: Step, at: Point, width: float, measure: Measure) -> tuple[Shape, ...]:
    """The sketch of a step, its top-left corner at ``at``."""
    if step.sketch == "":
        return ()
    if step.sketch == "trim":
        return _trim_sketch(at, sketch_size(plan, step, width))
    boxes, gap = _explode(plan, step, width)
    placed = [(tile, box.shifted(*at)) for tile, box in boxes]
    shapes: list[Shape] = []
    for tile, box in placed:
        shapes += _tile(tile, box, gap, step.sketch == "strips", plan)
    shapes += _labels(placed, measure)
    return (*shapes, *_moves(plan, placed, gap, step.sketch == "strips"))


def _explode(plan: Plan, step: Step, width: float) -> tuple[list[tuple[Tile, Rect]], float]:
    """Small faces, drawn apart where they are still to be joined, from (0, 0)."""
    whole = step.sketch == "strips"
    tiles = plan.tiles if whole else plan.strips[step.strip]
    sideways = (plan.direction == "across") != whole
    parts = len(plan.strips) if whole else len(tiles)
    box = tiles[0].face
    for tile in tiles:
        box = box.union(tile.face)
    height = HEIGHT if sideways else 1.25 * HEIGHT
    gap = min(_GAP, (width if sideways else height) * 0.35 / max(1, parts - 1))
    spread = gap * (parts - 1)
    room = Size(width - spread, height) if sideways else Size(width, height - spread)
    factor = min(room.width / box.width, room.height / box.height)
    placed = []
    for tile in tiles:
        number = tile.strip if whole else tile.order
        shift = gap * number
        small = tile.face.shifted(-box.x, -box.y).scaled(factor)
        placed.append((tile, small.shifted(shift, 0) if sideways else small.shifted(0, shift)))
    return placed, gap


def _tile(tile: Tile, box: Rect, gap: float, whole: bool, plan: Plan) -> list[Shape]:
    """A face, with the tab that the next one will cover."""
    shapes: list[Shape] = [Line(box.corners, FINE, closed=True)]
    sideways = (plan.direction == "across") != whole
    depth = gap * 0.55
    tab = None
    if sideways and tile.right_tab > EPSILON:
        tab = Rect.between(box.right, box.y, box.right + depth, box.bottom)
    elif not sideways and tile.bottom_tab > EPSILON:
        tab = Rect.between(box.x, box.bottom, box.right, box.bottom + depth)
    if tab is not None and not tab.is_empty:
        shapes += [*hatch(tab.corners, _PITCH), Line(tab.corners, HAIR, QUIET, closed=True)]
    return shapes


def _labels(placed: list[tuple[Tile, Rect]], measure: Measure) -> list[Words]:
    """Labels of one size in the middle of each small face."""
    longest = max((tile.label for tile, _ in placed), key=lambda text: measure(text, 10, True))
    width = min(box.width for _, box in placed) * 0.7
    height = min(box.height for _, box in placed) * 0.6
    size = min(_LABEL, 10 * width / measure(longest, 10, True), 10 * height / cap_height(10))
    if size < _LEAST_LABEL:
        return []
    return [
        Words(box.centre.shifted(0, cap_height(size) / 2), tile.label, size, bold=True, align="middle")
        for tile, box in placed
    ]


def _moves(plan: Plan, placed: list[tuple[Tile, Rect]], gap: float, whole: bool) -> list[Shape]:
    """Arrows over the tabs, from each part that moves to the one that lies, in the middle of a seam."""
    boxes = {tile.label: box for tile, box in placed}
    parts = {tile.label: tile.strip if whole else tile.order for tile, _ in placed}
    sideways = (plan.direction == "across") != whole
    moved: set[int] = set()
    shapes: list[Shape] = []
    for seam in plan.seams:
        if seam.upper not in boxes or seam.lower not in boxes or gap < NEAR:
            continue
        part = parts[seam.upper]
        if part == parts[seam.lower] or part in moved:
            continue
        moved.add(part)
        upper, lower = boxes[seam.upper], boxes[seam.lower]
        if sideways:
            tail = Point(upper.x - _CLEAR, (max(upper.y, lower.y) + min(upper.bottom, lower.bottom)) / 2)
            shapes += arrow(tail, tail.shifted(-gap + 2 * _CLEAR, 0), halo=0.3)
        else:
            tail = Point((max(upper.x, lower.x) + min(upper.right, lower.right)) / 2, upper.y - _CLEAR)
            shapes += arrow(tail, tail.shifted(0, -gap + 2 * _CLEAR), halo=0.3)
    return shapes


def _trim_sketch(at: Point, size: Size) -> tuple[Shape, ...]:
    """A sheet with the two cuts as firm lines, and its tabs hatched."""
    sheet = Rect(at.x, at.y, *size)
    face = sheet.inset(4, 4, 8, 7)
    right = Rect.between(face.right, face.y, face.right + 4, face.bottom + 4)
    bottom = Rect.between(face.x, face.bottom, face.right, face.bottom + 4)
    cuts = (
        Line((Point(face.x, sheet.y - CLOSE), Point(face.x, sheet.bottom + CLOSE)), FIRM),
        Line((Point(sheet.x - CLOSE, face.y), Point(sheet.right + CLOSE, face.y)), FIRM),
    )
    return (
        Line(sheet.corners, HAIR, QUIET, closed=True),
        *hatch(right.corners, _PITCH),
        *hatch(bottom.corners, _PITCH),
        Line(face.corners, HAIR, QUIET, closed=True),
        *cuts,
    )
