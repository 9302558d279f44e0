"""The blocks of words on the map page."""

from __future__ import annotations

from tiler.geometry import Size
from tiler.marks.facts import Facts, scale_words
from tiler.marks.names import listed, sheet_words, size_words
from tiler.marks.scale_bar import LENGTHS
from tiler.marks.style import QUIET
from tiler.pack.layout import Block, Column
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
    if facts.fold is not None and facts.fold.upside_down:
        pairs.append(("Standing", f"text on {listed(facts.fold.upside_down)} is upside down"))
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


def care_block(board: str = "") -> Block:
    """Cautions for knife and glue, and what paper cannot show.

    Args:
        board: A sentence on the real board; empty when its caliper is not known.
    """
    paper = board or (
        "This mock is paper of about 0.1 mm. In board, inner and outer sizes differ by about one caliper "
        "for each wall."
    )

    def block(column: Column) -> None:
        column.heading("With knife and glue")
        for caution in CAUTIONS:
            column.paragraph(caution)
        column.paragraph(paper, grey=QUIET)

    return block
