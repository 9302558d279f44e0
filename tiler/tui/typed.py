"""Typed words turned into values that no other module reads."""

from __future__ import annotations

import re
from pathlib import Path

from tiler.errors import UsageError
from tiler.geometry import Point
from tiler.plan.request import Forbidden
from tiler.units import parse_length


def parse_labels(text: str) -> tuple[str, ...]:
    """Tile labels.

    Raises:
        UsageError: There is none.

    >>> parse_labels("a1, b2")
    ('A1', 'B2')
    """
    labels = tuple(part.upper() for part in re.split(r"[,;\s]+", text) if part)
    if not labels:
        raise UsageError("no tile is named", "write labels from the picture, as in A1, B2")
    return labels


def parse_ppi(text: str) -> float:
    """A resolution.

    Raises:
        UsageError: The text is no resolution.

    >>> parse_ppi("300")
    300.0
    """
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 1 <= value <= 20_000:
        raise UsageError(f"'{text}' is not a resolution", "write pixels per inch, as in 300")
    return value


def parse_places(text: str, count: int) -> tuple[Point, ...]:
    """Some places of the flat, each an x and a y.

    Raises:
        UsageError: There are not so many numbers, or one is no length.

    >>> parse_places("10, 20, 30mm, 40", 2)
    (Point(x=10.0, y=20.0), Point(x=30.0, y=40.0))
    """
    parts = [part for part in re.split(r"[,;]\s*|\s+", text.strip()) if part]
    if len(parts) != 2 * count:
        wanted = ", ".join(f"x{i}, y{i}" for i in range(1, count + 1)) if count > 1 else "x, y"
        raise UsageError(
            f"'{text}' does not give {wanted}",
            "write an x and a y with a comma between, as in 120, 45"
            if count == 1
            else f"write {2 * count} lengths with commas between",
        )
    numbers = [parse_length(part) for part in parts]
    return tuple(Point(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True))


def parse_stretch(text: str) -> Forbidden:
    """A stretch where no seam may lie: the axis, then from where to where.

    Raises:
        UsageError: There is no axis, or not two different lengths.

    >>> parse_stretch("x 100, 18cm")
    Forbidden(axis='x', start=100.0, end=180.0)
    """
    found = re.fullmatch(r"\s*([xy])[\s:=,]*(.+)", text, re.IGNORECASE)
    if found is None:
        raise UsageError(f"'{text}' names no axis", "begin with x for upright seams, y for level ones")
    parts = [part for part in re.split(r"[,;\s]+|\bto\b", found[2].strip()) if part]
    if len(parts) != 2:
        raise UsageError(f"'{text}' does not say from where to where", "write two lengths, as in x 100, 180")
    start, end = sorted(parse_length(part) for part in parts)
    if start == end:
        raise UsageError("the stretch has no length", "give two different places")
    return Forbidden("x" if found[1].lower() == "x" else "y", start, end)


def parse_file(text: str, folder: Path) -> Path:
    """A file that is there, named in full or from a folder.

    Raises:
        UsageError: There is no such file.
    """
    path = Path(text.strip()).expanduser()
    path = path if path.is_absolute() else folder / path
    if not path.is_file():
        raise UsageError(f"{path}: there is no such file", "check the name and the folder")
    return path
