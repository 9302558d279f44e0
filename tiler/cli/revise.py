"""``tiler revise``: print only what a later revision has changed."""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from pathlib import Path

from tiler.cli.choices import job_from
from tiler.cli.mock import progress_bar
from tiler.cli.parser import talk
from tiler.errors import FlatError
from tiler.job import Job
from tiler.load import load
from tiler.report import closing_words
from tiler.revision.changes import Changes, find_changes
from tiler.revision.reprint import Reprinted, later_job, write_reprint
from tiler.revision.told import changes_json, found_words, written_words
from tiler.run import prepare, run


def revise(options: argparse.Namespace) -> int:
    """Compare, and write the sheets that changed; nothing is written when none has.

    Raises:
        TilerError: A flat cannot be read or compared, or the old sheets do not fit the new art.
    """
    from tiler.pack.target import check_target

    options.flat = options.old
    job, output = job_from(options), Path(options.output)
    later = later_job(job, Path(options.new))
    check_target(output, [*job.inputs, *later.inputs])
    written: Reprinted | None = None
    with progress_bar() as progress:
        changes = find_changes(prepare(job, progress), load(later, progress), progress)
        if _is_wanted(changes, options):
            written = write_reprint(changes, output, job.tiles, progress)
    _say(changes, written)
    if options.json:
        print(json.dumps(changes_json(changes, written), ensure_ascii=False, indent=1))
    if changes.moved and written is None:
        return _whole(changes, replace(later, tiles=()), output, options)
    return 0


def _is_wanted(changes: Changes, options: argparse.Namespace) -> bool:
    """Whether single sheets are to be printed."""
    fits = not changes.moved or (options.anyway and not changes.resized)
    return bool(changes.tiles) and fits


def _say(changes: Changes, written: Reprinted | None) -> None:
    """Warnings, what has changed, and what was written."""
    for warning in (*changes.old.warnings, *changes.new.flat.warnings):
        talk(f"note: {warning}")
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
