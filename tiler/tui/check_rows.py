"""Rows for the checks: limits of the house, word list, findings waived. Pure."""

from __future__ import annotations

from dataclasses import replace

from tiler.job import Job
from tiler.tui.row import Option, Row
from tiler.tui.typed import parse_file
from tiler.units import format_number


def check_rows(job: Job) -> tuple[Row, ...]:
    """What the checks hold the flat against, and what a person has set aside."""
    limits = [Option("built in", replace(job, limits=None))]
    if job.limits is not None:
        limits.append(Option(job.limits.name, job))
    words = [Option("the system's", replace(job, words=None))]
    if job.words is not None:
        words.append(Option(job.words.name, job))
    rows = [
        Row(
            "limits",
            "Limits",
            "Checks",
            job.limits.name if job.limits else "built in",
            "What type, lines and pictures are held against; i shows the findings.",
            tuple(limits),
            typed=lambda text: replace(job, limits=parse_file(text, job.flat.parent)),
            hint="the path of a file with limits of the house",
            is_set=job.limits is not None,
        ),
        Row(
            "words",
            "Word list",
            "Checks",
            job.words.name if job.words else "the system's",
            "Words that are spelt right, one a line, for the proof list.",
            tuple(words),
            typed=lambda text: replace(job, words=parse_file(text, job.flat.parent)),
            hint="the path of a list of words",
            is_set=job.words is not None,
        ),
    ]
    return (*rows, _waived(job)) if job.waivers else tuple(rows)


def _waived(job: Job) -> Row:
    """Waivers, to be taken back."""
    options = [Option("keep all", job), Option("take all back", replace(job, waivers=()))]
    for waiver in job.waivers:
        kept = tuple(one for one in job.waivers if one != waiver)
        x, y = (format_number(value, 0) for value in waiver.near)
        words = f"take back {waiver.rule} at {x}, {y}: {waiver.reason}"
        options.append(Option(words, replace(job, waivers=kept)))
    count = len(job.waivers)
    return Row(
        "waivers",
        "Waived",
        "Checks",
        f"{count} finding{'s' if count != 1 else ''}",
        "Findings set aside with a reason; x in the findings waives one.",
        tuple(options),
        is_set=True,
    )
