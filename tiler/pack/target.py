"""Write a file beside its place and rename it when it is whole: until then the old one stays."""

from __future__ import annotations

import contextlib
import errno
import itertools
import os
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from tiler.errors import PackError

try:
    import fcntl
except ImportError:  # Windows does not remove a file that a run still holds open, so no lock is needed
    LOCKS = False
else:
    LOCKS = True

_COUNTER = itertools.count(1)
"""Tells apart what one process writes at the same time."""


def check_target(target: Path, sources: Iterable[Path]) -> None:
    """Refuse a place that cannot be written before any work is done.

    Args:
        target: Where the output shall go.
        sources: Files that must not be touched, the flat first.

    Raises:
        PackError: The place is a folder, a device, a source, or cannot be written.
    """
    try:
        place = target.resolve()
        if place.is_dir():
            raise PackError(f"{target}: is a folder", "name a file for the output")
        if not place.parent.is_dir():
            raise PackError(
                f"{target.parent}: there is no such folder", "make it first, or choose another place"
            )
        if place.exists() and not place.is_file():
            raise PackError(f"{target}: is no ordinary file", "choose another name with -o")
    except (OSError, ValueError, RuntimeError) as problem:  # too long a name, a circle of links
        raise _told(target, problem) from problem
    for index, source in enumerate(sources):
        if _same_file(source, target):
            what = "the flat itself" if index == 0 else "a file that the job reads"
            raise PackError(f"{target}: is {what} and would be overwritten", "choose another name with -o")
    if not os.access(place.parent, os.W_OK):
        raise PackError(f"{target.parent}: may not be written to", "choose another folder with -o")


def _same_file(source: Path, target: Path) -> bool:
    """True when both names lead to one file."""
    try:
        return source.samefile(target)
    except (OSError, ValueError):
        return False  # one of them is not there, so nothing of it can be overwritten


@contextmanager
def replaced(target: Path) -> Iterator[BinaryIO]:
    """Open a file beside ``target``; when the block ends well, it takes the target's place.

    A target that is a symbolic link stays one: the file it leads to is replaced.

    Raises:
        PackError: The disk is full or the place cannot be written; the old file is as it was.
    """
    part: Path | None = None
    try:
        place = target.resolve()
        _sweep(place)
        part, stream = _begun(place)
        with stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
            if place.exists():
                part.chmod(place.stat().st_mode & 0o777)
            if LOCKS:  # renamed while still locked, so that no other run sweeps it away
                part.replace(place)
        if not LOCKS:
            part.replace(place)
    except OSError as problem:
        raise _told(target, problem) from problem
    finally:
        if part is not None:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)


def _begun(place: Path) -> tuple[Path, BinaryIO]:
    """A new file beside the place, locked as long as it is open."""
    while True:
        part = place.with_name(f".{place.name}.{os.getpid()}-{next(_COUNTER)}.part")
        with contextlib.suppress(FileExistsError):
            stream = part.open("xb")
            if not LOCKS:
                return part, stream
            with contextlib.suppress(OSError):  # some network folders know no locks
                fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if part.exists():  # not swept away before it was locked
                return part, stream
            stream.close()


def _told(target: Path, problem: Exception) -> PackError:
    """One sentence for what the system says about writing."""
    number = getattr(problem, "errno", None)
    if number in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return PackError(f"{target}: the disk is full", "make room or choose another place")
    if number in (errno.EACCES, errno.EPERM, errno.EROFS):
        return PackError(f"{target}: may not be written", "choose another folder with -o")
    why = getattr(problem, "strerror", None) or problem
    return PackError(f"{target}: cannot be written ({why})", "choose another place")


def _sweep(place: Path) -> None:
    """Remove what a killed run has left beside the place."""
    pattern = re.compile(re.escape(f".{place.name}.") + r"\d+-\d+\.part")
    with contextlib.suppress(OSError):
        for entry in place.parent.iterdir():
            if pattern.fullmatch(entry.name):
                with contextlib.suppress(OSError):
                    _remove_unless_held(entry)


def _remove_unless_held(part: Path) -> None:
    """Remove an unfinished file that no run has locked; raises OSError otherwise."""
    with part.open("rb") as stream:
        if LOCKS:
            fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
            part.unlink(missing_ok=True)
            return
    part.unlink(missing_ok=True)
