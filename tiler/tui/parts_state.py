"""What the screen knows of a job with several parts. Pure; every change is a new object."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from tiler.job import Job
from tiler.parts import Part
from tiler.parts_ticket import on_paper_of
from tiler.printers.sheets import sheet_label
from tiler.run import Prepared
from tiler.tui.state import without_secrets
from tiler.tui.work import Problem


@dataclass(frozen=True)
class PartsSession:
    """A ticket with parts at work."""

    parts: tuple[Part, ...]
    settled: tuple[Part, ...]
    """The parts as they were opened, saved or written last."""
    ticket: Path
    output: Path | None = None
    """Where this session has written the pack."""

    @classmethod
    def of(cls, parts: tuple[Part, ...], ticket: Path) -> PartsSession:
        """A ticket just opened."""
        return cls(parts, parts, ticket)

    @property
    def is_unsaved(self) -> bool:
        """True when there are choices that stand in no ticket and no pack."""
        return _bare(self.parts) != _bare(self.settled)

    def changed(self, at: int, job: Job) -> PartsSession:
        """Another job for one part; its paper holds for all parts, which share a pack."""
        parts = tuple(
            replace(part, job=job) if number == at else part for number, part in enumerate(self.parts)
        )
        return replace(self, parts=on_paper_of(parts, job))

    def saved(self, ticket: Path) -> PartsSession:
        """The parts now stand in a ticket."""
        return replace(self, settled=self.parts, ticket=ticket)

    def written(self, output: Path) -> PartsSession:
        """A pack was written from the parts."""
        return replace(self, settled=self.parts, output=output)

    @property
    def default_output(self) -> Path:
        """Where the pack goes unless the user says otherwise: beside the ticket."""
        return self.output or self.ticket.with_name(f"{self.ticket.stem}_pack.pdf")


def _bare(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    return tuple(replace(part, job=without_secrets(part.job)) for part in parts)


Planned = Mapping[str, Prepared | Problem]
"""What came of each part, by its name; missing while it is being planned."""


def part_line(part: Part, found: Prepared | Problem | None, width: int) -> str:
    """A part in one line.

    Args:
        part: The part.
        found: Its plan, or why there is none; None while it is being planned.
        width: Letters of the longest name.
    """
    if found is None:
        what = "  …"
    elif isinstance(found, Problem):
        what = "  ✕"
    else:
        what = f"{len(found.printed):>3}"
    return f"{part.name:<{width}} {what} sheet{'s' if what.strip() != '1' else ' '}  {part.job.flat.name}"


def summary(parts: tuple[Part, ...], found: Planned) -> tuple[str, str]:
    """Sheets of the whole pack, and what that means; no number until all parts are planned."""
    plans = [found.get(part.name) for part in parts]
    bad = [part.name for part, plan in zip(parts, plans, strict=True) if isinstance(plan, Problem)]
    if bad:
        return "", f"No pack yet: {', '.join(bad)} cannot be planned."
    good = [plan for plan in plans if isinstance(plan, Prepared)]
    if len(good) < len(parts):
        return "", "planning the parts"
    count = sum(len(plan.printed) for plan in good)
    word = "sheet" if count == 1 else "sheets"
    return str(count), f"{word} of {sheet_label(parts[0].job.sheet)}\nin one pack of {len(parts)} parts"
