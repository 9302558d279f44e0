"""Findings with the waivers of a job laid over them. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tiler.checks.finding import Finding, Report
from tiler.checks.waiver import Waiver
from tiler.geometry import Point


def with_waivers(findings: Iterable[Finding], waivers: Sequence[Waiver]) -> tuple[Finding, ...]:
    """The findings, each with the reason of the first waiver that covers it, the gravest first."""
    done = []
    for finding in findings:
        reason = next((waiver.reason for waiver in waivers if waiver.covers(finding)), "")
        done.append(replace(finding, waived=reason))
    return tuple(sorted(done, key=_order))


def rewaived(report: Report, waivers: Sequence[Waiver]) -> Report:
    """A report of checks that ran without waivers, as it is with these; nothing is looked at again."""
    return replace(report, findings=with_waivers(report.findings, waivers))


def idle_waivers(findings: Sequence[Finding], waivers: Sequence[Waiver]) -> tuple[Waiver, ...]:
    """Waivers that cover nothing, as what they were for has gone."""
    return tuple(waiver for waiver in waivers if not any(waiver.covers(finding) for finding in findings))


def waiver_for(finding: Finding, reason: str) -> Waiver:
    """A waiver of this finding: its rule, at the middle of its box (to a tenth of a millimetre)."""
    x, y = finding.box.centre
    return Waiver(finding.rule, Point(round(x, 1), round(y, 1)), reason)


def covered_with(finding: Finding, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings, itself among them, that a waiver of this one covers: of its rule, at its place."""
    waiver = waiver_for(finding, "")
    return tuple(other for other in findings if waiver.covers(other))


def without_waivers_of(finding: Finding, waivers: Sequence[Waiver]) -> tuple[Waiver, ...]:
    """The waivers that do not cover this finding."""
    return tuple(waiver for waiver in waivers if not waiver.covers(finding))


def _order(finding: Finding) -> tuple[bool, int, str, float, float]:
    """Standing before waived, the gravest first, then by rule and place."""
    box = finding.box
    return (bool(finding.waived), finding.severity.rank, finding.rule, round(box.y, 1), round(box.x, 1))
