"""What the marks on sheets and map mean, drawn by the functions that draw them there."""

from __future__ import annotations

from collections.abc import Callable

from tiler.geometry import Point, Rect, Size
from tiler.marks.crease_guides import PATTERNS, WORDS
from tiler.marks.crosses import snipped
from tiler.marks.facts import Facts, GuideKind
from tiler.marks.hatch import hatch
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.registration import whole_mark
from tiler.marks.shapes import Line, Shape, Words
from tiler.marks.style import BLACK, FINE, FIRM, HAIR, NOTE, QUIET
from tiler.pack.inside_notes import TRIM_WORDS
from tiler.pack.layout import Block, Column
from tiler.pack.map_frame import HIDDEN
from tiler.pack.map_panels import way_up
from tiler.pack.map_spots import disc
from tiler.plan.tile import Plan

_SAMPLE = Size(8.0, 5.0)

Entry = tuple[Callable[[Point], tuple[Shape, ...]], str]
"""Draws a sample round its middle, and what it means."""


def marks_block(plan: Plan, facts: Facts, measure: Measure, missed: str = "") -> Block:
    """What the marks mean.

    Args:
        plan: The sheets.
        facts: What is on them.
        measure: Width of a text.
        missed: Names and numbers that the map has no room for, in words.
    """
    entries = [*_sheet_entries(plan, facts), *_map_entries(facts, measure)]

    def block(column: Column) -> None:
        column.heading("Marks")
        for draw, words in entries:
            column.sample(draw, _SAMPLE, words)
        if missed:
            column.paragraph(f"Left out of this map for want of room: {missed}.", grey=QUIET)
        if plan.seams:
            stay = TRIM_WORDS if facts.inside is not None else "Right and bottom edges stay."
            column.paragraph(f"Trim every left and top edge that has a neighbour. {stay}")
            if len(plan.strips) > 1:
                column.paragraph("Ringed beside the flat: the strips, in the order they are joined.")
        else:
            column.paragraph("One sheet holds the whole flat: there is no seam.")

    return block


def _sheet_entries(plan: Plan, facts: Facts) -> list[Entry]:
    """Marks of seams, tabs and creases."""
    entries: list[Entry] = []
    if plan.seams and facts.marks == "full":
        entries.append((_registration_sample, "registration mark: lay both halves to a whole"))
    if plan.seams:
        entries += [
            (_seam_sample, "seam: trim the right or lower tile here, lay it on the tab"),
            (_tab_sample, "glue tab: stays on, goes under the next tile"),
            (_hidden_sample, "on this map: hidden edge of a tab"),
        ]
    if any(snipped(plan, tile) for tile in plan.tiles):
        entries.append((_snip_sample, "snip: cut this corner off the tab"))
    kinds: list[GuideKind] = [kind for kind in PATTERNS if any(g.kind == kind for g in facts.guides)]
    entries += [(_guide_sample(kind), WORDS[kind]) for kind in kinds]
    return entries


def _map_entries(facts: Facts, measure: Measure) -> list[Entry]:
    """Signs of check points, panels, meetings and texts."""
    entries: list[Entry] = []
    if facts.check_points:
        spot = facts.check_points[0]
        entries.append(
            (
                lambda at: disc(spot, at, NOTE, measure),
                "check point; on its sheet, arrows beside the face aim at it",
            )
        )
    if facts.fold is not None and facts.panels:
        entries.append((_way_up_sample, "up when the box stands; dot: lies level"))
    if facts.fold is not None and facts.fold.edges:
        entries.append((_words_sample("m1", True), "edges of one name meet in the closed box"))
    if facts.numbers:
        entries.append((_words_sample("12", False), "number of a text on the proof list"))
    return entries


def _level(at: Point, width: float, grey: float, dash: tuple[float, ...] = ()) -> Line:
    half = _SAMPLE.width / 2
    return Line((at.shifted(-half, 0), at.shifted(half, 0)), width, grey, dash)


def _seam_sample(at: Point) -> tuple[Shape, ...]:
    return (_level(at, FIRM, BLACK),)


def _hidden_sample(at: Point) -> tuple[Shape, ...]:
    return (_level(at, HAIR, QUIET, HIDDEN),)


def _registration_sample(at: Point) -> tuple[Shape, ...]:
    seam = Line((at.shifted(0, -_SAMPLE.height / 2), at.shifted(0, _SAMPLE.height / 2)), FINE, QUIET)
    return (seam, *whole_mark(at, True))


def _patch(at: Point) -> Rect:
    """A piece of tab, its outline included in the sample's width."""
    half = (_SAMPLE.width - HAIR) / 2
    return Rect(at.x, at.y, 0, 0).inset(-half, -1.8, -half, -1.8)


def _snip_sample(at: Point) -> tuple[Shape, ...]:
    box = _patch(at)
    x, y = box.right, box.bottom
    tab = (*box.corners[:2], Point(x, y - 1.8), Point(x - 1.8, y), box.corners[3])
    cut = Line((Point(x + 0.7, y - 2.5), Point(x - 2.5, y + 0.7)), FINE)
    return (*hatch(tab), Line(tab, HAIR, QUIET, closed=True), cut)


def _tab_sample(at: Point) -> tuple[Shape, ...]:
    box = _patch(at)
    return (*hatch(box.corners), Line(box.corners, HAIR, QUIET, closed=True))


def _guide_sample(kind: GuideKind) -> Callable[[Point], tuple[Shape, ...]]:
    return lambda at: (_level(at, FINE, QUIET, PATTERNS[kind]),)


def _way_up_sample(at: Point) -> tuple[Shape, ...]:
    return (*way_up(at.shifted(-1.6, 0), 0.0), *way_up(at.shifted(1.6, 0), None))


def _words_sample(text: str, bold: bool) -> Callable[[Point], tuple[Shape, ...]]:
    base = cap_height(NOTE) / 2
    return lambda at: (Words(at.shifted(0, base), text, NOTE, bold, "middle"),)
