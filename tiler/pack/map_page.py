"""The map page: the page the whole assembly hangs on, and one that may lie on a client's table.

The drawing is the hero; it gets the sheet's better way round, and the words stand below or beside it,
whichever leaves it larger. Along two edges lies the measure: a bar across and one down, like a set square.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from tiler.errors import PackError
from tiler.geometry import Point, Rect, Size
from tiler.marks.facts import Facts
from tiler.marks.metrics import Measure, cap_height, shorten
from tiler.marks.names import size_words
from tiler.marks.scale_bar import DEPTH, LENGTHS, bar_size, scale_bar
from tiler.marks.shapes import Line, Page, Shape, Words
from tiler.marks.style import APART, CLOSE, FINE, HAIR, NEAR, QUIET, WIDE
from tiler.pack.inside_notes import inside_block
from tiler.pack.layout import GUTTER, Block, Columns, TypeScale, height_of, share_out, type_scale
from tiler.pack.map_drawing import draw_map
from tiler.pack.map_fold import HEIGHTS, TALLEST, fold_block, points_block
from tiler.pack.map_frame import Frame, fit
from tiler.pack.map_legend import marks_block
from tiler.pack.map_notes import care_block, check_block, facts_block
from tiler.plan.tile import Plan

_COLUMN = 7.0
"""Least width of a column of words, in mm for each pt of type."""
_WIDEST = 12.2
"""Greatest width of a column of words, in mm for each pt of type: some 75 letters a line."""
_CROWDED = 0.6
"""When words take more than this share of the drawing's possible size, half of them go to a second page."""


@dataclass(frozen=True)
class Layout:
    """One way to share a sheet between drawing and words."""

    landscape: bool
    frame: Frame
    notes: Columns
    notes_at: Point


def map_pages(plan: Plan, facts: Facts, measure: Measure) -> tuple[Page, ...]:
    """The map page, and a second one for the words on marks and care where the sheet is small.

    Args:
        plan: At least one tile.
        facts: What to say.
        measure: Width of a text.

    Raises:
        PackError: The sheet is too small for any map.
    """
    pages, missed = _pages(plan, facts, "", measure)
    if missed:
        pages, still = _pages(plan, facts, missed, measure)
        if still != missed:
            pages, _ = _pages(plan, facts, still, measure)
    return pages


def _pages(plan: Plan, facts: Facts, missed: str, measure: Measure) -> tuple[tuple[Page, ...], str]:
    """The pages, told what found no room before, and what finds none now."""
    scale = type_scale(plan.sheet.size)
    first: tuple[Block, ...] = (facts_block(plan, facts), check_block(bar_length(plan)))
    if facts.check_points:
        first = (*first, points_block(plan, facts))
    if facts.inside is not None:
        first = (*first, inside_block(plan, facts.inside))
    board = facts.fold.board if facts.fold is not None else ""
    later: tuple[Block, ...] = (marks_block(plan, facts, measure, missed), care_block(board))
    alone = best_layout(plan, first[:1], scale, measure)
    layout = best_layout(plan, (*first, *later), scale, measure)
    if layout is not None and alone is not None and layout.frame.factor >= _CROWDED * alone.frame.factor:
        layout = _with_box(plan, facts, layout, (*first, *later), scale, measure)
        page, missed = _page(plan, facts, layout, scale, measure)
        return (page,), missed
    layout = best_layout(plan, first, scale, measure)
    if layout is None:
        layout, later = alone, (*first[1:], *later)
    if layout is None:
        raise PackError(
            f"the sheet of {size_words(*plan.sheet.size)} has no room for a map", "choose a larger sheet"
        )
    page, missed = _page(plan, facts, layout, scale, measure)
    return (page, _notes_page(plan, facts, layout.landscape, later, scale, measure)), missed


