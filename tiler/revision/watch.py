"""A flat that is still being worked on: when a save is done, and what it has changed."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from tiler.errors import FlatError
from tiler.job import Job
from tiler.load import Progress, quietly
from tiler.revision.changes import Changes, find_changes
from tiler.run import Outcome, prepare, write

SETTLED = 0.8
"""A file that has not changed for so many seconds has been saved (own choice, no source)."""

Stamp = tuple[tuple[int, int, int] | None, ...]
"""Change time (ns), size and inode of each file; None for one that is not there."""


def stamp_of(paths: Sequence[Path]) -> Stamp:
    """What files look like from outside."""
    return tuple(_stamp(path) for path in paths)


def _stamp(path: Path) -> tuple[int, int, int] | None:
    """One file from outside."""
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size, status.st_ino


class Watcher:
    """Tells when a save is done: files have changed, are all there, and then stayed the same for a while.

    Args:
        paths: The files that a pack is made from.
    """

    def __init__(self, paths: Sequence[Path]) -> None:
        self._paths = tuple(paths)
        self._known = self._seen = stamp_of(paths)
        self._since = 0.0

    def has_settled(self, now: float) -> bool:
        """Look at the files; True once for each save.

        Args:
            now: Seconds on any clock that runs forward.
        """
        stamp = stamp_of(self._paths)
        if stamp != self._seen:
            self._seen, self._since = stamp, now
            return False
        if stamp == self._known or None in stamp or now - self._since < SETTLED:
            return False
        self._known = stamp
        return True


@dataclass(frozen=True)
class Watched:
    """A job whose flat is copied before it is read, so that the revision before can be drawn again."""

    original: Job
    """The job that the user gave."""
    folder: Path
    """Where the copies lie."""
    number: list[int]
    """How many copies have been made; the only thing here that changes."""

    @property
    def job(self) -> Job:
        """The job with a fresh copy of its flat.

        Raises:
            FlatError: The flat cannot be copied.
        """
        self.number[0] += 1
        flat = self.original.flat
        copy = self.folder / str(self.number[0]) / flat.name
        try:
            copy.parent.mkdir()
            shutil.copyfile(flat, copy)
        except OSError as problem:
            raise FlatError(f"{flat}: cannot be read ({problem.strerror})", "save it again") from problem
        inside = copy if self.original.inside == flat else self.original.inside
        return replace(self.original, flat=copy, inside=inside)


@contextmanager
def remembered(job: Job) -> Iterator[Watched]:
    """Keep copies of a job's flat as long as it is watched."""
    with tempfile.TemporaryDirectory(prefix="tiler-") as name:
        yield Watched(job, Path(name), [0])


def changes_since(
    memory: Watched, before: Outcome, output: Path, progress: Progress = quietly
) -> tuple[Changes, Outcome]:
    """Compare the flat as it is now with the one of the last pack, and write the pack if it differs.

    Returns:
        What has changed on the old seams, and what was written; the old outcome when nothing was.

    Raises:
        TilerError: The flat cannot be read or planned, or the pack cannot be written.
    """
    from tiler.pack.target import check_target

    check_target(output, memory.original.inputs)
    later = prepare(memory.job, progress)
    changes = find_changes(before.prepared, later.loaded, progress)
    outcome = before
    if changes.tiles or changes.moved:
        outcome = write(later, output, progress)
        shutil.rmtree(before.prepared.job.flat.parent, ignore_errors=True)
    else:
        shutil.rmtree(later.job.flat.parent, ignore_errors=True)
    return changes, outcome
