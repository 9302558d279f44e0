"""Where the lines of one page gather while its content is followed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from tiler.geometry import Point
from tiler.structure.kinds import Evidence, LineKind
from tiler.structure.lines import Line
from tiler.structure.scope import Scopes, Taken

MOST_OPERATIONS = 6_000_000
"""Operations followed on one page before giving up; nested forms can multiply without end."""
_FARTHEST = 100_000.0
"""Coordinates beyond this are nonsense, mm; the largest page has 5,080 mm a side at UserUnit 1."""


class TooMuchError(Exception):
    """The page has more operations than can be followed in sensible time."""


@dataclass
class Sink:
    """Where lines gather during a walk."""

    scopes: Scopes
    default: Taken | None = None
    """What a painted line is when no name says it; none on a flat, where art is no structure."""
    lines: list[Line] = field(default_factory=list)
    counts: dict[tuple[str, str], int] = field(default_factory=dict)
    """(name, source) to lines taken."""
    dashed: set[str] = field(default_factory=set)
    """Names in which dashed lines were read as creases."""
    wild: int = 0
    """Lines dropped for impossible numbers."""
    faults: list[str] = field(default_factory=list)
    spent: int = 0
    enter: Callable[[Any, bytes], object] | None = None
    """Reads a form in which nothing structural is open yet; none: operator by operator."""

    def spend(self) -> None:
        """Count one operation.

        Raises:
            TooMuchError: There were too many.
        """
        self.spent += 1
        if self.spent > MOST_OPERATIONS:
            raise TooMuchError

    def add(self, points: tuple[Point, ...], taken: Taken, is_dashed: bool) -> None:
        """Note a painted line."""
        kind = taken.kind
        if kind is None:
            return
        if taken.is_mixed and is_dashed:
            kind = LineKind.CREASE
            self.dashed.add(taken.name)
        if not all(abs(p.x) < _FARTHEST and abs(p.y) < _FARTHEST for p in points):
            self.wild += 1
            return
        evidence = taken.evidence if self.default is None else Evidence.LINE_FILE
        self.lines.append(Line(points, kind, evidence, taken.name))
        key = (taken.name, taken.source)
        self.counts[key] = self.counts.get(key, 0) + 1
