"""Rows for how the tiles are printed. Pure."""

from __future__ import annotations

from dataclasses import replace

from tiler.job import Job
from tiler.tui.row import Known, Option, Row
from tiler.tui.typed import parse_labels
from tiler.units import parse_percent


def lighten_row(job: Job) -> Row:
    """White over the artwork."""
    return Row(
        "lighten",
        "Lighten",
        "Print",
        f"{job.lighten * 100:.0f} %",
        "White laid over the artwork, which saves ink and makes the marks plain to see.",
        less=replace(job, lighten=round(max(0.0, job.lighten - 0.1), 2)),
        more=replace(job, lighten=round(min(0.9, job.lighten + 0.1), 2)),
        typed=lambda text: replace(job, lighten=parse_percent(text, 0, 90)),
        hint="a share from 0 to 90%",
        is_set=job.lighten > 0,
    )


def tiles_row(job: Job, known: Known) -> Row:
    """Which tiles are printed."""
    return Row(
        "tiles",
        "Tiles",
        "Print",
        f"{len(job.tiles)} of {known.sheets}" if job.tiles else "all",
        "Which tiles are printed; space on the picture leaves one out.",
        (Option("all", replace(job, tiles=())), *((Option(", ".join(job.tiles), job),) if job.tiles else ())),
        typed=lambda text: replace(job, tiles=parse_labels(text)),
        hint="labels, as in A1, B2",
        is_set=bool(job.tiles),
    )
