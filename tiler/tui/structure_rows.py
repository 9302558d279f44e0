"""Rows for structure: guides, line file, each layer and spot colour with its kind. Pure."""

from __future__ import annotations

from dataclasses import replace

from tiler.job import Job
from tiler.structure.kinds import LineKind
from tiler.structure.lines import Candidate
from tiler.tui.row import Option, Row, file_row
from tiler.tui.structure_facts import StructureFacts
from tiler.units import format_number

KINDS = (*(str(kind) for kind in LineKind), "ignore")
"""What a layer or spot colour can be told to be."""


def structure_rows(job: Job, facts: StructureFacts) -> tuple[Row, ...]:
    """Rows of the group Structure; the first ones only where there are lines to guide by."""
    rows = [_guides(job)] if facts.lines or job.creases else []
    rows.append(_line_file(job))
    rows += [_candidate(job, one) for one in facts.candidates]
    known = {one.name for one in facts.candidates}
    rows += [
        _candidate(job, Candidate(name, "not on this flat", None))
        for name, _ in job.line_as
        if name not in known
    ]
    if job.creases:
        rows.append(_by_hand(job))
    if job.check_points:
        rows.append(_check_points(job))
    return tuple(rows)


def _guides(job: Job) -> Row:
    options = tuple(Option(mode, replace(job, guides=mode)) for mode in ("full", "ticks", "none"))
    return Row(
        "guides",
        "Guides",
        "Structure",
        job.guides,
        "Creases shown on the face with ticks beyond, only by ticks, or not at all.",
        options,
        is_set=job.guides != "full",
    )


def _line_file(job: Job) -> Row:
    sentence = "A separate PDF with the cut and crease lines of this flat."
    return file_row(job, "lines", "Line file", "Structure", "none", sentence, "the path of a PDF")


def _candidate(job: Job, one: Candidate) -> Row:
    told = dict(job.line_as).get(one.name)
    others = tuple(pair for pair in job.line_as if pair[0] != one.name)
    found = "as found" if told else str(one.kind) if one.kind else "no lines"
    options = [Option(found, replace(job, line_as=others))]
    options += [Option(kind, replace(job, line_as=(*others, (one.name, kind)))) for kind in KINDS]
    options = [option if option.text != told else Option(option.text, job) for option in options]
    lines = f"{one.count} line{'s' if one.count != 1 else ''}" if one.count else "no lines taken"
    return Row(
        f"line_as {one.name}",
        one.name or "(no name)",
        "Structure",
        told or found,
        f"{one.source[:1].upper()}{one.source[1:]} “{one.name}”: {lines}. Say what it is, if that is wrong.",
        tuple(options),
        is_set=told is not None,
    )


def _by_hand(job: Job) -> Row:
    options = [Option("keep all", job), Option("remove all", replace(job, creases=()))]
    for crease in job.creases:
        (x1, y1), (x2, y2) = crease
        words = f"remove {_place(x1, y1)} to {_place(x2, y2)}"
        options.append(Option(words, replace(job, creases=tuple(c for c in job.creases if c != crease))))
    count = len(job.creases)
    return Row(
        "creases",
        "By hand",
        "Structure",
        f"{count} crease{'s' if count != 1 else ''}",
        "Creases told by hand; c adds one.",
        tuple(options),
        is_set=True,
    )


def _check_points(job: Job) -> Row:
    options = [Option("keep all", job), Option("remove all", replace(job, check_points=()))]
    for point in job.check_points:
        kept = tuple(one for one in job.check_points if one != point)
        options.append(Option(f"remove {point.name} at {_place(*point.at)}", replace(job, check_points=kept)))
    return Row(
        "check_points",
        "Check points",
        "Structure",
        str(len(job.check_points)),
        "Spots to inspect on the mock, which seams keep away from; k adds one.",
        tuple(options),
        is_set=True,
    )


def _place(x: float, y: float) -> str:
    return f"{format_number(x)}, {format_number(y)}"
