"""The report of ``tiler check`` for people: readable at 80 columns and without colour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tiler.checks.finding import Finding, Report, Severity, TextEntry
from tiler.plain import plain
from tiler.units import format_number

if TYPE_CHECKING:
    from rich.console import Console

_WORDS = {Severity.FAULT: "fault", Severity.WARNING: "warning", Severity.NOTE: "note"}
_HOW_FINDINGS_READ = (
    "“at mm” is the middle of what was found, from the left and the top of the flat. Below each finding "
    "stand its rule, by which the job ticket can waive it, and the sources of its limits."
)
_HOW_TEXTS_READ = "x mm: height of small letters; caps mm: height of capitals; ?: cannot be measured."
_FACTS = {"number": "Numbers", "date": "Dates", "address": "Addresses"}
WIDEST = 100
"""Lines are no longer than this, however wide the terminal; long ones are hard to read."""


def print_report(report: Report, title: str, console: Console | None = None) -> None:
    """Print the report on stdout.

    Args:
        report: What the checks say.
        title: The flat, in a line.
        console: Where to print instead.
    """
    from rich.console import Console

    console = console or Console(highlight=False)
    console.width = min(console.width, WIDEST)
    console.print(plain(title), markup=False)
    console.print(counts(report), markup=False)
    own, general = _remarks(report)
    _print_lines(console, own)
    if report.findings:
        _print_lines(console, [_HOW_FINDINGS_READ], style="dim")
    sources = _Sources()
    for severity in Severity:
        found = [finding for finding in report.standing if finding.severity is severity]
        heading = f"{_WORDS[severity].capitalize()}s: {severity.meaning}"
        _print_findings(console, heading, found, sources)
    waived = [finding for finding in report.findings if finding.waived]
    _print_findings(console, "Waived: set aside by the job ticket", waived, sources)
    sources.print_on(console)
    _print_texts(console, report.texts)
    _print_lines(console, _inventory(report))
    _print_heading(console, "Not checked, and whose matter it is")
    _print_lines(console, general)


def counts(report: Report) -> str:
    """How much was found.

    >>> counts(Report())
    '0 faults, 0 warnings, 0 notes'
    """
    parts = []
    for severity, word in _WORDS.items():
        count = report.count(severity)
        parts.append(f"{count} {word}{'' if count == 1 else 's'}")
    waived = len(report.findings) - len(report.standing)
    return ", ".join(parts) + (f"; {waived} waived" if waived else "")


def _remarks(report: Report) -> tuple[list[str], list[str]]:
    """What is said of this flat alone, and what holds for every flat."""
    from tiler.checks.remarks import GENERAL

    own = [remark for remark in report.remarks if remark not in GENERAL]
    return own, [remark for remark in report.remarks if remark in GENERAL]


def _print_heading(console: Console, words: str) -> None:
    """A heading with room above it."""
    console.print()
    console.print(words, style="bold", markup=False)


def _print_lines(console: Console, lines: list[str], style: str = "") -> None:
    """Sentences, each a paragraph of its own."""
    for line in lines:
        console.print()
        console.print(plain(line), style=style, markup=False)


class _Sources:
    """Numbers the sources, so that each is printed once."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def mark(self, finding: Finding) -> str:
        """The numbers of a finding's sources, as in ``[1, 3]``."""
        parts = [part for part in finding.source.split("; ") if part]
        numbers = [self._numbers.setdefault(part, len(self._numbers) + 1) for part in parts]
        return f" [{', '.join(str(number) for number in numbers)}]" if numbers else ""

    def print_on(self, console: Console) -> None:
        """All of them."""
        if not self._numbers:
            return
        from rich.table import Table
        from rich.text import Text

        table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 0), show_header=False)
        for source, number in self._numbers.items():
            table.add_row(Text(f"[{number}]"), Text(plain(source)))
        _print_heading(console, "Where the limits come from")
        console.print(table)


def _print_findings(console: Console, heading: str, findings: list[Finding], sources: _Sources) -> None:
    """A table of findings, none when there are none."""
    if not findings:
        return
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold")
    table.add_column("tile", no_wrap=True)
    table.add_column("at mm", no_wrap=True)
    table.add_column("what")
    for finding in findings:
        x, y = finding.box.centre
        words = Text(plain(finding.message))
        words.append(f"\n{finding.rule}{sources.mark(finding)}", "dim")
        words.append(f"\nwaived: {plain(finding.waived)}" if finding.waived else "")
        place = "whole" if finding.is_of_whole else f"{format_number(x, 0)}, {format_number(y, 0)}"
        table.add_row(finding.tile or "-", place, words)
    _print_heading(console, heading)
    console.print(table)


def _print_texts(console: Console, texts: tuple[TextEntry, ...]) -> None:
    """Every text with its true size, in reading order."""
    if not texts:
        return
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold")
    for name in ("no.", "tile", "panel"):
        table.add_column(name, no_wrap=True)
    for name in ("pt", "x mm", "caps mm"):
        table.add_column(name, no_wrap=True, justify="right")
    table.add_column("text")
    for entry in texts:
        words = Text(plain(entry.text))
        unknown = plain(", ".join(entry.unknown))
        words.append(f"\nnot in the word list: {unknown}" if unknown else "", "dim")
        heights = (_height(entry.x_height), _height(entry.cap_height))
        table.add_row(
            str(entry.id), entry.tile or "-", entry.panel or "-", format_number(entry.size), *heights, words
        )
    _print_heading(console, "Texts, in reading order")
    console.print(_HOW_TEXTS_READ, style="dim", markup=False)
    console.print(table)


def _height(value: float | None) -> str:
    """A height of letters."""
    return "?" if value is None else format_number(value, 2)


def _inventory(report: Report) -> list[str]:
    """Facts to hold against the brief, colours and fonts."""
    lines = []
    for kind, name in _FACTS.items():
        where: dict[str, list[str]] = {}
        for entry in report.texts:
            for found, words in entry.facts:
                if found == kind:
                    where.setdefault(words, []).append(str(entry.id))
        facts = [f"{words} ({', '.join(dict.fromkeys(ids))})" for words, ids in where.items()]
        if facts:
            lines.append(f"{name} to hold against the brief, with the number of the text: {', '.join(facts)}")
    inks = [ink.name + (" (cuts and creases)" if ink.is_structure else "") for ink in report.inks]
    if inks:
        lines.append(f"Colours: {', '.join(inks)}")
    fonts = [name + ("" if embedded else " (not in the file)") for name, embedded in report.fonts]
    if fonts:
        lines.append(f"Fonts: {', '.join(fonts)}")
    return lines
