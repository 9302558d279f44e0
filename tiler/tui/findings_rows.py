"""What the checks say, as lines of a list: findings by severity, then the proof list. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from tiler.checks.finding import Finding, Report, Severity, TextEntry
from tiler.checks.waiver import Waiver
from tiler.geometry import Point, Rect
from tiler.job import CheckPoint
from tiler.plain import plain
from tiler.units import format_number

Section = Literal["findings", "proof"]
"""The two lists of the screen."""

SIGNS = {Severity.FAULT: "✕", Severity.WARNING: "!", Severity.NOTE: "·"}
"""A sign for each severity, so that it is not told by colour alone."""

_TITLES = {Severity.FAULT: "Faults", Severity.WARNING: "Warnings", Severity.NOTE: "Notes"}
_FACTS = {"number": "Numbers", "date": "Dates", "address": "Addresses"}

POINT_REACH = 3.0
"""mm round a check point that are shown."""


@dataclass(frozen=True)
class Entry:
    """One line of a list."""

    key: str
    text: str
    sign: str = ""
    tile: str = ""
    """Where it is to be seen; empty for the whole flat."""
    side: str = ""
    """What stands between tile and text: measured and limit, or a size."""
    rect: Rect | None = None
    """Where to look, true-size flat mm; None for the whole flat."""
    detail: str = ""
    """More words, for below the list."""
    finding: Finding | None = None
    idle: Waiver | None = None
    """A waiver that covers nothing any more."""
    is_heading: bool = False
    is_remark: bool = False
    """True for a sentence about the checks themselves."""


def finding_entries(report: Report, idle: Sequence[Waiver] = ()) -> tuple[Entry, ...]:
    """Findings under their severity, the waived ones after them, then what was not checked.

    Args:
        report: What the checks say, with the job's waivers laid over.
        idle: Waivers of the job that cover nothing any more.
    """
    found: list[Entry] = []
    for severity, title in _TITLES.items():
        found += _headed(title, [_finding(f) for f in report.standing if f.severity is severity])
    waived = [_finding(f) for f in report.findings if f.waived]
    found += _headed("Waived", [*waived, *(_idle(waiver) for waiver in idle)])
    remarks = [
        Entry(f"remark {i}", words, detail=words, is_remark=True) for i, words in enumerate(report.remarks)
    ]
    found += _headed("Not checked, and whose matter it is", remarks)
    return _numbered(found)


def proof_entries(
    report: Report, points: Sequence[CheckPoint] = (), tiles: Sequence[str] = ()
) -> tuple[Entry, ...]:
    """Check points, facts to hold against the brief, then all texts in reading order.

    Args:
        report: What the checks say.
        points: Spots that the user wants to inspect.
        tiles: The tile of each spot.
    """
    found = _headed(
        "Check points",
        [_point(point, tile) for point, tile in zip(points, tiles, strict=True)],
    )
    for kind, title in _FACTS.items():
        facts = [
            _fact(entry, words) for entry in report.texts for known, words in entry.facts if known == kind
        ]
        found += _headed(f"{title} to hold against the brief", facts)
    found += _headed("Texts, in reading order", [_text(entry) for entry in report.texts])
    return _numbered(found)


def _headed(title: str, entries: Sequence[Entry]) -> list[Entry]:
    """Entries below their heading; nothing when there are none."""
    if not entries:
        return []
    return [Entry(title, f"{title}  {len(entries)}", is_heading=True), *entries]


def _numbered(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Entries with keys that are all different."""
    seen: dict[str, int] = {}
    done = []
    for entry in entries:
        count = seen[entry.key] = seen.get(entry.key, 0) + 1
        key = entry.key if count == 1 else f"{entry.key} ({count})"
        done.append(entry if count == 1 else Entry(**{**vars(entry), "key": key}))
    return tuple(done)


def _finding(finding: Finding) -> Entry:
    message = plain(finding.message)
    lines = [message, _where(finding)]
    if finding.waived:
        lines.append(f"Waived: {plain(finding.waived)}")
    lines.append(f"Limit: {finding.source}" if finding.measured is not None else f"Source: {finding.source}")
    x, y = finding.box.centre
    return Entry(
        f"{finding.rule} {x:.2f} {y:.2f} {finding.measured}",
        message,
        sign=SIGNS[finding.severity],
        tile=finding.tile,
        side=measure_words(finding),
        rect=finding.box if finding.tile else None,
        detail="\n".join(lines),
        finding=finding,
    )


