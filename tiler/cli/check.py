"""``tiler check``: what a careful prepress person would find before production."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.checks.limits import read_limits
from tiler.checks.run import run_checks
from tiler.checks.to_json import report_json
from tiler.checks.waiver import Waiver
from tiler.checks.word_list import read_words
from tiler.cli.check_words import print_report
from tiler.cli.choices import job_from
from tiler.cli.mock import progress_bar
from tiler.cli.parser import talk
from tiler.run import Prepared, prepare

if TYPE_CHECKING:
    from tiler.checks.finding import Report

FAULTS_FOUND = 3
"""Exit code with ``--strict`` when a fault stands."""


def check(options: argparse.Namespace) -> int:
    """Print the findings on stdout, for people or as JSON."""
    limits = read_limits(None if options.limits is None else Path(options.limits))
    words = read_words(None if options.words is None else Path(options.words))
    with progress_bar() as progress:
        prepared = prepare(job_from(options), progress)
        progress("checking", 0.5)
        report = run_checks(
            prepared.flat, prepared.loaded.structure, prepared.plan, limits, _waivers(prepared), words
        )
    for warning in prepared.warnings:
        talk(f"note: {warning}")
    if options.json:
        print(json.dumps(report_json(report), ensure_ascii=False, indent=1))
    else:
        print_report(report, _title(prepared))
    return FAULTS_FOUND if options.strict and _has_faults(report) else 0


def _waivers(prepared: Prepared) -> tuple[Waiver, ...]:
    """The false alarms that the job sets aside."""
    return tuple(getattr(prepared.job, "waivers", ()))


def _title(prepared: Prepared) -> str:
    """The flat in a line."""
    flat = prepared.flat
    width, height = flat.size
    return f"{flat.path.name}, page {flat.page}, {flat.box} box: {width:.1f} × {height:.1f} mm"


def _has_faults(report: Report) -> bool:
    """True when a fault stands that nobody has waived."""
    from tiler.checks.finding import Severity

    return report.count(Severity.FAULT) > 0