def _with_box(
    plan: Plan, facts: Facts, layout: Layout, blocks: Sequence[Block], scale: TypeScale, measure: Measure
) -> Layout:
    """The layout with the folded box as its last block, where that leaves the drawing much as large."""
    fold = facts.fold
    if fold is None or fold.picture is None:
        return layout
    for height, share in HEIGHTS:
        least = height * scale.body
        more = (*blocks, fold_block(facts, fold, fold.picture, least))
        wider = best_layout(plan, more, scale, measure, (layout.landscape,))
        if wider is not None and wider.frame.factor >= share * layout.frame.factor:
            return _box_enlarged(plan, facts, wider, least, scale, measure)
    return layout


def _box_enlarged(
    plan: Plan, facts: Facts, layout: Layout, least: float, scale: TypeScale, measure: Measure
) -> Layout:
    """The layout with its folded box as high as its column has room, from ``least`` mm on."""
    fold, notes = facts.fold, layout.notes
    assert fold is not None, "there is a box"
    assert fold.picture is not None, "there is a picture of it"
    used = height_of(notes.groups[-1], notes.width, scale, measure)
    spare = _content(plan, layout.landscape, scale).bottom - layout.notes_at.y - used
    height = min(least + max(0.0, spare), TALLEST * scale.body)
    block = fold_block(facts, fold, fold.picture, height)
    groups = (*notes.groups[:-1], (*notes.groups[-1][:-1], block))
    return replace(layout, notes=replace(notes, groups=groups))


def bar_length(plan: Plan) -> float:
    """The longest bar that fits both ways on an upright sheet."""
    paper = plan.sheet.printable(plan.margins, False)
    room = min(paper.width, paper.height) - WIDE - DEPTH
    return next((length for length in LENGTHS if length <= room), LENGTHS[-1])


def _content(plan: Plan, landscape: bool, scale: TypeScale) -> Rect:
    """What is left between title, bars and margins."""
    paper = plan.sheet.printable(plan.margins, landscape)
    bar = DEPTH + APART
    return paper.inset(0, title_height(scale), bar, bar)


def title_height(scale: TypeScale) -> float:
    """From the top of the printable area to the first thing below the title, mm."""
    return cap_height(scale.title) + NEAR + cap_height(scale.body) + NEAR + WIDE


