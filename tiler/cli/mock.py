"""``tiler mock``: write the pack and say what to do with it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from tiler.cli.choices import job_from
from tiler.cli.parser import talk
from tiler.cli.progress import progress_bar
from tiler.cli.several import is_several
from tiler.job import Job
from tiler.report import closing_words, outcome_json
from tiler.run import Outcome, run


def mock(options: argparse.Namespace) -> int:
    """Write the pack; the plan goes to stdout as JSON when asked for."""
    if is_several(options):
        from tiler.cli.batch import several

        return several(options)
    if options.watch:
        from tiler.cli.watch import watch

        return watch(options)
    job = job_from(options)
    queue = _queue(options, job)
    with progress_bar() as progress:
        outcome = run(job, Path(options.output), progress)
    _say(outcome)
    if options.json:
        print(json.dumps(outcome_json(outcome), ensure_ascii=False, indent=1), flush=True)
    if queue is not None:
        from tiler.cli.send import send_pack

        send_pack(outcome, queue)
    return 0


def _queue(options: argparse.Namespace, job: Job) -> str | None:
    """Where the pack is sent; None when it is only written."""
    if options.send is None:
        return None
    from tiler.cli.send import queue_for

    return queue_for(options.send, job)


def _say(outcome: Outcome) -> None:
    """Warnings first, then what was written and what to do next."""
    for warning in outcome.prepared.warnings:
        talk(f"note: {warning}")
    for line in closing_words(outcome):
        talk(line)
