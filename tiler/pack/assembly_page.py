"""The assembly page: numbered steps written for this very plan, with boxes to tick and small sketches."""

from __future__ import annotations

from tiler.geometry import Point, Rect
from tiler.marks.facts import Facts
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.shapes import Page, Shape, Words
from tiler.marks.style import CLOSE, NEAR, QUIET, WIDE
from tiler.pack.assembly_sketch import draw_sketch, sketch_size
from tiler.pack.assembly_steps import Step, steps
from tiler.pack.layout import Column, TypeScale, type_scale
from tiler.pack.map_page import title_height, title_line
from tiler.plan.tile import Plan

_NUMBER = 8.0
"""Room for a step's number, mm."""
_SKETCHES = 0.36
"""Share of the page's width for the sketches."""


def assembly_pages(plan: Plan, facts: Facts, measure: Measure) -> tuple[Page, ...]:
    """As many pages as the steps need, upright, on the job's own sheet.

    Args:
        plan: At least one tile.
        facts: What to say.
        measure: Width of a text.
    """
    scale = type_scale(plan.sheet.size)
    paper = plan.sheet.printable(plan.margins, False)
    body = paper.inset(0, title_height(scale), 0, 0)
    pages = _pages(plan, facts, body, WIDE, scale, measure)
    if len(pages) > 1:
        closer = _pages(plan, facts, body, NEAR, scale, measure)
        pages = closer if len(closer) < len(pages) else pages
    size = plan.sheet.oriented(False)
    return tuple(
        Page(
            size,
            (*title_line(facts, _name(index), paper, scale, measure), *shapes),
            _name(index),
            "Steps of assembly" if index == 0 else "Steps of assembly, continued",
        )
        for index, shapes in enumerate(pages)
    )


def _pages(
    plan: Plan, facts: Facts, body: Rect, gap: float, scale: TypeScale, measure: Measure
) -> list[list[Shape]]:
    """The steps of each page, ``gap`` mm apart."""
    pages: list[list[Shape]] = [[]]
    y = body.y
    for number, step in enumerate(steps(plan, facts), 1):
        shapes, bottom = _step(plan, number, step, Rect(body.x, y, body.width, 0), scale, measure)
        if bottom > body.bottom and pages[-1]:
            pages.append([])
            shapes, bottom = _step(plan, number, step, Rect(body.x, body.y, body.width, 0), scale, measure)
        pages[-1] += shapes
        y = bottom + gap
    return pages


def _name(index: int) -> str:
    return "Assembly" if index == 0 else f"Assembly {index + 1}"


def _step(
    plan: Plan, number: int, step: Step, row: Rect, scale: TypeScale, measure: Measure
) -> tuple[list[Shape], float]:
    """One step set into a row from ``row.y`` down, and where it ends."""
    sketch_width = row.width * _SKETCHES
    column = Column(Point(row.x + _NUMBER, row.y), row.width - _NUMBER - sketch_width - WIDE, scale, measure)
    base = Point(row.x, row.y + cap_height(scale.heading))
    column.shapes.append(Words(base, str(number), scale.heading, bold=True))
    column.heading(step.title)
    if step.text:
        column.paragraph(step.text)
    column.ticks(step.ticks)
    if step.caution:
        column.paragraph(step.caution, grey=QUIET)
    at = Point(row.right - sketch_width + CLOSE, row.y + CLOSE)
    sketch = draw_sketch(plan, step, at, sketch_width - 2 * CLOSE, measure)
    height = sketch_size(plan, step, sketch_width - 2 * CLOSE).height
    bottom = max(column.y, row.y + height + 2 * CLOSE if height else 0.0)
    return [*column.shapes, *sketch], bottom
