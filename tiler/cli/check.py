"""``tiler check``: what a careful prepress person would find before production."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING

from tiler.checks.to_json import report_json
from tiler.cli.check_words import print_report
from tiler.cli.choices import job_from
from tiler.cli.parser import talk
from tiler.cli.progress import progress_bar
from tiler.proofing import house_rules, report_of
from tiler.run import Prepared, prepare

if TYPE_CHECKING:
    from tiler.checks.finding import Report

FAULTS_FOUND = 3
"""Exit code with ``--strict`` when a fault stands."""


def check(options: argparse.Namespace) -> int:
    """Print the findings on stdout, for people or as JSON."""
    job = job_from(options)
    rules = house_rules(job)
    with progress_bar() as progress:
        prepared = prepare(job, progress)
        report = report_of(prepared, rules, lambda stage, share: progress(stage, 0.5 + 0.5 * share))
    for warning in prepared.warnings:
        talk(f"note: {warning}")
    if options.json:
        print(json.dumps(report_json(report), ensure_ascii=False, indent=1))
    else:
        print_report(report, _title(prepared))
    return FAULTS_FOUND if options.strict and _has_faults(report) else 0


def _title(prepared: Prepared) -> str:
    """The flat in a line."""
    flat = prepared.flat
    width, height = flat.size
    return f"{flat.path.name}, page {flat.page}, {flat.box} box: {width:.1f} × {height:.1f} mm"


def _has_faults(report: Report) -> bool:
    """True when a fault stands that nobody has waived."""
    from tiler.checks.finding import Severity

    return report.count(Severity.FAULT) > 0
