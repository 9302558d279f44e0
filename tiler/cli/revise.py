"""``tiler revise``: print only what a later revision has changed."""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from pathlib import Path

from tiler.cli.choices import job_from, job_over
from tiler.cli.parser import talk
from tiler.cli.progress import progress_bar
from tiler.errors import FlatError, UsageError
from tiler.job import Job
from tiler.load import load
from tiler.parts import is_parts_ticket, load_parts
from tiler.report import closing_words
from tiler.revision.changes import Changes, find_changes
from tiler.revision.reprint import Reprinted, later_job, write_reprint
from tiler.revision.told import changes_json, found_words, written_words
from tiler.revision.which_part import part_for
from tiler.run import prepare, run


def revise(options: argparse.Namespace) -> int:
    """Compare, and write the sheets that changed; nothing is written when none has.

    Raises:
        TilerError: A flat cannot be read or compared, or the old sheets do not fit the new art.
    """
    from tiler.pack.target import check_target

    (job, part), output = _old(options), Path(options.output)
    later = later_job(job, Path(options.new))
    check_target(output, [*job.inputs, *later.inputs])
    written: Reprinted | None = None
    with progress_bar() as progress:
        old = replace(prepare(job, progress), part=part)
        changes = find_changes(old, load(later, progress), progress)
        if _is_wanted(changes, options):
            written = write_reprint(changes, output, job.tiles, progress)
    _say(changes, written)
    if options.json:
        print(json.dumps(changes_json(changes, written), ensure_ascii=False, indent=1))
    if changes.moved and written is None:
        return _whole(changes, replace(later, tiles=()), output, options)
    return 0


def _old(options: argparse.Namespace) -> tuple[Job, str]:
    """The job that was printed, and the name of its part; empty for a job of one flat.

    Raises:
        TilerError: The ticket cannot be read, or it cannot be told which part is meant.
    """
    path = Path(options.old)
    options.flat = options.old
    if not is_parts_ticket(path):
        if options.part is not None:
            raise UsageError(f"{path.name} has no parts", "leave --part out, or name a ticket with parts")
        return job_from(options), ""
    part = part_for(load_parts(path), Path(options.new), options.part, options.page, path.name)
    return job_over(part.job, part.job.flat, options), part.name


def _is_wanted(changes: Changes, options: argparse.Namespace) -> bool:
    """Whether single sheets are to be printed."""
    fits = not changes.moved or (options.anyway and not changes.resized)
    return bool(changes.tiles) and fits


def _say(changes: Changes, written: Reprinted | None) -> None:
    """Warnings, what has changed, and what was written."""
    for warning in (*changes.old.warnings, *changes.new.flat.warnings):
        talk(f"note: {warning}")
    if changes.old.part:
        talk(f"note: {changes.new.flat.path.name} is compared with the part {changes.old.part}")
    for line in found_words(changes):
        talk(line)
    for line in written_words(written) if written else ():
        talk(line)


def _whole(changes: Changes, later: Job, output: Path, options: argparse.Namespace) -> int:
    """The whole pack where single sheets would not fit.

    Raises:
        FlatError: It was not asked for.
    """
    if not options.full:
        remedy = "add --full for the whole pack"
        if changes.tiles and not changes.resized:
            remedy += ", or --anyway for the changed sheets alone"
        raise FlatError("nothing was written", remedy)
    with progress_bar() as progress:
        outcome = run(later, output, progress)
    for line in closing_words(outcome):
        talk(line)
    return 0