def measure_words(finding: Finding) -> str:
    """What was measured beside its limit.

    >>> from tiler.geometry import Rect
    >>> box = Rect(0, 0, 1, 1)
    >>> measure_words(Finding("text.size", Severity.FAULT, box, "", "", 4.5, 6, "pt"))
    '4.5 / 6 pt'
    """
    if finding.measured is None:
        return ""
    measured = format_number(finding.measured, 0 if finding.measured >= 100 else 2)
    if finding.limit is None:
        return f"{measured} {finding.unit}".strip()
    return f"{measured} / {format_number(finding.limit, 2)} {finding.unit}".strip()


def _where(finding: Finding) -> str:
    """Severity, rule and place."""
    if not finding.tile:
        return f"{finding.severity} · {finding.rule} · the whole flat"
    x, y = (format_number(value, 0) for value in finding.box.centre)
    return f"{finding.severity} · {finding.rule} · tile {finding.tile} at {x}, {y} mm"


def _idle(waiver: Waiver) -> Entry:
    x, y = (format_number(value, 0) for value in waiver.near)
    words = f"The waiver of {plain(waiver.rule)} at {x}, {y} mm covers nothing any more"
    return Entry(
        f"idle {waiver.rule} {x} {y}",
        words,
        detail=f"{words}.\nIts reason was: {plain(waiver.reason)}",
        idle=waiver,
    )


def _point(point: CheckPoint, tile: str) -> Entry:
    x, y = (format_number(value, 0) for value in point.at)
    name = plain(point.name)
    reach = POINT_REACH
    box = Rect(point.at.x - reach, point.at.y - reach, 2 * reach, 2 * reach)
    return Entry(f"point {x} {y}", name, tile=tile, rect=box, detail=f"{name}\ncheck point at {x}, {y} mm")


def _fact(entry: TextEntry, words: str) -> Entry:
    text = plain(words)
    where = f"in text {entry.id}: {plain(entry.text)}"
    return Entry(
        f"fact {entry.id} {text}",
        plain(entry.text),
        sign=str(entry.id),
        tile=entry.tile,
        side=text,
        rect=entry.box,
        detail=f"{text}\n{where}",
    )


def _text(entry: TextEntry) -> Entry:
    text = plain(entry.text)
    parts = [f"{format_number(entry.size)} pt"]
    if entry.x_height is not None:
        parts.append(f"small letters {format_number(entry.x_height, 2)} mm")
    if entry.cap_height is not None:
        parts.append(f"capitals {format_number(entry.cap_height, 2)} mm")
    parts.append(plain(entry.font))
    parts += [f"panel {entry.panel}"] if entry.panel else []
    lines = [text, " · ".join(parts)]
    if entry.unknown:
        lines.append(f"Not in the word list: {plain(', '.join(entry.unknown))}")
    return Entry(
        f"text {entry.id}",
        text,
        sign=str(entry.id),
        tile=entry.tile,
        side=f"{format_number(entry.size)} pt",
        rect=entry.box,
        detail="\n".join(lines),
    )


def count_words(report: Report) -> str:
    """How much was found.

    >>> count_words(Report())
    'no faults · no warnings · no notes'
    """
    parts = []
    for severity, title in _TITLES.items():
        count = report.count(severity)
        word = title.lower()
        parts.append(f"{count or 'no'} {word if count != 1 else word[:-1]}")
    waived = len(report.findings) - len(report.standing)
    return " · ".join([*parts, *([f"{waived} waived"] if waived else [])])


def waive_words(others: int) -> str:
    """What is asked before a finding is waived.

    >>> waive_words(2)
    'Waives it with 2 others of this rule here. Why do they need no change? They stay in the list, as waived.'

    Args:
        others: Findings that the same waiver covers.
    """
    if not others:
        return "Why does it need no change? It stays in the list, as waived."
    count = "1 other" if others == 1 else f"{others} others"
    return (
        f"Waives it with {count} of this rule here. Why do they need no change? "
        "They stay in the list, as waived."
    )


def nearest(entries: Sequence[Entry], at: Point) -> Entry | None:
    """The line whose place lies nearest to a point of the flat; small places win over large ones."""

    def cost(entry: Entry) -> tuple[float, float]:
        box = entry.rect
        assert box is not None, "only entries with a place are weighed"
        dx = max(box.x - at.x, 0.0, at.x - box.right)
        dy = max(box.y - at.y, 0.0, at.y - box.bottom)
        return round(dx * dx + dy * dy, 3), box.width * box.height

    return min((entry for entry in entries if entry.rect is not None), key=cost, default=None)
