"""A choice as data: its value, what else it can be, and how to type it. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from tiler.job import Job
from tiler.printers.profile import Profile
from tiler.tui.structure_facts import NO_STRUCTURE, StructureFacts
from tiler.tui.typed import parse_file


@dataclass(frozen=True)
class Option:
    """One value of a row, with the job that has it."""

    text: str
    job: Job


@dataclass(frozen=True)
class Row:
    """One choice."""

    key: str
    label: str
    group: str
    value: str
    """As shown beside the label."""
    help: str
    """One sentence for the line below the picture."""
    options: tuple[Option, ...] = ()
    """Values to choose from, in order."""
    less: Job | None = None
    """The job one step down, for a row of numbers."""
    more: Job | None = None
    """The job one step up, for a row of numbers."""
    typed: Callable[[str], Job] | None = field(default=None, compare=False)
    """Turns typed words into a job; raises ``TilerError``. None where nothing can be typed."""
    hint: str = ""
    """What can be typed."""
    is_set: bool = False
    """True when the value is not the default."""

    def stepped(self, job: Job, steps: int) -> Job:
        """The job with the next value (or the one before); the same job at the end of the row."""
        if self.less is not None or self.more is not None:
            return (self.more if steps > 0 else self.less) or job
        if not self.options:
            return job
        at = next((i for i, option in enumerate(self.options) if option.job == job), None)
        if at is None:
            return self.options[0].job
        return self.options[(at + steps) % len(self.options)].job


@dataclass(frozen=True)
class Known:
    """What the rows depend on beside the job."""

    pages: int = 1
    is_picture: bool = False
    """True for JPEG, PNG, TIFF and WebP, whose size can be told."""
    box: str = ""
    """The page box that is in use."""
    sheets: int = 0
    """Tiles in the plan."""
    profiles: tuple[Profile, ...] = ()
    structure: StructureFacts = NO_STRUCTURE


def plain_row(job: Job, name: str, label: str, group: str, values: Iterable[str], sentence: str) -> Row:
    """A row whose values are words of the job; the first is the default."""
    changes: list[dict[str, Any]] = [{name: value} for value in values]
    options = tuple(Option(str(change[name]), replace(job, **change)) for change in changes)
    value = str(getattr(job, name))
    return Row(name, label, group, value, sentence, options, is_set=value != options[0].text)


def file_row(job: Job, name: str, label: str, group: str, without: str, sentence: str, hint: str) -> Row:
    """A row whose value is a file that the job reads, to be typed; without one it says ``without``."""
    path: Path | None = getattr(job, name)

    def holding(file: Path | None) -> Job:
        change: dict[str, Any] = {name: file}
        return replace(job, **change)

    options = [Option(without, holding(None))]
    if path is not None:
        options.append(Option(path.name, job))
    return Row(
        name,
        label,
        group,
        path.name if path else without,
        sentence,
        tuple(options),
        typed=lambda text: holding(parse_file(text, job.flat.parent)),
        hint=hint,
        is_set=path is not None,
    )
