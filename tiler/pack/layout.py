"""Columns of quiet text for map and assembly pages: headings, paragraphs, pairs, boxes to tick, samples."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tiler.geometry import Point, Rect, Size
from tiler.marks.metrics import Measure, cap_height, em, wrap
from tiler.marks.shapes import Line, Shape, Words
from tiler.marks.style import BLACK, CLOSE, FINE, HAIR, NEAR, QUIET, WIDE


@dataclass(frozen=True)
class TypeScale:
    """The type sizes of a page, pt."""

    body: float
    """Running text."""
    heading: float
    """Semibold heading of a block."""
    title: float
    """The page's title."""

    @property
    def leading(self) -> float:
        """From base line to base line of running text, mm."""
        return em(self.body) * 1.32


def type_scale(sheet: Size) -> TypeScale:
    """Type for a sheet: small sheets are held closer to the eye, large ones lie on a table."""
    short = min(sheet)
    if short < 170:
        return TypeScale(6.5, 7.5, 12.0)
    if short < 270:
        return TypeScale(7.5, 8.5, 16.0)
    return TypeScale(9.0, 10.0, 20.0)


GUTTER = WIDE + CLOSE
"""Between two columns of words, mm."""
BETWEEN = WIDE - CLOSE
"""Between two blocks of a column, mm."""
_LONG_LIST = 4
"""Lists of more boxes than this are set in several columns where their words are short."""


