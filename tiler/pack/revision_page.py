"""The map page of a reprint: what stays pale, what is new in full strength, and every change outlined."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.errors import PackError
from tiler.geometry import Point, Rect, Size
from tiler.marks.facts import Facts, scale_words
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.names import sheet_words, size_words
from tiler.marks.room import find_room
from tiler.marks.shapes import Area, Line, Page, Shape, Words
from tiler.marks.style import CLOSE, FINE, FIRM, HALO
from tiler.pack.layout import Block, Column, TypeScale, share_out, type_scale
from tiler.pack.map_drawing import draw_map
from tiler.pack.map_frame import Frame
from tiler.pack.map_notes import CAUTIONS, check_block
from tiler.pack.map_page import Layout, bar_length, best_layout, set_square, title_height, title_line
from tiler.pack.revision_facts import ChangedPlace, Reprint
from tiler.plan.tile import Plan

PALE = 0.7
"""White over the tiles that stay."""

BEHIND = (1.2, 0.7)
"""Dashes of a frame round a change on the inside, mm: a hidden edge, as on the map."""

MOST_PLACES = 14
"""Places that are listed one by one; the rest is counted."""

MOST_WORDS = 12
"""Changes of text that are listed."""

_CROWDED = 0.6
"""When words take more than this share of the drawing's possible size, half of them go to a second page."""

_NUMBER = 7.0
"""Type size of a place's number, pt."""


def change_pages(plan: Plan, facts: Facts, reprint: Reprint, measure: Measure) -> tuple[Page, ...]:
    """The map of the changes, and a second page for the words where the sheet is small.

    Args:
        plan: The plan that both revisions share.
        facts: About the later revision.
        reprint: What has changed.
        measure: Width of a text.

    Raises:
        PackError: The sheet is too small for any map.
    """
    scale = type_scale(plan.sheet.size)
    first = (_job_block(plan, facts, reprint), _places_block(reprint))
    later = [check_block(bar_length(plan)), _steps_block(plan)]
    if reprint.words:
        later.insert(0, _words_block(reprint))
    alone = best_layout(plan, first[:1], scale, measure)
    layout = best_layout(plan, (*first, *later), scale, measure)
    if layout is not None and alone is not None and layout.frame.factor >= _CROWDED * alone.frame.factor:
        return (_page(plan, facts, reprint, layout, scale, measure),)
    layout = best_layout(plan, first, scale, measure)
    if layout is None:
        layout, later = alone, [first[1], *later]
    if layout is None:
        raise PackError(
            f"the sheet of {size_words(*plan.sheet.size)} has no room for a map", "choose a larger sheet"
        )
    rest = _notes_page(plan, facts, layout.landscape, later, scale, measure)
    return (_page(plan, facts, reprint, layout, scale, measure), rest)


def _page(
    plan: Plan, facts: Facts, reprint: Reprint, layout: Layout, scale: TypeScale, measure: Measure
) -> Page:
    """The map itself."""
    paper = plan.sheet.printable(plan.margins, layout.landscape)
    plain = replace(facts, fold=None, check_points=(), numbers=())
    shapes = (
        *draw_map(plan, plain, layout.frame, scale.body, measure).shapes,
        *_pale(plan, reprint, layout.frame),
        *_outlines(reprint.places, layout.frame, measure),
        *title_line(facts, "Changes", paper, scale, measure),
        *layout.notes.draw(layout.notes_at, scale, measure),
        *set_square(paper, bar_length(plan), measure),
    )
    return Page(plan.sheet.oriented(layout.landscape), shapes, "Map", "Map of the changes")


def _notes_page(
    plan: Plan, facts: Facts, landscape: bool, blocks: Sequence[Block], scale: TypeScale, measure: Measure
) -> Page:
    """The words that found no room beside the map."""
    paper = plan.sheet.printable(plan.margins, landscape)
    content = paper.inset(0, title_height(scale), 0, 0)
    count = min(len(blocks), 2 if content.width > content.height else 1)
    notes = share_out(blocks, count, content.width, scale, measure)
    shapes = (
        *title_line(facts, "Changes, words", paper, scale, measure),
        *notes.draw(Point(content.x, content.y), scale, measure),
    )
    return Page(plan.sheet.oriented(landscape), shapes, "Map 2", "Words, and how to put the sheets in")


