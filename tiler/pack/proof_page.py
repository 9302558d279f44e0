"""The proof list: what to look at, what to hold against the brief, and every text with a box to tick.

Two columns on most sheets, filled from the top of one to the bottom of the other, page after page.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tiler.geometry import Point
from tiler.marks.facts import Facts
from tiler.marks.metrics import Measure, cap_height, shorten, wrap
from tiler.marks.shapes import Line, Page, Shape, Words
from tiler.marks.style import BLACK, CLOSE, FINE, NEAR, QUIET, WIDE
from tiler.pack.layout import GUTTER, Column, TypeScale, type_scale
from tiler.pack.map_page import title_height, title_line
from tiler.plan.tile import Plan

_COLUMN = 11.0
"""Least width of a column, in mm for each pt of type."""
_WHERE = 1.9
"""Room for tile and place at a column's right edge, in mm for each pt of type."""
_NUMBER = 1.15
"""Room for a number, in mm for each pt of type."""
_MOST_LINES = 12
"""A longer text is cut here; its beginning is enough to find it on the mock."""


@dataclass(frozen=True)
class ProofItem:
    """One line with a box to tick."""

    text: str
    where: str = ""
    """Tile, at the right."""
    number: str = ""
    """As on the map; empty for none."""
    detail: str = ""
    """Quiet words below the text."""
    has_box: bool = True
    """False for what is done with, such as a waived finding."""


@dataclass(frozen=True)
class ProofGroup:
    """Items under one heading."""

    title: str
    items: tuple[ProofItem, ...]
    note: str = ""
    """A sentence below the heading."""


@dataclass(frozen=True)
class Proof:
    """All that the proof list says."""

    groups: tuple[ProofGroup, ...]
    remarks: tuple[str, ...] = ()
    """Sentences for the end: what was not checked, and whose matter it is."""


@dataclass(frozen=True)
class _Set:
    """An item that is set, its top at 0."""

    shapes: tuple[Shape, ...]
    height: float
    """mm, with the space below."""
    keeps_next: bool = False
    """True for a heading, which never stands alone at the foot of a column."""


def proof_pages(proof: Proof, plan: Plan, facts: Facts, measure: Measure) -> tuple[Page, ...]:
    """As many upright pages as the list needs, on the job's own sheet; none for an empty list.

    Args:
        proof: What to list.
        plan: Tells the sheet.
        facts: For the title.
        measure: Width of a text.
    """
    scale = type_scale(plan.sheet.size)
    paper = plan.sheet.printable(plan.margins, False)
    body = paper.inset(0, title_height(scale), 0, 0)
    count = max(1, int((body.width + GUTTER) // (_COLUMN * scale.body + GUTTER)))
    width = (body.width - GUTTER * (count - 1)) / count
    columns = _flow(list(_pieces(proof, width, scale, measure)), body.height)
    size = plan.sheet.oriented(False)
    pages: list[Page] = []
    for index in range(0, len(columns), count):
        name = "Proof list" if not pages else f"Proof list {len(pages) + 1}"
        shapes = [
            _moved(shape, body.x + place * (width + GUTTER), body.y + top)
            for place, column in enumerate(columns[index : index + count])
            for top, piece in column
            for shape in piece.shapes
        ]
        title = "Proof list" if not pages else "Proof list, continued"
        pages.append(Page(size, (*title_line(facts, name, paper, scale, measure), *shapes), name, title))
    return tuple(pages)


def _flow(pieces: Sequence[_Set], height: float) -> list[list[tuple[float, _Set]]]:
    """Columns of pieces with the top of each, mm."""
    columns: list[list[tuple[float, _Set]]] = []
    y = height
    for index, piece in enumerate(pieces):
        needed = piece.height
        if piece.keeps_next and index + 1 < len(pieces):
            needed += pieces[index + 1].height
        if not columns or (y + needed > height and columns[-1]):
            columns.append([])
            y = 0.0
        columns[-1].append((y, piece))
        y += piece.height
    return columns


def _pieces(proof: Proof, width: float, scale: TypeScale, measure: Measure) -> Iterator[_Set]:
    """Headings, items and remarks, each set by itself."""
    for group in proof.groups:
        if not group.items:
            continue
        column = Column(Point(0, 0), width, scale, measure)
        column.heading(group.title)
        if group.note:
            column.paragraph(group.note, grey=QUIET)
        yield _Set(tuple(column.shapes), column.y, keeps_next=True)
        for item in group.items:
            yield _item(item, width, scale, measure)
        yield _Set((), WIDE)
    if proof.remarks:
        column = Column(Point(0, 0), width, scale, measure)
        column.heading("What this list does not say")
        yield _Set(tuple(column.shapes), column.y, keeps_next=True)
    for remark in proof.remarks:
        column = Column(Point(0, 0), width, scale, measure)
        column.paragraph(remark, grey=QUIET)
        yield _Set(tuple(column.shapes), column.y + CLOSE)


def _item(item: ProofItem, width: float, scale: TypeScale, measure: Measure) -> _Set:
    """Box, number, words and place of one item."""
    side = cap_height(scale.body) + 0.6
    left = FINE / 2
    shapes: list[Shape] = []
    if item.has_box:
        corners = [Point(left + dx, dy - 0.3) for dx, dy in ((0, 0), (side, 0), (side, side), (0, side))]
        shapes.append(Line(tuple(corners), FINE, BLACK, closed=True))
    indent = side + NEAR
    base = cap_height(scale.body)
    if item.number:
        number_room = _NUMBER * scale.body
        shapes.append(
            Words(Point(indent + number_room - NEAR, base), item.number, scale.body, True, align="right")
        )
        indent += number_room
    room = width - indent - _WHERE * scale.body
    y = 0.0
    words = [(line, BLACK) for line in _cut(wrap(item.text, room, scale.body, measure))]
    words += [(line, QUIET) for line in wrap(item.detail, room, scale.body, measure)]
    for line, grey in words:
        shapes.append(Words(Point(indent, y + base), line, scale.body, grey=grey))
        y += scale.leading
    where = shorten(item.where, _WHERE * scale.body - CLOSE, scale.body, measure)
    if where:
        shapes.append(Words(Point(width, base), where, scale.body, align="right", grey=QUIET))
    return _Set(tuple(shapes), max(y, side) + CLOSE)


def _cut(lines: tuple[str, ...]) -> tuple[str, ...]:
    """At most so many lines that one item stays findable."""
    return lines if len(lines) <= _MOST_LINES else (*lines[: _MOST_LINES - 1], "…")


def _moved(shape: Shape, dx: float, dy: float) -> Shape:
    """A line or words shifted to their place."""
    if isinstance(shape, Line):
        return replace(shape, points=tuple(point.shifted(dx, dy) for point in shape.points))
    assert isinstance(shape, Words), "the list is made of lines and words"
    return replace(shape, at=shape.at.shifted(dx, dy))
