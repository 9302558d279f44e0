"""``tiler mock --watch``: write the pack anew whenever a file of the job is saved, and tell what changed."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from pathlib import Path

from tiler.cli.choices import job_from
from tiler.cli.parser import talk
from tiler.cli.progress import progress_bar
from tiler.errors import TilerError, UsageError
from tiler.job import Job
from tiler.pack.target import check_target
from tiler.report import closing_words
from tiler.revision.told import found_words
from tiler.revision.watch import Seen, Watched, Watcher, changes_since, remembered
from tiler.run import Outcome, run

POLL = 0.5
"""Seconds between two looks at the file. Looking costs one call of the system, works on network folders
where notices of changes do not, and needs no further package.
"""


def watch(options: argparse.Namespace) -> int:
    """Write the pack, then again after every save, until Ctrl+C.

    Raises:
        TilerError: The first pack cannot be made.
    """
    if options.json:
        raise UsageError("--watch tells of changes in words", "leave out --json")
    job, output = job_from(options), Path(options.output)
    check_target(output, job.inputs)
    watcher = Watcher(job.inputs)
    with remembered(job) as memory:
        with progress_bar() as progress:
            outcome = run(memory.job, output, progress)
        for line in closing_words(outcome):
            talk(line)
        talk(f"watching {_names(job)}; Ctrl+C ends it")
        try:
            while True:
                time.sleep(POLL)
                if watcher.has_settled(time.monotonic()):
                    outcome = _again(memory, outcome, output)
        except KeyboardInterrupt:
            talk(f"no longer watching; {output} is as last written")
            return 0


def _names(job: Job) -> str:
    """The flat, and the other files that a save of makes the pack anew."""
    others = dict.fromkeys(path.name for path in job.inputs if path != job.flat)
    return " and ".join(filter(None, (str(job.flat), ", ".join(others))))


def _again(memory: Watched, before: Outcome, output: Path) -> Outcome:
    """Write the pack of the files as they are now; one that cannot be read leaves the old pack."""
    at = time.strftime("%H:%M:%S")
    try:
        with progress_bar() as progress:
            seen = changes_since(memory, before, output, progress)
    except TilerError as problem:
        talk(f"{at} {problem}; the pack is as it was")
        return before
    for line in _told(seen):
        talk(f"{at} {line}")
    if seen.outcome is not before:
        talk(f"{at} {output} written anew")
    return seen.outcome


def _told(seen: Seen) -> Iterator[str]:
    """What has changed, a line each; of the flat nothing where only another file has."""
    for name in seen.rules:
        yield f"{name} has changed, and the proof list with it"
    if seen.lines:
        yield f"{seen.lines}: the lines have changed, so print all sheets again"
    if not (seen.rules or seen.lines) or seen.changes.tiles or seen.changes.moved:
        yield from found_words(seen.changes)
