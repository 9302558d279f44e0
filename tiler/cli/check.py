"""``tiler check``: what a careful prepress person would find before production."""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tiler.checks.finding import Report, Severity
from tiler.checks.to_json import report_json
from tiler.cli.check_words import counts, print_report
from tiler.cli.choices import job_from
from tiler.cli.parser import talk
from tiler.cli.progress import progress_bar
from tiler.cli.several import names_parts
from tiler.flat.pdf import PdfFlat
from tiler.proofing import house_rules, report_of
from tiler.run import Prepared, prepare

if TYPE_CHECKING:
    from tiler.job import Job
    from tiler.load import Progress

FAULTS_FOUND = 3
"""Exit code with ``--strict`` when a fault stands."""


def check(options: argparse.Namespace) -> int:
    """Print the findings on stdout, for people or as JSON."""
    if names_parts(Path(options.flat)):
        return _check_parts(options)
    with progress_bar() as progress:
        prepared, report = _checked(job_from(options), progress)
    _tell_warnings(prepared)
    if options.json:
        _print_json(report_json(report))
    else:
        print_report(report, _title(prepared))
    return _code(options, report)


def _check_parts(options: argparse.Namespace) -> int:
    """Check every part of a ticket; a report for each, and one exit code for all."""
    from tiler.cli.batch import parts_of

    parts = parts_of(options)
    checked: list[tuple[Prepared, Report]] = []
    with progress_bar() as progress:
        for index, part in enumerate(parts):
            prepared, report = _checked(part.job, _within(progress, part.name, index, len(parts)))
            checked.append((replace(prepared, part=part.name), report))
    for prepared, _ in checked:
        _tell_warnings(prepared)
    every = Report(findings=tuple(finding for _, report in checked for finding in report.findings))
    if options.json:
        found = [{"part": prepared.part, **report_json(report)} for prepared, report in checked]
        _print_json({"version": 1, "parts": found})
    else:
        for prepared, report in checked:
            print_report(report, _title(prepared))
            print(flush=True)
        print(f"All {len(checked)} parts together: {counts(every)}")
    return _code(options, every)


def _checked(job: Job, progress: Progress) -> tuple[Prepared, Report]:
    """A job planned, and its report.

    Raises:
        TilerError: The flat cannot be read or planned, or limits or words cannot be read.
    """
    rules = house_rules(job)
    prepared = prepare(job, progress)
    return prepared, report_of(prepared, rules, lambda stage, share: progress(stage, 0.5 + 0.5 * share))


def _within(progress: Progress, part: str, index: int, count: int) -> Progress:
    """The progress of one part among others."""
    return lambda stage, share: progress(f"{part}: {stage}", (index + share) / count)


def _tell_warnings(prepared: Prepared) -> None:
    """What flat and plan warn of, on stderr."""
    for warning in prepared.warnings:
        talk(f"note: {_part_words(prepared)}{warning}")


def _print_json(data: dict[str, Any]) -> None:
    """Data for other programs."""
    print(json.dumps(data, ensure_ascii=False, indent=1))


def _part_words(prepared: Prepared) -> str:
    """The name of the part before what is said of it; empty for a job of one flat."""
    return f"{prepared.part}: " if prepared.part else ""


def _title(prepared: Prepared) -> str:
    """The flat in a line."""
    flat = prepared.flat
    width, height = flat.size
    place = f", page {flat.page}, {flat.box} box" if isinstance(flat.source, PdfFlat) else ""
    return f"{_part_words(prepared)}{flat.path.name}{place}: {width:.1f} × {height:.1f} mm"


def _code(options: argparse.Namespace, report: Report) -> int:
    """The exit code: with ``--strict`` a fault that nobody has waived counts."""
    return FAULTS_FOUND if options.strict and report.count(Severity.FAULT) else 0
