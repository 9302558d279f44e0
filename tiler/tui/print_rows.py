"""Rows for how the tiles are printed. Pure."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from tiler.job import Job
from tiler.plan.request import Forbidden
from tiler.tui.row import Known, Option, Row
from tiler.tui.typed import parse_file, parse_labels
from tiler.units import format_number, parse_percent


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


def inside_rows(job: Job, known: Known) -> tuple[Row, ...]:
    """The inside print on the backs; with one, the edge over which the sheets are turned."""
    options = [Option("none", replace(job, inside=None, inside_page=1, flip="long"))]
    for page in range(1, min(known.pages, 20) + 1):
        if page != job.wanted.page:
            options.append(Option(f"page {page}", replace(job, inside=job.flat, inside_page=page)))
    shown = "none"
    if job.inside is not None:
        own = job.inside == job.flat
        shown = f"page {job.inside_page}" if own else job.inside.name
        if all(option.job != job for option in options):
            options.append(Option(shown, job))
    inside = Row(
        "inside",
        "Inside",
        "Print",
        shown,
        "The inside print of the board, for the backs of the sheets.",
        tuple(options),
        typed=lambda text: replace(job, inside=parse_file(text, job.flat.parent), inside_page=1),
        hint="the path of a file, of the flat's size",
        is_set=job.inside is not None,
    )
    if job.inside is None:
        return (inside,)
    edges: tuple[Literal["long", "short"], ...] = ("long", "short")
    flip = Row(
        "flip",
        "Turned over",
        "Print",
        f"{job.flip} edge",
        "The edge over which the printer, or you, turn the sheets.",
        tuple(Option(f"{edge} edge", replace(job, flip=edge)) for edge in edges),
        is_set=job.flip != "long",
    )
    return inside, flip


def page_rows(job: Job) -> tuple[Row, ...]:
    """Pages that the pack can carry beside map, assembly and tiles."""
    proof = Row(
        "proof",
        "Proof list",
        "Print",
        _yes(job.proof),
        "A list of every text, number and check point in the pack, to be ticked.",
        tuple(Option(_yes(on), replace(job, proof=on)) for on in (False, True)),
        is_set=job.proof,
    )
    corners = Row(
        "corners",
        "Corner strips",
        "Print",
        _yes(job.corners),
        "A page of corner strips: the art of both sides of every meeting, edge to edge.",
        tuple(Option(_yes(on), replace(job, corners=on)) for on in (False, True)),
        is_set=job.corners,
    )
    return proof, corners


def _yes(is_on: bool) -> str:
    return "in the pack" if is_on else "no"


def forbidden_row(job: Job) -> Row | None:
    """Stretches where no seam may lie; none where none was told."""
    if not job.forbidden:
        return None
    options = [Option("keep all", job), Option("remove all", replace(job, forbidden=()))]
    for stretch in job.forbidden:
        kept = tuple(one for one in job.forbidden if one != stretch)
        options.append(Option(f"remove {stretch_words(stretch)}", replace(job, forbidden=kept)))
    count = len(job.forbidden)
    return Row(
        "forbidden",
        "Seam-free",
        "Structure",
        f"{count} stretch{'es' if count != 1 else ''}",
        "Stretches where no seam may lie; x adds one.",
        tuple(options),
        is_set=True,
    )


def stretch_words(stretch: Forbidden) -> str:
    """A stretch in few words.

    >>> stretch_words(Forbidden("x", 100, 180))
    'x 100 to 180'
    """
    return f"{stretch.axis} {format_number(stretch.start)} to {format_number(stretch.end)}"
