"""Rows for which part of the file is the flat, and how large it is printed. Pure."""

from __future__ import annotations

from dataclasses import replace

from tiler.errors import UsageError
from tiler.job import Job
from tiler.tui.row import Known, Option, Row
from tiler.tui.typed import parse_ppi
from tiler.units import format_number, parse_scale, parse_size

BOXES = ("auto", "trim", "bleed", "crop", "media", "art")
"""Page boxes of a PDF, and the choice made for the user."""


def page_row(job: Job, known: Known) -> Row | None:
    """The page, of a file with several."""
    if known.pages <= 1:
        return None
    page = job.wanted.page
    return Row(
        "page",
        "Page",
        "Flat",
        f"{page} of {known.pages}",
        "Which page of the file is the flat.",
        less=_on_page(job, max(1, page - 1)),
        more=_on_page(job, min(known.pages, page + 1)),
        typed=lambda text: _on_page(job, _page_number(text, known.pages)),
        hint=f"a number from 1 to {known.pages}",
        is_set=page != 1,
    )


def _on_page(job: Job, page: int) -> Job:
    return replace(job, wanted=replace(job.wanted, page=page))


def _page_number(text: str, pages: int) -> int:
    if not text.strip().isdecimal() or not 1 <= int(text) <= pages:
        raise UsageError(f"'{text}' is not a page of this file", f"write a number from 1 to {pages}")
    return int(text)


def box_row(job: Job, known: Known) -> Row | None:
    """The page box, of a PDF."""
    if known.is_picture:
        return None
    box = job.wanted.box
    options = tuple(Option(name, replace(job, wanted=replace(job.wanted, box=name))) for name in BOXES)
    shown = f"auto ({known.box})" if box == "auto" and known.box else box
    return Row(
        "box", "Box", "Flat", shown, "The page box that is tiled.", options, is_set=box != "auto"
    )  # fmt: skip


def picture_rows(job: Job, known: Known) -> tuple[Row, ...]:
    """Size and resolution, of a picture."""
    if not known.is_picture:
        return ()
    wanted = job.wanted
    size = wanted.size
    own = Option("its own", replace(job, wanted=replace(wanted, ppi=None, size=None)))
    now = (Option("as typed", job),) if size is not None or wanted.ppi is not None else ()
    return (
        Row(
            "size",
            "Size",
            "Flat",
            f"{format_number(size.width)} × {format_number(size.height)} mm" if size else "its own",
            "Size of the picture, instead of what its resolution gives.",
            (own, *now),
            typed=lambda text: replace(job, wanted=replace(wanted, ppi=None, size=parse_size(text))),
            hint="width x height, as in 752x120mm",
            is_set=size is not None,
        ),
        Row(
            "ppi",
            "Resolution",
            "Flat",
            f"{format_number(wanted.ppi)} ppi" if wanted.ppi else "its own",
            "Pixels per inch of the picture, instead of its own.",
            (own, *now),
            typed=lambda text: replace(job, wanted=replace(wanted, size=None, ppi=parse_ppi(text))),
            hint="pixels per inch, as in 300",
            is_set=wanted.ppi is not None,
        ),
    )


def scale_row(job: Job) -> Row:
    """The scale."""
    named = (("true size", 1.0), ("1:2", 0.5), ("1:4", 0.25))
    options = [Option(text, _at_scale(job, scale)) for text, scale in named]
    shown = next((text for text, scale in named if scale == job.scale), f"{job.scale * 100:g} %")
    if all(job.scale != scale for _, scale in named):
        options.insert(0, Option(shown, job))
    return Row(
        "scale",
        "Scale",
        "Flat",
        shown,
        "A mock to measure is printed at true size.",
        tuple(options),
        typed=lambda text: _at_scale(job, parse_scale(text)),
        hint="1, 50% or 1:2",
        is_set=job.scale != 1.0,
    )


def _at_scale(job: Job, scale: float) -> Job:
    """The job at another scale; what was said in millimetres on paper holds no more."""
    if scale == job.scale:
        return job
    return replace(job, scale=scale, pins=(), forbidden=(), nudges=())
