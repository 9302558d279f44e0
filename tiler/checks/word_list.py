"""The word list of the system, where it has one, to mark words that may be misspelt."""

from __future__ import annotations

from pathlib import Path

from tiler.errors import UsageError

PLACES = (Path("/usr/share/dict/words"), Path("/usr/dict/words"))
"""Where Unix systems keep a list of words, one a line (Filesystem Hierarchy Standard 3.0, 4.11.4)."""

LARGEST = 50_000_000
"""Bytes of a list that are read."""


def read_words(path: Path | None = None) -> frozenset[str] | None:
    """Small-letter words of a list; None when the system has none.

    Args:
        path: A list of one's own; None looks where systems keep theirs.

    Raises:
        UsageError: The list that was named cannot be read.
    """
    if path is None:
        path = next((place for place in PLACES if place.is_file()), None)
        if path is None:
            return None
    try:
        with path.open("rb") as stream:
            text = stream.read(LARGEST).decode("utf-8", "replace")
    except OSError as problem:
        raise UsageError(f"{path}: cannot be read ({problem.strerror})", "name a list of words") from None
    return frozenset(word.strip().lower() for word in text.splitlines() if word.strip())
