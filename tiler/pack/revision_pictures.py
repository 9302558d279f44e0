"""Before and after, side by side: the pages a client looks at."""

from __future__ import annotations

from tiler.geometry import Point, Rect, Size
from tiler.marks.facts import Facts
from tiler.marks.metrics import Measure, cap_height, shorten
from tiler.marks.shapes import Line, Page, Picture, Shape, Words
from tiler.marks.style import CLOSE, FINE, HAIR, HALO, NEAR, QUIET, WIDE
from tiler.pack.layout import GUTTER, TypeScale, type_scale
from tiler.pack.map_page import title_height, title_line
from tiler.pack.revision_facts import BeforeAfter, Reprint
from tiler.plan.tile import Plan

SHAPE = 0.55
"""Height of a picture over its width (house style)."""

MOST_PICTURES = 8
"""Places that are shown; the largest ones."""

_LEAST = 45.0
"""A picture shows at least this much of the flat across, so that one knows where one is, mm."""

_AROUND = 0.25
"""And so much around the change, as a share of its size."""

_DENSITY = 6.0
"""Pixels for each mm on paper: 152 ppi, as fine as such a page is looked at."""


def picture_size(plan: Plan) -> Size:
    """How large each of the two pictures is on paper, mm."""
    paper = plan.sheet.printable(plan.margins, False)
    width = (paper.width - GUTTER) / 2
    return Size(width, width * SHAPE)


def picture_window(rect: Rect) -> Rect:
    """What the pictures of a changed place show: the place and some of what is around it."""
    width = max(_LEAST, rect.width * (1 + 2 * _AROUND), rect.height * (1 + 2 * _AROUND) / SHAPE)
    height = width * SHAPE
    return Rect(rect.centre.x - width / 2, rect.centre.y - height / 2, width, height)


def pixels_per_mm(plan: Plan, window: Rect) -> float:
    """Resolution in which a picture of a window is wanted, for each mm of the window."""
    return _DENSITY * picture_size(plan).width / window.width


def picture_pages(plan: Plan, facts: Facts, reprint: Reprint, measure: Measure) -> tuple[Page, ...]:
    """All pairs of pictures, as many on a page as there is room for; none without pictures.

    Args:
        plan: The plan that both revisions share.
        facts: About the later revision.
        reprint: What has changed, with the pictures.
        measure: Width of a text.
    """
    scale = type_scale(plan.sheet.size)
    paper = plan.sheet.printable(plan.margins, False)
    content = paper.inset(0, title_height(scale), 0, 0)
    heads = cap_height(scale.heading) + NEAR + CLOSE
    step = cap_height(scale.body) + CLOSE + picture_size(plan).height + WIDE
    count = max(1, int((content.height - heads + WIDE) // step))
    pages = []
    for number, first in enumerate(range(0, len(reprint.pictures), count), start=1):
        shapes: list[Shape] = [*title_line(facts, "Before and after", paper, scale, measure)]
        shapes += _heads(content, facts, reprint, scale, measure)
        for row, pair in enumerate(reprint.pictures[first : first + count]):
            at = Point(content.x, content.y + heads + row * step)
            shapes += _row(at, pair, picture_size(plan), scale)
        label = "Changes" if number == 1 else f"Changes {number}"
        pages.append(Page(plan.sheet.oriented(False), tuple(shapes), label, "Before and after"))
    return tuple(pages)


def _heads(content: Rect, facts: Facts, reprint: Reprint, scale: TypeScale, measure: Measure) -> list[Shape]:
    """What stands over the two columns."""
    width = (content.width - GUTTER) / 2
    base = content.y + cap_height(scale.heading)
    names = (
        f"{reprint.old_name}, revision {reprint.old_revision}",
        f"{facts.file_name}, revision {facts.revision}",
    )
    lefts = (content.x, content.x + width + GUTTER)
    return [
        Words(Point(left, base), shorten(name, width, scale.heading, measure, True), scale.heading, bold=True)
        for left, name in zip(lefts, names, strict=True)
    ]


def _row(at: Point, pair: BeforeAfter, size: Size, scale: TypeScale) -> list[Shape]:
    """One place: its words, and the two pictures with the change framed."""
    base = at.y + cap_height(scale.body)
    words = f"{pair.place.number}   {pair.place.words}"
    shapes: list[Shape] = [Words(Point(at.x, base), words, scale.body, grey=QUIET)]
    for column, jpeg in enumerate((pair.before, pair.after)):
        place = Rect(at.x + column * (size.width + GUTTER), base + CLOSE, *size)
        left, top, width, height = pair.frame
        frame = Rect(left * size.width, top * size.height, width * size.width, height * size.height)
        frame = frame.grown(CLOSE).shifted(place.x, place.y)
        shapes += [
            Picture(place, jpeg),
            Line(place.corners, HAIR, QUIET, closed=True),
            Line(frame.corners, FINE, halo=HALO, closed=True),
        ]
    return shapes
