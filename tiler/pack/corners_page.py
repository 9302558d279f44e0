"""Corner pages: art from both sides of every meeting edge, laid together at true size.

::

      m3  P2 above, P5 below, 60 mm
     -  ======== art of P2 ========  -      the ticks beside the strip stand at the edge; nothing
        ======== art of P5 ========         covers the edge itself
      artwork steps 1.8 mm down from P2 to P5
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from tiler.errors import PackError
from tiler.geometry import Affine, Margins, Point, Rect
from tiler.marks.box_picture import BoxPicture
from tiler.marks.facts import Facts, scale_words
from tiler.marks.metrics import Measure, cap_height, wrap
from tiler.marks.scale_bar import LENGTHS, bar_size, scale_bar
from tiler.marks.shapes import Artwork, Line, Page, Shape, Words
from tiler.marks.style import APART, BLACK, CLOSE, FINE, NEAR, NOTE, QUIET, TITLE, WIDE
from tiler.pack.corners_facts import BAND, CornerStrip, StripSide
from tiler.pack.corners_view import around, draw_box, placed
from tiler.pack.layout import Column, type_scale
from tiler.plan.sheet import Sheet

HOW = (
    "Every strip shows the art 15 mm to both sides of an edge, at the scale of the tiles and turned as it "
    "meets in the closed box: the short ticks beside it stand at the edge. Look along the edge for steps "
    "before cutting a tile."
)
MEASURED = (
    "Measured on colours as a screen shows them, each 0.5 mm along the edge (CIEDE2000, ISO/CIE 11664-6); "
    "board thickness, cutting and gluing add their own steps of about half a millimetre (common practice, no "
    "source)."
)
_SIDE = 3.0
"""Room for the ticks at either end of a strip, mm."""
_NARROWEST = 52.0
"""Words under a short strip get at least this width, mm."""
_KEY = 52.0
"""Height of the folded box at the head of the first page, mm."""
_LEAST = (70.0, 110.0)
"""Smallest printable width and height on which strips make sense, mm."""


@dataclass(frozen=True)
class _Block:
    """A strip, or one piece of a long one, with its words; sheet mm but for ``begin`` and ``end``."""

    strip: CornerStrip
    begin: float
    """Where the piece begins along the edge, mm of the flat."""
    end: float
    head: tuple[str, ...]
    foot: tuple[str, ...]
    width: float
    height: float
    scale: float

    @property
    def top(self) -> float:
        """Height of the art above the edge."""
        return -min(0.0, _reach(self.strip.above)[0]) * self.scale

    @property
    def bottom(self) -> float:
        """Height of the art below it."""
        return max(0.0, _reach(self.strip.below)[1]) * self.scale


def corner_pages(
    strips: Sequence[CornerStrip],
    facts: Facts,
    sheet: Sheet,
    margins: Margins,
    measure: Measure,
    picture: BoxPicture | None = None,
    note: str = "",
) -> tuple[Page, ...]:
    """All corner pages; none without strips.

    Args:
        strips: In the order in which they are shown.
        facts: About the job.
        sheet: The job's paper.
        margins: Unprintable edges of the upright sheet, mm.
        measure: Width of a text.
        picture: The folded box, as a key to the names of the meetings.
        note: A sentence more for the head of the first page.

    Raises:
        PackError: The sheet is too small.
    """
    if not strips:
        return ()
    landscape = _lies(strips, facts.scale, sheet, margins)
    paper = sheet.printable(margins, landscape)
    if paper.width < _LEAST[0] or paper.height < _LEAST[1] - (25 if landscape else 0):
        raise PackError("the sheet is too small for corner strips", "choose a larger one with --sheet")
    blocks = [block for strip in strips for block in _blocks(strip, facts.scale, paper.width, measure)]
    foot = _foot(paper, measure)
    floor = min(_top_of(shape) for shape in foot) - WIDE
    pages: list[list[Shape]] = []
    heads = (_head(paper, facts, measure, picture, note), _head(paper, facts, measure, None))
    left = blocks
    while left:
        shapes, y = heads[0] if not pages else heads[1]
        drawn, left = _fill(left, Rect.between(paper.x, y, paper.right, floor), facts, measure)
        pages.append([*shapes, *drawn, *foot])
    size = sheet.oriented(landscape)
    names = ["Corners"] + [f"Corners {number}" for number in range(2, len(pages) + 1)]
    return tuple(
        Page(size, tuple(shapes), name, "Corner strips" + name.removeprefix("Corners"))
        for shapes, name in zip(pages, names, strict=True)
    )


def _lies(strips: Sequence[CornerStrip], scale: float, sheet: Sheet, margins: Margins) -> bool:
    """True when the longest strip fits the sheet only lying."""
    longest = max(strip.length for strip in strips) * scale + 2 * _SIDE
    upright, lying = (sheet.printable(margins, way).width for way in (False, True))
    return upright < longest <= lying


def _reach(side: StripSide) -> tuple[float, float]:
    """Least and greatest y of a side's art, strip mm."""
    if not side.rings:
        return 0.0, 0.0
    box = around(side.rings)
    return box.y, box.bottom