class Column:
    """A column of text that grows downwards; read ``shapes`` and ``y`` when it is set."""

    def __init__(
        self, at: Point, width: float, scale: TypeScale, measure: Measure, only_measured: bool = False
    ) -> None:
        self.x, self.y, self.width = at.x, at.y, width
        self.scale, self.measure = scale, measure
        self._only_measured = only_measured
        self.shapes: list[Shape] = []

    def gap(self, height: float) -> None:
        """Leave white space, mm."""
        self.y += height

    def heading(self, text: str) -> None:
        """A semibold line over a hairline."""
        self.y += cap_height(self.scale.heading)
        self.shapes.append(Words(Point(self.x, self.y), text, self.scale.heading, bold=True))
        self.y += CLOSE + 0.2
        rule = Line((Point(self.x, self.y), Point(self.x + self.width, self.y)), HAIR, QUIET)
        self.shapes.append(rule)
        self.y += NEAR

    def paragraph(self, text: str, indent: float = 0.0, bold: bool = False, grey: float = BLACK) -> None:
        """Running text, broken into lines."""
        size = self.scale.body
        lines = wrap(text, self.width - indent, size, self.measure, bold)
        for line in lines:
            base = Point(self.x + indent, self.y + cap_height(size))
            self.shapes.append(Words(base, line, size, bold, grey=grey))
            self.y += self.scale.leading
        self.y += CLOSE if lines else 0

    def pair(self, name: str, value: str, indent: float) -> None:
        """A quiet name at the left, and its value beside it."""
        base = Point(self.x, self.y + cap_height(self.scale.body))
        self.shapes.append(Words(base, name, self.scale.body, grey=QUIET))
        self.paragraph(value, indent)

    def tick(self, text: str) -> None:
        """A box to tick, and what was done."""
        side = cap_height(self.scale.body) + 0.6
        top = self.y - 0.3
        left = self.x + FINE / 2
        box = [Point(left + dx, top + dy) for dx, dy in ((0, 0), (side, 0), (side, side), (0, side))]
        self.shapes.append(Line(tuple(box), FINE, BLACK, closed=True))
        self.paragraph(text, side + NEAR)

    def ticks(self, texts: Sequence[str]) -> None:
        """Boxes to tick, side by side in rows of equal steps when they are many and short."""
        if not texts:
            return
        longest = max(self.measure(text, self.scale.body, False) for text in texts)
        step = longest + cap_height(self.scale.body) + NEAR + WIDE
        count = max(1, int((self.width + WIDE) // step)) if len(texts) > _LONG_LIST else 1
        rows = -(-len(texts) // count)
        top, left, bottom = self.y, self.x, self.y
        for first in range(0, len(texts), rows):
            self.y = top
            for text in texts[first : first + rows]:
                self.tick(text)
            self.x += step
            bottom = max(bottom, self.y)
        self.x, self.y = left, bottom

    def sample(self, draw: Callable[[Point], Sequence[Shape]], size: Size, text: str) -> None:
        """A drawn sample and its meaning; ``draw`` gets the sample's middle."""
        indent = size.width + NEAR + CLOSE
        count = len(wrap(text, self.width - indent, self.scale.body, self.measure))
        words = (count - 1) * self.scale.leading + cap_height(self.scale.body)
        height = max(size.height, words)
        if not self._only_measured:
            self.shapes += draw(Point(self.x + size.width / 2, self.y + height / 2))
        top = self.y
        self.y = top + (height - words) / 2
        self.paragraph(text, indent)
        self.y = top + max(size.height + 1.5 * CLOSE, words + NEAR + CLOSE / 2)

    def picture(self, draw: Callable[[Rect], Sequence[Shape]], height: float) -> None:
        """A picture as wide as the column, with air round it; ``draw`` gets its place."""
        place = Rect(self.x + NEAR, self.y + CLOSE, self.width - 2 * NEAR, height)
        if not self._only_measured:
            self.shapes += draw(place)
        self.y += height + NEAR + CLOSE


Block = Callable[[Column], None]
"""Sets one group of text into a column."""


def height_of(blocks: Sequence[Block], width: float, scale: TypeScale, measure: Measure) -> float:
    """Height of blocks set one below the other, mm."""
    column = Column(Point(0, 0), width, scale, measure, only_measured=True)
    _set(blocks, column)
    return column.y


def _set(blocks: Sequence[Block], column: Column) -> None:
    for index, block in enumerate(blocks):
        if index:
            column.gap(BETWEEN)
        block(column)


@dataclass(frozen=True)
class Columns:
    """Blocks shared out over columns of equal width, in order."""

    groups: tuple[tuple[Block, ...], ...]
    width: float
    """Of one column, mm."""
    height: float
    """Of the tallest column, mm."""

    def draw(self, at: Point, scale: TypeScale, measure: Measure) -> tuple[Shape, ...]:
        """All columns, the first one's top-left corner at ``at``."""
        shapes: list[Shape] = []
        for index, group in enumerate(self.groups):
            x = at.x + index * (self.width + GUTTER)
            column = Column(Point(x, at.y), self.width, scale, measure)
            _set(group, column)
            shapes += column.shapes
        return tuple(shapes)


def share_out(
    blocks: Sequence[Block], count: int, total: float, scale: TypeScale, measure: Measure
) -> Columns:
    """Share blocks over ``count`` columns in ``total`` mm of width so that the tallest is lowest."""
    width = (total - GUTTER * (count - 1)) / count
    heights = {block: height_of([block], width, scale, measure) for block in blocks}
    best: tuple[float, tuple[tuple[Block, ...], ...]] | None = None
    for groups in _partitions(tuple(blocks), count):
        height = max(sum(map(heights.__getitem__, group)) + BETWEEN * (len(group) - 1) for group in groups)
        if best is None or height < best[0] - 1e-9:
            best = (height, groups)
    assert best is not None, "there are at least as many blocks as columns"
    return Columns(best[1], width, best[0])


def _partitions(blocks: tuple[Block, ...], count: int) -> list[tuple[tuple[Block, ...], ...]]:
    """All ways to cut a row of blocks into ``count`` groups that are not empty."""
    if count == 1:
        return [(blocks,)]
    return [
        (blocks[:first], *rest)
        for first in range(1, len(blocks) - count + 2)
        for rest in _partitions(blocks[first:], count - 1)
    ]
