"""The choices beside the picture, in the order of the screen. Pure."""

from __future__ import annotations

from tiler.job import Job
from tiler.tui.check_rows import check_rows
from tiler.tui.flat_rows import box_row, page_row, picture_rows, scale_row
from tiler.tui.paper_rows import margins_row, overlap_row, printer_row, sheet_row
from tiler.tui.print_rows import forbidden_row, inside_rows, lighten_row, page_rows, tiles_row
from tiler.tui.row import Known, Row, plain_row
from tiler.tui.structure_rows import structure_rows


def rows_for(job: Job, known: Known) -> tuple[Row, ...]:
    """All rows that make sense for this job, in the order of the screen."""
    found: list[Row | None] = [
        sheet_row(job),
        plain_row(
            job, "orientation", "Lies", "Paper", ("auto", "portrait", "landscape"), "How the sheets lie."
        ),
        printer_row(job, known),
        margins_row(job),
        overlap_row(job),
        plain_row(
            job, "layout", "Layout", "Paper", ("strips", "grid"),
            "Strips have seams of their own and need the fewest sheets; a grid is plain.",
        ),
        page_row(job, known),
        box_row(job, known),
        *picture_rows(job, known),
        scale_row(job),
        *structure_rows(job, known.structure),
        forbidden_row(job),
        plain_row(
            job, "marks", "Marks", "Print", ("full", "tabs", "none"),
            "Registration marks on both sides of a seam, only off the face, or none.",
        ),
        lighten_row(job),
        tiles_row(job, known),
        *inside_rows(job, known),
        *page_rows(job),
        *check_rows(job),
    ]  # fmt: skip
    return tuple(row for row in found if row is not None)
