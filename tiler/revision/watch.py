"""A flat that is still being worked on: when a save is done, and what it has changed."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from tiler.errors import FlatError
from tiler.job import Job
from tiler.load import Progress, quietly
from tiler.revision.changes import Changes, find_changes
from tiler.run import Outcome, Prepared, prepare, write

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
    """A job whose prints are copied before they are read, so that the revision before can be drawn again."""

    original: Job
    """The job that the user gave."""
    folder: Path
    """Where the copies lie."""
    number: list[int] = field(default_factory=lambda: [0])
    """How many copies have been made; it grows."""
    rules: list[Rules] = field(default_factory=list)
    """The rules of the pack that was written last, alone in its list; it is replaced."""

    @property
    def job(self) -> Job:
        """The job with fresh copies of its flat and its inside print.

        Raises:
            FlatError: One of them cannot be copied.
        """
        self.number[0] += 1
        folder, inside = self.folder / str(self.number[0]), self.original.inside
        flat = _copied(self.original.flat, folder)
        if inside is not None:
            inside = flat if inside == self.original.flat else _copied(inside, folder / "inside")
        return replace(self.original, flat=flat, inside=inside)


Rules = tuple[tuple[Path, str], ...]
"""Each file that the proof list is made with, and the digest of what is in it."""


@dataclass(frozen=True)
class Seen:
    """What a save has led to."""

    changes: Changes
    """On the old seams."""
    outcome: Outcome
    """What was written; the old outcome when nothing was."""
    rules: tuple[str, ...] = ()
    """Names of the files with limits or words that say something else now."""
    lines: str = ""
    """Name of the line file, if its lines are others now."""


def _copied(path: Path, folder: Path) -> Path:
    """A copy of a file, under its own name.

    Raises:
        FlatError: It cannot be copied.
    """
    copy = folder / path.name
    try:
        folder.mkdir()
        shutil.copyfile(path, copy)
    except OSError as problem:
        raise FlatError(f"{path}: cannot be read ({problem.strerror})", "save it again") from problem
    return copy


def _rules_of(job: Job) -> Rules:
    """The files that the proof list is made with, as they are now; none in a pack without a proof list."""
    named = [path for path in (job.limits, job.words) if path is not None and job.proof]
    return tuple((path, _digest(path)) for path in named)


def _digest(path: Path) -> str:
    """What is in a file; empty for one that cannot be read, which the checks will tell of."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


@contextmanager
def remembered(job: Job) -> Iterator[Watched]:
    """Keep copies of a job's prints as long as they are watched."""
    with tempfile.TemporaryDirectory(prefix="tiler-") as name:
        yield Watched(job, Path(name), rules=[_rules_of(job)])


def changes_since(memory: Watched, before: Outcome, output: Path, progress: Progress = quietly) -> Seen:
    """Compare the job's files as they are now with those of the last pack; write the pack if they differ.

    Raises:
        TilerError: A file cannot be read or planned, or the pack cannot be written.
    """
    from tiler.pack.target import check_target

    check_target(output, memory.original.inputs)
    rules = _rules_of(memory.original)
    later = prepare(memory.job, progress)
    seen = Seen(
        changes=find_changes(before.prepared, later.loaded, progress),
        outcome=before,
        rules=tuple(path.name for path, digest in rules if (path, digest) not in memory.rules[0]),
        lines=_other_lines(before.prepared, later),
    )
    if not (seen.changes.tiles or seen.changes.moved or seen.rules or seen.lines):
        shutil.rmtree(later.job.flat.parent, ignore_errors=True)
        return seen
    seen = replace(seen, outcome=write(later, output, progress))
    memory.rules[0] = rules
    shutil.rmtree(before.prepared.job.flat.parent, ignore_errors=True)
    return seen


def _other_lines(before: Prepared, later: Prepared) -> str:
    """The name of the line file, if the structure is not what it was; empty without such a file."""
    path = later.job.lines
    is_same = before.loaded.structure.lines == later.loaded.structure.lines
    return "" if path is None or is_same else path.name
