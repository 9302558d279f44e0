"""A job of several parts: lid, tray and sleeve in one ticket, one pack and one count of paper.

A ticket names its parts one after another; what they share stands in the tables before them::

    version = 1
    [paper]
    sheet = "A4"
    [[part]]
    name = "lid"
    file = "lid.pdf"
    [[part]]
    name = "tray"
    file = "tray.pdf"
    [part.plan]
    layout = "grid"
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tiler.errors import UsageError
from tiler.fronts import FRONTS, fronts_of, outcome_of, pack_of
from tiler.job import Job
from tiler.load import Progress, quietly
from tiler.plain import plain
from tiler.run import Outcome, Prepared, prepare

if TYPE_CHECKING:
    from tiler.marks.shapes import Page
    from tiler.pack.writer import Bound, Pack

OWN_TABLES = ("plan", "print", "structure", "fold", "check")
"""Tables that a part may have for itself; the paper is shared."""

LONGEST_NAME = 16
"""Letters of a part's name: it stands before every label."""


@dataclass(frozen=True)
class Part:
    """One flat of the job."""

    name: str
    """As it stands before the labels of its tiles."""
    job: Job


@dataclass(frozen=True)
class PartsOutcome:
    """What a run over several parts has written."""

    outcomes: tuple[Outcome, ...]
    """One for each part; page numbers are those of the whole pack."""
    output: Path
    sheets: int
    """Sheets of paper for all tiles that are printed."""
    size: int
    """Length of the pack in bytes."""


def is_parts_ticket(path: Path) -> bool:
    """True for a ticket that names parts; a file that cannot be read is none."""
    if path.suffix.lower() != ".toml":
        return False
    from tiler.ticket import ticket_values

    try:
        return "part" in ticket_values(path)[0]
    except UsageError:
        return False