def best_layout(
    plan: Plan,
    blocks: Sequence[Block],
    scale: TypeScale,
    measure: Measure,
    ways: Sequence[bool] = (False, True),
) -> Layout | None:
    """The layout with the largest drawing; upright and words below win when equal.

    Args:
        plan: The sheets.
        blocks: The words.
        scale: Sizes of type.
        measure: Width of a text.
        ways: True for a landscape page, as far as they are tried.
    """
    best: Layout | None = None
    for landscape in ways:
        content = _content(plan, landscape, scale)
        most = max(1, min(len(blocks), int(content.width // (_COLUMN * scale.body))))
        for count in range(1, most + 1):
            for layout in (
                _below(plan, landscape, content, blocks, count, scale, measure),
                _beside(plan, landscape, content, blocks, count, scale, measure),
            ):
                if layout and (best is None or _better(layout, best)):
                    best = layout
    return best


def _better(layout: Layout, best: Layout) -> bool:
    """True for a larger drawing, or for one of much the same size with lower words."""
    ratio = layout.frame.factor / best.frame.factor
    if ratio > 1.02:
        return True
    return ratio > 0.999 and layout.notes.height < 0.8 * best.notes.height


def _widths(room: float, count: int, scale: TypeScale) -> float:
    """What ``count`` columns take: all the width there is, but no column so wide that it is hard to read."""
    return min(room, count * _WIDEST * scale.body + (count - 1) * GUTTER)


def _below(
    plan: Plan, landscape: bool, content: Rect, blocks: Sequence[Block], count: int,
    scale: TypeScale, measure: Measure,
) -> Layout | None:  # fmt: skip
    notes = share_out(blocks, count, _widths(content.width, count, scale), scale, measure)
    frame = fit(plan, content.inset(0, 0, 0, notes.height + WIDE), scale.body)
    at = Point(content.x, content.bottom - notes.height)
    return None if frame is None else Layout(landscape, frame, notes, at)


def _beside(
    plan: Plan, landscape: bool, content: Rect, blocks: Sequence[Block], count: int,
    scale: TypeScale, measure: Measure,
) -> Layout | None:  # fmt: skip
    width = count * (_COLUMN + 1) * scale.body
    notes = share_out(blocks, count, width, scale, measure)
    if notes.height > content.height:
        return None
    frame = fit(plan, content.inset(0, 0, width + WIDE, 0), scale.body)
    if frame is None:
        return None
    top = max(content.y, min(frame.flat.y, content.bottom - notes.height))
    at = Point(content.right - width, top)
    return None if frame is None else Layout(landscape, frame, notes, at)


def _page(plan: Plan, facts: Facts, layout: Layout, scale: TypeScale, measure: Measure) -> tuple[Page, str]:
    """The map, and what found no room on it."""
    paper = plan.sheet.printable(plan.margins, layout.landscape)
    drawing = draw_map(plan, facts, layout.frame, scale.body, measure)
    shapes = (
        *drawing.shapes,
        *title_line(facts, "Map", paper, scale, measure),
        *layout.notes.draw(layout.notes_at, scale, measure),
        *set_square(paper, bar_length(plan), measure),
    )
    return Page(plan.sheet.oriented(layout.landscape), shapes, "Map", "Map of the flat"), drawing.missed


def _notes_page(
    plan: Plan, facts: Facts, landscape: bool, blocks: Sequence[Block], scale: TypeScale, measure: Measure
) -> Page:
    paper = plan.sheet.printable(plan.margins, landscape)
    content = paper.inset(0, title_height(scale), 0, 0)
    count = 2 if content.width > content.height else 1
    notes = _notes_with_box(facts, blocks, count, content, scale, measure)
    shapes = (
        *title_line(facts, "Map, marks", paper, scale, measure),
        *notes.draw(Point(content.x, content.y), scale, measure),
    )
    return Page(plan.sheet.oriented(landscape), shapes, "Map 2", "Marks and care")


def _notes_with_box(
    facts: Facts, blocks: Sequence[Block], count: int, content: Rect, scale: TypeScale, measure: Measure
) -> Columns:
    """The words of the second page, with the folded box below them where there is room."""
    notes = share_out(blocks, count, content.width, scale, measure)
    if facts.fold is None or facts.fold.picture is None:
        return notes
    box = fold_block(facts, facts.fold, facts.fold.picture, TALLEST * scale.body)
    wider = share_out((*blocks, box), count, content.width, scale, measure)
    return wider if wider.height <= content.height else notes


def title_line(facts: Facts, name: str, paper: Rect, scale: TypeScale, measure: Measure) -> tuple[Shape, ...]:
    """File name and page name over a line, with the particulars of the file below the name."""
    base = paper.y + cap_height(scale.title)
    name_width = measure(name, scale.title, False)
    file_name = shorten(facts.file_name, paper.width - name_width - WIDE, scale.title, measure, True)
    second = base + NEAR + cap_height(scale.body)
    rule = second + NEAR
    box = f"page {facts.page}, {facts.box} box" if facts.box else f"page {facts.page}"
    parts = [facts.part, box, f"revision {facts.revision}", facts.date]
    particulars = shorten("   ".join(part for part in parts if part), paper.width, scale.body, measure)
    return (
        Words(Point(paper.x, base), file_name, scale.title, bold=True),
        Words(Point(paper.right, base), name, scale.title, align="right", grey=QUIET),
        Words(Point(paper.x, second), particulars, scale.body, grey=QUIET),
        Line((Point(paper.x, rule), Point(paper.right, rule)), HAIR, QUIET),
    )


def set_square(paper: Rect, length: float, measure: Measure) -> tuple[Shape, ...]:
    """The two bars in the lower right corner."""
    across, down = bar_size(length, False), bar_size(length, True)
    gap = CLOSE + FINE
    corner = Point(paper.right - down.width - gap, paper.bottom - across.height - gap)
    return (
        *scale_bar(_at(Point(corner.x - across.width, paper.bottom - across.height), across), False, measure),
        *scale_bar(_at(Point(paper.right - down.width, corner.y - down.height), down), True, measure),
    )


def _at(corner: Point, size: Size) -> Rect:
    return Rect(*corner, *size)
