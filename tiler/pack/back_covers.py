"""The backs of the map and assembly pages, so that every sheet of a pack printed on both sides has its own.

The back of the map is a test: it repeats the lines of the map's two scale bars, mirrored so that they lie on
those of the front when the sheet is held to the light.
"""

from __future__ import annotations

from tiler.geometry import EPSILON, Affine, Point, Rect
from tiler.marks.back import to_back, turns_sideways
from tiler.marks.facts import Flip, InsidePrint
from tiler.marks.metrics import Measure
from tiler.marks.scale_bar import DEPTH
from tiler.marks.shapes import Line, Page, Shape
from tiler.marks.style import APART
from tiler.pack.inside_notes import back_check_block, blank_block
from tiler.pack.layout import Block, Column, type_scale
from tiler.pack.map_page import bar_length, set_square
from tiler.plan.tile import Plan

_WIDEST = 12.2
"""Greatest width of a column of words, in mm for each pt of type: some 75 letters a line."""


def map_back(front: Page, plan: Plan, inside: InsidePrint, measure: Measure) -> Page:
    """The back of the map: bars that must lie on those of the front, and what it means when they do not."""
    paper = _paper(front, plan)
    behind = to_back(front.size, inside.flip)
    lines = [
        _moved(shape, behind)
        for shape in set_square(paper, bar_length(plan), measure)
        if isinstance(shape, Line)
    ]
    words = _set(back_check_block(plan, inside), front, plan, inside.flip, measure)
    return _back(front, (*lines, *words))


def plain_back(front: Page, plan: Plan, inside: InsidePrint, measure: Measure) -> Page:
    """The back of any other page without artwork."""
    return _back(front, _set(blank_block(front.title), front, plan, inside.flip, measure))


def _back(front: Page, shapes: tuple[Shape, ...]) -> Page:
    return Page(front.size, shapes, f"{front.label} back", f"Back of: {front.title}")


def _paper(front: Page, plan: Plan) -> Rect:
    return plan.sheet.printable(plan.margins, front.size.width > front.size.height + EPSILON)


def _set(block: Block, front: Page, plan: Plan, flip: Flip, measure: Measure) -> tuple[Shape, ...]:
    """One block of words, clear of the mirrored bars."""
    bar = DEPTH + APART
    sideways = turns_sideways(front.size, flip)
    paper = _paper(front, plan)
    room = paper.inset(bar, 0, 0, bar) if sideways else paper.inset(0, bar, bar, 0)
    scale = type_scale(plan.sheet.size)
    column = Column(Point(room.x, room.y), min(room.width, _WIDEST * scale.body), scale, measure)
    block(column)
    return tuple(column.shapes)


def _moved(line: Line, by: Affine) -> Line:
    points = tuple(by.apply(*point) for point in line.points)
    return Line(points, line.width, line.grey, line.dash, line.halo, line.closed)
