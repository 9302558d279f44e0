"""The slow work behind a late change: compare, draw and write, through the same core as the command line."""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from pathlib import Path

from tiler.errors import UsageError
from tiler.job import Job
from tiler.load import load
from tiler.revision.carry_on import carried_on
from tiler.revision.changes import Changes, find_changes
from tiler.revision.reprint import Reprinted, later_job, reprint_pack, write_reprint
from tiler.run import Prepared, plan_sheets
from tiler.tui.pasted import is_ticket
from tiler.tui.state import reseated
from tiler.tui.work import Asked, Printed, Tell, never, watched


@dataclass(frozen=True)
class Revised:
    """A later revision beside the one that was planned."""

    changes: Changes
    job: Job
    """The job with the later flat, its seams held where they lay if the old sheets fit it."""
    keeps_seams: bool
    """False where the later flat needs seams of its own."""


def refuse_revision(job: Job, path: Path) -> None:
    """Say why a file can be no later revision of a job's flat.

    Raises:
        UsageError: It is none.
    """
    if is_ticket(path):
        raise UsageError(f"{path.name} is a job ticket", "name the later flat itself")
    if path.exists() and job.flat.exists() and path.samefile(job.flat):
        raise UsageError(
            f"{path.name} is the flat of this job itself", "keep the earlier file and name the later one"
        )


def compare_revision(
    old: Prepared, path: Path, password: str | None, tell: Tell, is_off: Asked = never
) -> Revised:
    """Compare a later revision with the flat that was planned.

    Raises:
        TilerError: The later flat cannot be read or drawn.
    """
    refuse_revision(old.job, path)
    later = later_job(old.job, path)
    if password is not None:
        later = replace(later, wanted=replace(later.wanted, password=password))
    progress = watched(tell, is_off)
    changes = find_changes(old, load(later, progress), progress)
    progress("planning the sheets", 0.95)
    if changes.moved:
        return Revised(changes, reseated(later), keeps_seams=False)
    job = carried_on(later, changes)
    return Revised(changes, job or reseated(later), keeps_seams=job is not None)


def whole_pack(revised: Revised) -> Prepared:
    """The later flat with the plan that its job gives.

    Raises:
        TilerError: No plan fulfils the choices.
    """
    return plan_sheets(replace(revised.job, tiles=()), revised.changes.new)


def print_reprint(changes: Changes, labels: tuple[str, ...]) -> Printed:
    """The very reprint that would be written, in memory."""
    from tiler.pack.writer import write_pack

    prepared, pack, _ = reprint_pack(changes, labels)
    out = io.BytesIO()
    write_pack(pack, prepared.flat, out, prepared.loaded.inside)
    names = tuple(page.label for page in pack.pages)
    return Printed(out.getvalue(), names, tuple(page.size for page in pack.pages))


def write_changed(
    changes: Changes, output: Path, labels: tuple[str, ...], tell: Tell, is_off: Asked = never
) -> Reprinted:
    """Write the chosen sheets.

    Raises:
        TilerError: There is nothing to print, or the output cannot be written.
    """
    return write_reprint(changes, output, labels, watched(tell, is_off))


def reprint_path(path: Path) -> Path:
    """Where the reprint goes unless the user says otherwise: beside the later flat."""
    return path.with_name(f"{path.stem}_reprint.pdf")
