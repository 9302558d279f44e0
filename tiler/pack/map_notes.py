"""The blocks of words on the map page."""

from __future__ import annotations

from collections.abc import Callable

from tiler.geometry import Point, Rect, Size
from tiler.marks.crease_guides import PATTERNS, WORDS
from tiler.marks.crosses import snipped
from tiler.marks.facts import Facts, GuideKind, scale_words
from tiler.marks.hatch import hatch
from tiler.marks.names import sheet_words, size_words
from tiler.marks.registration import whole_mark
from tiler.marks.scale_bar import LENGTHS
from tiler.marks.shapes import Line, Shape
from tiler.marks.style import BLACK, FINE, FIRM, HAIR, QUIET
from tiler.pack.inside_notes import TRIM_WORDS
from tiler.pack.layout import Block, Column
from tiler.pack.map_drawing import HIDDEN
from tiler.plan.tile import ALLOWANCE, Plan
from tiler.units import format_length, format_number

TOLERANCE = 0.5
"""A 100 mm bar further off than this is not cut, mm (common practice, no source)."""

CAUTIONS = (
    "Cut on a firm surface with a cutting mat, along a safety straightedge, in several light passes. "
    "Use a sharp blade, keep all fingers behind it and cut away from the body. "
    "Keep used blades in a closed container made for them.",
    "Use glue and tape as their labels say. The rules of your workplace and country come first.",
)
"""The usual cautions; they never replace local rules."""

_SAMPLE = Size(8.0, 5.0)


def facts_block(plan: Plan, facts: Facts) -> Block:
    """What is printed, on what, and how."""
    overall = size_words(*plan.flat)
    if scale_words(facts.scale) != "true size":
        overall += f" as printed; {size_words(*facts.flat)} at true size"
    pairs = [("Overall", overall)]
    if facts.folded is not None:
        pairs.append(("Folded", size_words(*facts.folded)))
    pairs.append(("Scale", scale_words(facts.scale)))
    count = len(plan.tiles)
    sheets = f"{count} {'sheet' if count == 1 else 'sheets'} of {sheet_words(plan.sheet)}"
    if plan.grid_sheets > count:
        sheets += f"; a plain grid needs {plan.grid_sheets}"
    pairs.append(("Paper", sheets))
    if facts.inside is not None:
        pairs.append(("Inside", f"{facts.inside.name}, on the backs"))
    if plan.seams:
        pairs.append(("Tabs", f"{format_length(plan.overlap)}, cut allowance {format_length(ALLOWANCE)}"))
    margins = ", ".join(format_number(edge) for edge in plan.margins)
    pairs.append(("Margins", f"{margins} mm (top, right, bottom, left)"))
    if facts.printer is None:
        pairs.append(("Printer", "no printer profile: measure the bars"))
    else:
        pairs.append(("Printer", facts.printer))
        pairs.append(("Correction", facts.correction or "none known: measure the bars"))

    def block(column: Column) -> None:
        column.heading("The job")
        indent = max(column.measure(name, column.scale.body, False) for name, _ in pairs) + 3
        for name, value in pairs:
            column.pair(name, value, indent)

    return block


def check_block(bar: float = LENGTHS[0]) -> Block:
    """What must be right before the first cut, with boxes to tick."""

    def block(column: Column) -> None:
        length = format_length(bar)
        column.heading("Check before cutting")
        column.tick("Printed at 100 %, not fitted to the page")
        column.tick(f"Bar across is {length}; measured ______ mm")
        column.tick(f"Bar down is {length}; measured ______ mm")
        column.tick("Both bars of every sheet are right")
        column.paragraph(
            f"When a bar is off by more than {format_length(TOLERANCE)}, do not cut: "
            "turn off all scaling and print again, or calibrate the printer.",
            grey=QUIET,
        )

    return block


def marks_block(plan: Plan, facts: Facts) -> Block:
    """What the marks on the sheets mean, drawn by the functions that draw them there."""
    entries: list[tuple[Callable[[Point], tuple[Shape, ...]], str]] = []
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

    def block(column: Column) -> None:
        column.heading("Marks")
        for draw, words in entries:
            column.sample(draw, _SAMPLE, words)
        if plan.seams:
            stay = TRIM_WORDS if facts.inside is not None else "Right and bottom edges stay."
            column.paragraph(f"Trim every left and top edge that has a neighbour. {stay}")
        else:
            column.paragraph("One sheet holds the whole flat: there is no seam.")

    return block


def care_block() -> Block:
    """Cautions for knife and glue, and what paper cannot show."""

    def block(column: Column) -> None:
        column.heading("With knife and glue")
        for caution in CAUTIONS:
            column.paragraph(caution)
        column.paragraph(
            "This mock is paper of about 0.1 mm. In board, inner and outer sizes differ by about one caliper "
            "for each wall.",
            grey=QUIET,
        )

    return block


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
