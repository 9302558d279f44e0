"""Rows for the checks: limits of the house, word list, findings waived. Pure."""

from __future__ import annotations

from dataclasses import replace

from tiler.job import Job
from tiler.tui.row import Option, Row, file_row
from tiler.units import format_number


def check_rows(job: Job) -> tuple[Row, ...]:
    """What the checks hold the flat against, and what a person has set aside."""
    rows = (
        file_row(
            job,
            "limits",
            "Limits",
            "Checks",
            "built in",
            "What type, lines and pictures are held against; i shows the findings.",
            "the path of a file with limits of the house",
        ),
        file_row(
            job,
            "words",
            "Word list",
            "Checks",
            "the system's",
            "Words that are spelt right, one a line, for the proof list.",
            "the path of a list of words",
        ),
    )
    return (*rows, _waived(job)) if job.waivers else rows


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
