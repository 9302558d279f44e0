"""The report as plain data for other programs: ``tiler check --json``, version 1."""

from __future__ import annotations

from typing import Any

from tiler.checks.finding import Finding, Report, TextEntry
from tiler.geometry import Rect

DECIMALS = 4
"""Numbers are rounded to this many places; a tenth of a micrometre for lengths."""


def report_json(report: Report) -> dict[str, Any]:
    """Findings and texts; lengths in mm at true size, from the top left of the tiled box."""
    return {
        "version": 1,
        "unit": "mm",
        "findings": [_finding(finding) for finding in report.findings],
        "texts": [_text(entry) for entry in report.texts],
        "inks": [{"name": ink.name, "kind": ink.kind, "structure": ink.is_structure} for ink in report.inks],
        "fonts": [{"name": name, "embedded": embedded} for name, embedded in report.fonts],
        "remarks": list(report.remarks),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    """One finding; ``tile`` is null where no tile shows it, ``waived`` while it stands."""
    return {
        "rule": finding.rule,
        "severity": str(finding.severity),
        "tile": finding.tile or None,
        **_box(finding.box),
        "measured": _number(finding.measured),
        "limit": _number(finding.limit),
        "unit": finding.unit,
        "message": finding.message,
        "source": finding.source,
        "waived": finding.waived or None,
    }


def _text(entry: TextEntry) -> dict[str, Any]:
    """One text; heights are null when they cannot be known."""
    return {
        "id": entry.id,
        "text": entry.text,
        "tile": entry.tile or None,
        "panel": entry.panel or None,
        **_box(entry.box),
        "size_pt": _number(entry.size),
        "x_height_mm": _number(entry.x_height),
        "cap_height_mm": _number(entry.cap_height),
        "font": entry.font,
        "angle": _number(entry.angle),
        "facts": [{"kind": kind, "words": words} for kind, words in entry.facts],
        "unknown_words": list(entry.unknown),
    }


def _box(box: Rect) -> dict[str, float | None]:
    """A rectangle."""
    names = ("x", "y", "width", "height")
    return {name: _number(value) for name, value in zip(names, box, strict=True)}


def _number(value: float | None) -> float | None:
    """A number without the noise of binary fractions."""
    return None if value is None else round(value, DECIMALS) + 0.0
