"""Write a file beside its place and rename it when it is whole: until then the old one stays."""

from __future__ import annotations

import contextlib
import errno
import os
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from tiler.errors import PackError


def check_target(target: Path, sources: Iterable[Path]) -> None:
    """Refuse a place that cannot be written before any work is done.

    Args:
        target: Where the output shall go.
        sources: Files that must not be touched.

    Raises:
        PackError: The place is a folder, a source, or cannot be written.
    """
    folder = target.parent
    if target.is_dir():
        raise PackError(f"{target}: is a folder", "name a file for the output")
    if not folder.is_dir():
        raise PackError(f"{folder}: there is no such folder", "make it first, or choose another place")
    for source in sources:
        if _same_file(source, target):
            raise PackError(
                f"{target}: is the flat itself and would be overwritten", "choose another name with -o"
            )
    if not os.access(folder, os.W_OK):
        raise PackError(f"{folder}: may not be written to", "choose another folder with -o")


def _same_file(source: Path, target: Path) -> bool:
    """True when both names lead to one file."""
    try:
        return source.samefile(target)
    except OSError:
        return source.resolve() == target.resolve()


@contextmanager
def replaced(target: Path) -> Iterator[BinaryIO]:
    """Open a file beside ``target``; when the block ends well, it takes the target's place.

    Raises:
        PackError: The disk is full or the place cannot be written; the old file is as it was.
    """
    part = target.with_name(f".{target.name}.{os.getpid()}.part")
    _sweep(target)
    try:
        with part.open("wb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            part.chmod(target.stat().st_mode & 0o777)
        part.replace(target)
    except OSError as problem:
        raise _told(target, problem) from problem
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


def _told(target: Path, problem: OSError) -> PackError:
    """One sentence for what the system says about writing."""
    if problem.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return PackError(f"{target}: the disk is full", "make room or choose another place")
    if problem.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return PackError(f"{target}: may not be written", "choose another folder with -o")
    return PackError(f"{target}: cannot be written ({problem.strerror or problem})", "choose another place")


def _sweep(target: Path) -> None:
    """Remove what a killed run has left beside the target."""
    pattern = re.compile(re.escape(f".{target.name}.") + r"(\d+)\.part")
    with contextlib.suppress(OSError):
        for entry in target.parent.iterdir():
            match = pattern.fullmatch(entry.name)
            if match and not _is_running(int(match.group(1))):
                entry.unlink(missing_ok=True)


def _is_running(process: int) -> bool:
    """True when a process of that number is alive."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
