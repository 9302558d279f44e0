"""``tiler mock --watch``: write the pack anew whenever the flat is saved, and tell what changed."""

from __future__ import annotations

import argparse
import time
from pathlib import Path

from tiler.cli.choices import job_from
from tiler.cli.mock import progress_bar
from tiler.cli.parser import talk
from tiler.errors import TilerError, UsageError
from tiler.report import closing_words
from tiler.revision.told import found_words
from tiler.revision.watch import Watched, Watcher, changes_since, remembered
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
    with remembered(job) as memory:
        with progress_bar() as progress:
            outcome = run(memory.job, output, progress)
        for line in closing_words(outcome):
            talk(line)
        watcher = Watcher(job.inputs)
        talk(f"watching {job.flat}; Ctrl+C ends it")
        try:
            while True:
                time.sleep(POLL)
                if watcher.has_settled(time.monotonic()):
                    outcome = _again(memory, outcome, output)
        except KeyboardInterrupt:
            talk(f"no longer watching; {output} is as last written")
            return 0


def _again(memory: Watched, before: Outcome, output: Path) -> Outcome:
    """Write the pack of the file as it is now; a file that cannot be read leaves the old pack."""
    at = time.strftime("%H:%M:%S")
    try:
        with progress_bar() as progress:
            changes, outcome = changes_since(memory, before, output, progress)
    except TilerError as problem:
        talk(f"{at} {problem}; the pack is as it was")
        return before
    for line in found_words(changes):
        talk(f"{at} {line}")
    if outcome is not before:
        talk(f"{at} {output} written anew")
    return outcome
