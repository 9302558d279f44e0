"""The report as a proof list for the pack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.checks.finding import Finding, Report, Severity, TextEntry
from tiler.geometry import Point
from tiler.pack.proof_page import Proof, ProofGroup, ProofItem
from tiler.units import format_number

_KINDS = {"number": "Numbers", "date": "Dates", "address": "Addresses"}
_TITLES = {Severity.FAULT: "Faults", Severity.WARNING: "Warnings", Severity.NOTE: "Notes"}


@dataclass(frozen=True)
class PointToCheck:
    """A spot that the user wants to inspect."""

    sign: str
    """The letter that stands for it on the map."""
    name: str
    at: Point
    """True-size flat millimetres."""
    tile: str = ""
    """The tile that shows it; empty when none does."""


def proof_of(report: Report, check_points: Sequence[PointToCheck] = ()) -> Proof:
    """Findings, check points, facts and texts, in this order.

    Args:
        report: What the checks say.
        check_points: Spots that the user wants to inspect.
    """
    standing = report.standing
    groups = [
        ProofGroup(
            title,
            tuple(_finding(f) for f in standing if f.severity is severity),
            f"{severity.meaning[0].upper()}{severity.meaning[1:]}.",
        )
        for severity, title in _TITLES.items()
    ]
    waived = tuple(
        ProofItem(f.message, f.tile, detail=f"waived: {f.waived}", has_box=False)
        for f in report.findings
        if f.waived
    )
    groups.append(ProofGroup("Waived", waived))
    points = tuple(_point(point) for point in check_points)
    groups.append(ProofGroup("Check points", points, "Letters are those on the map."))
    groups += [
        ProofGroup(f"{title} to hold against the brief", _facts(report.texts, kind))
        for kind, title in _KINDS.items()
    ]
    texts = tuple(_text(entry) for entry in report.texts)
    note = "x is the height of small letters. In reading order, panel by panel."
    if any(entry.unknown for entry in report.texts):
        note += " Words that the system's word list does not have are named; they may be right all the same."
    groups.append(ProofGroup("Texts", texts, note))
    return Proof(tuple(group for group in groups if group.items), report.remarks)


def text_numbers(report: Report, scale: float = 1.0) -> tuple[tuple[str, Point], ...]:
    """The number of each text and the middle of the text, on paper, for the map.

    Args:
        report: What the checks say.
        scale: Of the job.
    """
    return tuple(
        (str(entry.id), Point(entry.box.centre.x * scale, entry.box.centre.y * scale))
        for entry in report.texts
    )


def _finding(finding: Finding) -> ProofItem:
    """A finding with its place."""
    place = "" if finding.is_of_whole else f"{_place(finding.box.centre)} · "
    return ProofItem(finding.message, finding.tile, detail=f"{place}{finding.rule}")


def _point(point: PointToCheck) -> ProofItem:
    """A check point with its place."""
    return ProofItem(point.name, point.tile, point.sign, _place(point.at))


def _place(at: Point) -> str:
    """A place on the flat."""
    return f"at {format_number(at.x, 0)}, {format_number(at.y, 0)} mm"


def _facts(texts: Sequence[TextEntry], kind: str) -> tuple[ProofItem, ...]:
    """All facts of one kind, each where it stands."""
    return tuple(
        ProofItem(words, entry.tile, str(entry.id))
        for entry in texts
        for found, words in entry.facts
        if found == kind
    )


def _text(entry: TextEntry) -> ProofItem:
    """One text with its true size."""
    parts = [f"{format_number(entry.size, 1)} pt"]
    if entry.x_height is not None:
        parts.append(f"x {format_number(entry.x_height, 2)} mm")
    if entry.panel:
        parts.append(entry.panel)
    if entry.unknown:
        parts.append(f"not in the word list: {', '.join(entry.unknown)}")
    return ProofItem(entry.text, entry.tile, str(entry.id), " · ".join(parts))
