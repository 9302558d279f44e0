"""Flats and tickets opened lately, kept in the user's own folder."""

from __future__ import annotations

import contextlib
import json
import os
from pathlib import Path

KEPT = 12
"""Entries that are remembered."""

_FILE = "recent.json"


def state_folder() -> Path:
    """The user's folder for what tiler remembers, as the system has it."""
    from platformdirs import user_state_path

    return user_state_path("tiler", appauthor=False)


def recent_files(folder: Path) -> tuple[Path, ...]:
    """The files that are still there, the latest first; none when nothing can be read."""
    try:
        entries = json.loads((folder / _FILE).read_text("utf-8"))
    except (OSError, ValueError):
        return ()
    if not isinstance(entries, list):
        return ()
    paths = [Path(entry) for entry in entries if isinstance(entry, str)]
    return tuple(path for path in paths if path.is_file())[:KEPT]


def remember(folder: Path, path: Path) -> None:
    """Put a file at the head of the list; a list that cannot be written is let be."""
    path = path.absolute()
    entries = [path, *(old for old in recent_files(folder) if old != path)][:KEPT]
    beside = folder / f".{_FILE}.{os.getpid()}"
    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        beside.write_text(json.dumps([str(entry) for entry in entries], indent=1), "utf-8")
        beside.replace(folder / _FILE)
