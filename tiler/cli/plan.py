"""``tiler plan``: show how the flat is divided."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from tiler.cli.choices import job_from
from tiler.cli.parser import talk
from tiler.cli.progress import progress_bar
from tiler.parts import is_parts_ticket
from tiler.report import plan_json, print_plan
from tiler.run import prepare


def plan(options: argparse.Namespace) -> int:
    """Print the plan on stdout, as a table or as JSON."""
    if is_parts_ticket(Path(options.flat)):
        from tiler.cli.batch import plan_parts

        return plan_parts(options)
    with progress_bar() as progress:
        prepared = prepare(job_from(options), progress)
    for warning in prepared.warnings:
        talk(f"note: {warning}")
    if options.json:
        print(json.dumps(plan_json(prepared), ensure_ascii=False, indent=1))
    else:
        print_plan(prepared)
    return 0