def load_parts(path: Path) -> tuple[Part, ...]:
    """The parts of a ticket, in its order.

    Raises:
        UsageError: The ticket cannot be read, or a part has no name, a name that another one has, or a key
            that no part can have.
    """
    from tiler.ticket import ticket_values

    values, text = ticket_values(path)
    entries = values.pop("part", [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries) or not entries:
        raise UsageError(f"{path.name} names no parts", "write each under a heading of its own, [[part]]")
    parts = [_part(dict(entry), values, text, path) for entry in entries]
    check_names([part.name for part in parts], path.name)
    return tuple(parts)


def _part(entry: dict[str, Any], shared: Mapping[str, Any], text: str, path: Path) -> Part:
    """One part: its own tables over those that all share."""
    from tiler.ticket_fields import job_of

    name = entry.pop("name", None)
    if not isinstance(name, str):
        raise UsageError(f"{path.name}: a part has no name", 'write name = "lid" under [[part]]')
    tables = dict(shared)
    for table in OWN_TABLES:
        if table in entry:
            own = entry.pop(table)
            if not isinstance(own, dict):
                raise UsageError(f"{path.name}: '{table}' of part '{name}' is no table", "write [part.plan]")
            tables[table] = {**tables.get(table, {}), **own}
    tables["flat"] = {**tables.get("flat", {}), **entry}
    return Part(name.strip(), job_of(tables, text, path))


def check_names(names: Sequence[str], where: str) -> None:
    """Refuse names that would make labels unclear.

    Raises:
        UsageError: A name is empty, too long, or used twice.
    """
    for name in names:
        if not name or len(name) > LONGEST_NAME:
            raise UsageError(
                f"{where}: '{name}' cannot be a part's name", f"use 1 to {LONGEST_NAME} letters, as in lid"
            )
        if names.count(name) > 1:
            raise UsageError(f"{where}: two parts are called '{name}'", "give each a name of its own")


def prepare_parts(parts: Sequence[Part], progress: Progress = quietly) -> tuple[Prepared, ...]:
    """Load and plan every part.

    Raises:
        TilerError: A flat cannot be read or planned, or the parts cannot share a pack.
    """
    found = []
    for index, part in enumerate(parts):
        progress(f"planning the {part.name}", 0.5 * index / len(parts))
        found.append(replace(prepare(part.job), part=part.name))
    flips = {prepared.job.flip for prepared in found if prepared.sides == 2}
    if len(flips) > 1:
        raise UsageError(
            "the parts are to be turned over different edges of the paper", "use one flip for all of them"
        )
    return tuple(found)


def run_parts(parts: Sequence[Part], output: Path, progress: Progress = quietly) -> PartsOutcome:
    """Write one pack with all parts.

    Raises:
        TilerError: Something is wrong with a flat, the choices or the output; no file has changed.
    """
    from tiler.pack.target import check_target, replaced
    from tiler.pack.writer import write_bound

    check_target(output, [path for part in parts for path in part.job.inputs])
    prepared = prepare_parts(parts, progress)
    sides = max(one.sides for one in prepared)
    bound, outcomes, before = [], [], 0
    for index, one in enumerate(prepared):
        stretch = _stretch(progress, one.part, index, len(prepared))
        stretch("drawing the marks", FRONTS[0])
        drawn, outcome = _drawn(one, output, sides, before, stretch)
        bound.append(drawn)
        outcomes.append(outcome)
        before += len(drawn.pack.pages)
    progress("writing the pack", 0.9)
    title = ", ".join(one.part for one in prepared)
    duplexes = {one.pack.duplex for one in bound} - {"none"}
    first = replace(
        bound[0].pack, title=f"{title} · true-size mock", duplex=duplexes.pop() if duplexes else "none"
    )
    with replaced(output) as stream:
        write_bound([replace(bound[0], pack=first), *bound[1:]], stream)
    progress("done", 1.0)
    size = output.stat().st_size
    return PartsOutcome(
        outcomes=tuple(replace(outcome, size=size) for outcome in outcomes),
        output=output,
        sheets=sum(len(one.printed) for one in prepared),
        size=size,
    )


def _stretch(progress: Progress, part: str, index: int, count: int) -> Progress:
    """The progress of the front pages of one part, as a stretch of the whole between 0.5 and 0.9."""
    begin, end = FRONTS

    def told(stage: str, share: float) -> None:
        progress(f"{part}: {stage}", 0.5 + 0.4 * (index + (share - begin) / (end - begin)) / count)

    return told


def _drawn(
    prepared: Prepared, output: Path, sides: int, before: int, progress: Progress
) -> tuple[Bound, Outcome]:
    """The pages of one part, and where they come to lie behind ``before`` other pages."""
    from tiler.pack.writer import Bound

    fronts = fronts_of(prepared, progress)
    pack = _named(pack_of(prepared, fronts), prepared.part)
    if sides > prepared.sides:
        pack = _with_blank_backs(pack)
    numbers = range(before + 1, before + len(pack.pages) + 1, sides)
    outcome = replace(outcome_of(prepared, fronts, output, numbers), sides=sides)
    return Bound(pack, prepared.flat, prepared.loaded.inside), outcome


def _named(pack: Pack, part: str) -> Pack:
    """The pack with the part's name before every label and title."""
    part = plain(part)
    pages = tuple(
        replace(page, label=f"{part} {page.label}", title=f"{part}: {page.title}") for page in pack.pages
    )
    sections = tuple(replace(section, title=f"{part}: {section.title}") for section in pack.sections)
    return replace(pack, pages=pages, sections=sections)


def _with_blank_backs(pack: Pack) -> Pack:
    """Every page followed by an empty one, for a part without inside print among others that have one."""
    pages: list[Page] = []
    corrections = []
    for index, page in enumerate(pack.pages):
        pages += [page, replace(page, shapes=(), label=f"{page.label} back", title=f"{page.title}, back")]
        corrections += [pack.corrections[index]] * 2 if pack.corrections else []
    sections = tuple(replace(one, first=2 * one.first, count=2 * one.count) for one in pack.sections)
    return replace(pack, pages=tuple(pages), sections=sections, corrections=tuple(corrections))
