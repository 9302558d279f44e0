"""Structure lines and the names that gave them away."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

from tiler.geometry import Point
from tiler.structure.kinds import Evidence, LineKind


@dataclass(frozen=True)
class Line:
    """One line of the structure; a curve is a chain of short straight pieces."""

    points: tuple[Point, ...]
    """Two or more places, flat coordinates, mm."""
    kind: LineKind
    evidence: Evidence = Evidence.TOLD
    """How it is known."""
    name: str = ""
    """The layer or spot colour it was drawn in, empty when given by hand."""

    @classmethod
    def between(cls, x1: float, y1: float, x2: float, y2: float, kind: LineKind = LineKind.CREASE) -> Line:
        """A straight line given by hand, mm."""
        return cls((Point(x1, y1), Point(x2, y2)), kind)

    @property
    def length(self) -> float:
        """Along the line, mm."""
        return sum(math.dist(a, b) for a, b in pairwise(self.points))


@dataclass(frozen=True)
class Candidate:
    """A layer or spot colour of the flat, and what it was taken for."""

    name: str
    """As the file has it."""
    source: str
    """``processing step``, ``layer`` or ``spot colour``."""
    kind: LineKind | None
    """None when it was not taken for a line."""
    count: int = 0
    """Lines taken from it."""
    is_told: bool = False
    """True when the user said what it is."""


@dataclass(frozen=True)
class LayerRef:
    """A layer that holds structure lines, so that a writer can switch it off."""

    name: str
    key: tuple[int, int]
    """Object number and generation of its optional-content group in the flat's file; (0, 0) without one."""
    kind: LineKind


@dataclass(frozen=True)
class Found:
    """All that the search for structure lines brought to light."""

    lines: tuple[Line, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    layers: tuple[LayerRef, ...] = ()
    reports: tuple[str, ...] = field(default=())
    """What the user should know, one sentence each."""
