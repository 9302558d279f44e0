r"""How unlucky a place for a seam is: weighted penalties for creases, texts, codes and check points.

A penalty is full inside the thing and falls in a straight line to nothing at its reach::

    weight  ____
           /    \
          /      \
    0 ___/  text  \___
        |<1>    <1>|     mm (8 mm beside a crease that runs along the seam)
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.geometry import Rect
from tiler.plan.request import LEAST_FACE, Avoid

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

CREASE_REACH = 8.0
"""A seam nearer than this beside a crease stiffens the fold, mm (common practice, no source)."""

CLEARANCE = 1.0
"""Free space kept round texts, codes and check points, mm: a careful hand cuts to about half of it."""

WEIGHTS = {"code": 100.0, "check point": 80.0, "text": 40.0, "crease": 30.0}
"""Full penalties, in our own order of harm: a code that will not scan is worst."""

NARROW = 25.0
"""Penalty of a face of no width; it falls to 5 at ``LEAST_FACE`` and is nothing above."""

APART = 3.0
"""Penalty of two tiles of a strip that are not joined to each other because blank paper lies between."""

LONE = 500.0
"""Penalty of a tile that no glue tab of ``LEAST_FACE`` holds."""

EVEN = 0.05
"""Weight of evenness: far below any real penalty."""

_ASLANT = 3.0
"""A crease thicker than this, mm, is the box around a slanting line, along which no seam runs."""


@dataclass(frozen=True, eq=False)
class Hazards:
    """What lies in the way of all seams of one direction; arrays with one entry for each thing."""

    start: Numbers
    """Where it begins, across the seam, mm."""
    end: Numbers
    """Where it ends, across the seam, mm."""
    low: Numbers
    """Where it begins along the seam, mm."""
    high: Numbers
    """Where it ends along the seam, mm."""
    weight: Numbers
    reach: Numbers
    """How far its harm goes beyond its edges, mm."""

    @classmethod
    def of(cls, avoid: Iterable[Avoid], upright: bool) -> Hazards:
        """The hazards of upright seams (places along x) or of level ones (places along y)."""
        rows = []
        for item in avoid:
            rect = item.rect if upright else flipped(item.rect)
            if not matters(item, upright):
                continue
            reach = CREASE_REACH if item.kind == "crease" else CLEARANCE
            rows.append((rect.x, rect.right, rect.y, rect.bottom, WEIGHTS[item.kind], reach))
        table = np.array(rows, dtype=float).reshape(-1, 6)
        return cls(*(table[:, column] for column in range(6)))

    def active(self, low: float, high: float) -> Flags:
        """Which of them a seam from ``low`` to ``high`` can meet at all."""
        if not len(self.start):
            return _NO_FLAGS
        shared: Flags = (np.minimum(self.high, high) - np.maximum(self.low, low)) > 1e-6
        return shared

    def at(self, places: Numbers, active: Flags) -> Numbers:
        """The summed penalty of a seam at each place."""
        if not active.any():
            return np.zeros(len(places))
        start, end = self.start[active, None], self.end[active, None]
        distance = np.maximum(np.maximum(start - places, places - end), 0.0)
        share = np.maximum(0.0, 1.0 - distance / self.reach[active, None])
        total: Numbers = self.weight[active] @ share
        return total


_NO_FLAGS: Flags = np.zeros(0, dtype=bool)
_EASE = (NARROW - 5.0) / LEAST_FACE
"""How much of the penalty each mm of width takes away."""


def matters(item: Avoid, upright: bool) -> bool:
    """False for a crease that does not run along such a seam."""
    if item.kind != "crease":
        return True
    thickness = item.rect.height if item.runs_across else item.rect.width
    return item.runs_across != upright and thickness <= _ASLANT


def narrowness(sizes: Numbers) -> Numbers:
    """The penalty of faces of these widths."""
    return np.where(sizes < LEAST_FACE - 1e-6, NARROW - _EASE * sizes, 0.0)


def narrow(size: float) -> float:
    """The penalty of one face of this width, mm."""
    return NARROW - _EASE * size if size < LEAST_FACE - 1e-6 else 0.0


def flipped(rect: Rect) -> Rect:
    """The rectangle with x and y exchanged."""
    return Rect(rect.y, rect.x, rect.height, rect.width)