def _blocks(strip: CornerStrip, scale: float, room: float, measure: Measure) -> list[_Block]:
    """The strip in as many pieces as the paper needs, each with its words."""
    count = max(1, -int(-(strip.length * scale) // (room - 2 * _SIDE)))
    cuts = [strip.length * number / count for number in range(count + 1)]
    blocks = []
    for number, (begin, end) in enumerate(pairwise(cuts), 1):
        width = min(room, max((end - begin) * scale + 2 * _SIDE, _NARROWEST))
        part = f", part {number} of {count}" if count > 1 else ""
        head = f"{strip.above.panel} above, {strip.below.panel} below, {strip.length:.0f} mm{part}"
        if strip.name.startswith("m"):
            head = f"{strip.name} · {head}"
        lines = wrap(head, width - _SIDE, NOTE, measure, True)
        foot = wrap(strip.verdict, width - _SIDE, NOTE, measure, strip.stands_out) if number == 1 else ()
        block = _Block(strip, begin, end, lines, foot, width, 0.0, scale)
        height = (len(lines) + len(foot)) * _LINE + block.top + block.bottom + NEAR
        blocks.append(replace(block, height=height))
    return blocks


_LINE = 2.9
"""From base line to base line of the words, mm."""


def _fill(
    blocks: Sequence[_Block], area: Rect, facts: Facts, measure: Measure
) -> tuple[list[Shape], list[_Block]]:
    """Set blocks in rows until the area is full; what is left over goes to the next page."""
    shapes: list[Shape] = []
    x, y, deep = area.x, area.y, 0.0
    for number, block in enumerate(blocks):
        if x > area.x and x + block.width > area.right + 1e-6:
            x, y, deep = area.x, y + deep + WIDE, 0.0
        if y + block.height > area.bottom and number > 0:
            return shapes, list(blocks[number:])
        shapes += _draw(block, Point(x, y), facts)
        x += block.width + WIDE
        deep = max(deep, block.height)
    return shapes, []


def _draw(block: _Block, at: Point, facts: Facts) -> list[Shape]:
    """One block, its upper left corner at a point."""
    shapes: list[Shape] = []
    y = at.y
    for line in block.head:
        y += _LINE
        shapes.append(Words(Point(at.x + _SIDE, y - CLOSE + 0.2), line, NOTE, bold=True))
    edge = y + block.top
    left = at.x + _SIDE
    to_sheet = Affine.stretch(block.scale, block.scale).then(
        Affine.shift(left - block.begin * block.scale, edge)
    )
    length = (block.end - block.begin) * block.scale
    window = Rect.between(left, edge - block.top, left + length, edge + block.bottom)
    for side in (block.strip.above, block.strip.below):
        shapes += _art(side, to_sheet, window, facts)
    for x1, x2 in ((left - 2.4, left - 0.4), (left + length + 0.4, left + length + 2.4)):
        shapes.append(Line((Point(x1, edge), Point(x2, edge)), FINE, BLACK))
    y = edge + block.bottom + CLOSE
    for line in block.foot:
        y += _LINE
        shapes.append(
            Words(Point(left, y - CLOSE + 0.2), line, NOTE, bold=block.strip.stands_out, grey=BLACK)
        )
    return shapes


def _art(side: StripSide, to_sheet: Affine, window: Rect, facts: Facts) -> list[Shape]:
    """The art of one side within a piece of the strip."""
    rings = placed(side.rings, to_sheet)
    if not rings:
        return []
    clip = around(rings).intersection(window)
    if clip.is_empty:
        return []
    return [Artwork(clip, side.to_strip.then(to_sheet), facts.flat, rings=rings)]


def _head(
    paper: Rect, facts: Facts, measure: Measure, picture: BoxPicture | None, note: str = ""
) -> tuple[list[Shape], float]:
    """Title and words, with the folded box beside them on the first page; and where the strips begin."""
    scale = type_scale(paper.size)
    key = Rect.between(paper.right - paper.width * 0.42, paper.y, paper.right, paper.y + _KEY)
    width = paper.width if picture is None else key.x - paper.x - WIDE
    column = Column(Point(paper.x, paper.y), width, scale, measure)
    column.y += cap_height(scale.title)
    column.shapes.append(Words(Point(paper.x, column.y), "Corner strips", scale.title, bold=True))
    column.gap(APART)
    told = [facts.file_name, f"page {facts.page}", f"revision {facts.revision}", facts.date]
    column.paragraph(" · ".join([*(word for word in told if word), scale_words(facts.scale)]), grey=QUIET)
    if picture is None:
        return column.shapes, column.y + NEAR
    column.paragraph(HOW.replace("15 mm", f"{BAND:g} mm"))
    column.paragraph(f"{MEASURED} {note}".rstrip(), grey=QUIET)
    shapes = [*column.shapes, *draw_box(picture, key.grown(-APART), facts.flat, measure)]
    return shapes, max(column.y, key.bottom) + WIDE


def _foot(paper: Rect, measure: Measure) -> tuple[Shape, ...]:
    """The scale bar at the lower left."""
    for length in LENGTHS:
        size = bar_size(length, upright=False)
        if size.width <= paper.width:
            return scale_bar(Rect(paper.x, paper.bottom - size.height, *size), False, measure)
    return ()


def _top_of(shape: Shape) -> float:
    """Upper edge of a line or of words, sheet mm."""
    if isinstance(shape, Line):
        return min(point.y for point in shape.points)
    assert isinstance(shape, Words), "the foot has lines and words"
    return shape.at.y - cap_height(TITLE)
