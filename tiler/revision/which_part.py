"""Which part of a job a later flat belongs to: the named one, else the one it is called after. Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from tiler.errors import UsageError
from tiler.parts import Part


def part_for(
    parts: Sequence[Part],
    new: Path,
    name: str | None = None,
    page: int | None = None,
    where: str = "this job",
) -> Part:
    """The part that a later flat replaces.

    Args:
        parts: All parts of the job.
        new: The later flat.
        name: The part, as the user names it; None takes the one whose name or file the later file goes by.
        page: The page that is meant, where several parts lie in one file.
        where: The ticket, for messages.

    Raises:
        UsageError: There is no such part, or it cannot be told which one is meant.
    """
    names = ", ".join(part.name for part in parts)
    if name is not None:
        found = [part for part in parts if part.name.lower() == name.strip().lower()]
        if not found:
            raise UsageError(f"{where} has no part '{name}'", f"it has {names}")
        return found[0]
    found = [part for part in parts if part.job.flat.name == new.name]
    found = found or [part for part in parts if _goes_by(new.stem, part.job.flat.stem)]
    found = found or [part for part in parts if _goes_by(new.stem, part.name)]
    if len(found) > 1 and page is not None:
        found = [part for part in found if part.job.wanted.page == page]
    if len(found) != 1:
        goes = "goes by the name of more than one of them" if found else "goes by the name of none of them"
        raise UsageError(
            f"{where} has the parts {names}, and {new.name} {goes}",
            f"say which one it replaces, as in --part {(found or parts)[0].name}",
        )
    return found[0]


def _goes_by(stem: str, name: str) -> bool:
    """True when a file is called after something: ``lid_rev2`` after ``lid``, but not ``lidless``.

    >>> _goes_by("lid_rev2", "lid"), _goes_by("Lid 2", "lid"), _goes_by("lidless", "lid")
    (True, True, False)
    """
    return re.match(re.escape(name) + r"(?![a-z])", stem, re.IGNORECASE) is not None