def _pale(plan: Plan, reprint: Reprint, frame: Frame) -> list[Shape]:
    """White over every tile that is not printed again."""
    stay = [tile for tile in plan.tiles if tile.label not in reprint.printed]
    return [Area(frame.rect(tile.face).corners, grey=1, opacity=PALE) for tile in stay]


def _outlines(places: Sequence[ChangedPlace], frame: Frame, measure: Measure) -> list[Shape]:
    """A frame around every place, and the number of those that are listed beside it."""
    boxes = [frame.rect(place.rect).grown(CLOSE) for place in places]
    shapes: list[Shape] = [
        Line(box.corners, FIRM, dash=BEHIND if place.inside else (), halo=HALO, closed=True)
        for place, box in zip(places, boxes, strict=True)
    ]
    taken = list(boxes)
    for place, box in zip(places[:MOST_PLACES], boxes, strict=False):
        text = str(place.number)
        size = Size(measure(text, _NUMBER, True), cap_height(_NUMBER))
        wish = Point(box.x, box.y - size.height - CLOSE)
        room = find_room(size, box.grown(4 * size.height), taken, wish, FINE)
        spot = room if room is not None else Rect(*wish, *size)
        taken.append(spot)
        shapes.append(Words(Point(spot.x, spot.bottom), text, _NUMBER, bold=True, halo=2 * HALO))
    return shapes


def _job_block(plan: Plan, facts: Facts, reprint: Reprint) -> Block:
    """What is printed again, against what."""
    count = len(reprint.printed)
    sheets = f"{', '.join(reprint.printed)}: {count} of {len(plan.tiles)} sheets of {sheet_words(plan.sheet)}"
    pairs = [
        ("Before", f"{reprint.old_name}, revision {reprint.old_revision}"),
        ("Now", f"{facts.file_name}, revision {facts.revision}"),
        ("Print", sheets),
        ("Scale", scale_words(facts.scale)),
    ]
    if reprint.left_out:
        pairs.append(("Not here", f"{', '.join(reprint.left_out)} changed too and were left out"))
    if facts.printer is not None:
        pairs.append(("Printer", facts.printer))

    def block(column: Column) -> None:
        column.heading("Reprint")
        indent = max(column.measure(name, column.scale.body, False) for name, _ in pairs) + 3
        for name, value in pairs:
            column.pair(name, value, indent)

    return block


def _places_block(reprint: Reprint) -> Block:
    """Every change with size and place."""
    listed = reprint.places[:MOST_PLACES]
    rest = len(reprint.places) - len(listed)

    def block(column: Column) -> None:
        column.heading("What has changed")
        column.paragraph("Places are of the top-left corner, from the left and the top.")
        indent = column.measure("88", column.scale.body, False) + 2
        for place in listed:
            column.pair(str(place.number), place.words, indent)
        if any(place.inside for place in reprint.places):
            column.paragraph("Dashed: on the inside, behind this place.")
        if rest:
            column.paragraph(f"and {rest} more {'place' if rest == 1 else 'places'}, outlined on the map")

    return block


def _words_block(reprint: Reprint) -> Block:
    """Changes of text."""
    rest = len(reprint.words) - MOST_WORDS

    def block(column: Column) -> None:
        column.heading("Words")
        for line in reprint.words[:MOST_WORDS]:
            column.paragraph(line)
        if rest > 0:
            column.paragraph(f"and {rest} more")

    return block


def _steps_block(plan: Plan) -> Block:
    """How a new sheet gets into the mock."""

    def block(column: Column) -> None:
        column.heading("Put them in")
        if plan.seams:
            column.tick(
                "Not taped yet: a new sheet takes the place of the old one of the same label. "
                "All seams are where they were."
            )
            column.tick(
                "Taped already: cut the new sheet along its face on all four sides, tabs off as well, "
                "and glue it on the old face, mark on mark."
            )
        else:
            column.paragraph("One sheet holds the whole flat: use the new one instead of the old one.")
        for caution in CAUTIONS:
            column.paragraph(caution)

    return block
