"""Rigid motions: where a stiff panel goes in space.

The flat lies in the plane z = 0 with its printed side towards the viewer; x runs right, y down and z away
from the viewer, which makes a right-handed frame. Millimetres throughout.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Rigid:
    """A turn followed by a shift: p' = turn · p + shift."""

    turn: Array = field(default_factory=lambda: np.eye(3))
    """3 × 3, orthonormal, determinant 1."""
    shift: Array = field(default_factory=lambda: np.zeros(3))
    """3, mm."""

    def apply(self, points: Array) -> Array:
        """Where points go; ``points`` and the result are n × 3 or 3."""
        result: Array = points @ self.turn.T + self.shift
        return result

    def place(self, flat: Sequence[tuple[float, float]]) -> Array:
        """Where points of the flat go, n × 3."""
        plane = np.asarray(flat, dtype=np.float64).reshape(-1, 2)
        return self.apply(np.column_stack([plane, np.zeros(len(plane))]))

    def direct(self, x: float, y: float, z: float = 0.0) -> Array:
        """Where a direction goes, 3."""
        return np.asarray(self.turn @ np.array([x, y, z]), dtype=np.float64)

    @property
    def outside(self) -> Array:
        """Unit vector away from the printed outside of a panel that lies so, 3."""
        return -self.turn[:, 2]

    def after(self, first: Rigid) -> Rigid:
        """The motion that does ``first`` and then this."""
        return Rigid(self.turn @ first.turn, self.turn @ first.shift + self.shift)


def rotation(axis: Array, degrees: float) -> Array:
    """The 3 × 3 matrix that turns about a unit vector, right-handed (Rodrigues' formula)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    sine, cosine = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
    result: Array = np.eye(3) + sine * cross + (1 - cosine) * (cross @ cross)
    return result


def fold_about(start: Sequence[float], side: Sequence[float], degrees: float) -> Rigid:
    """Fold the part of the flat that lies on ``side`` of a line, away from the printed side.

    Args:
        start: A point of the line, flat millimetres.
        side: Unit vector square to the line, into the part that moves.
        degrees: 90 makes it stand up behind the flat; negative folds towards the printed side.
    """
    foot = np.array([start[0], start[1], 0.0])
    turn = rotation(np.array([side[1], -side[0], 0.0]), degrees)
    return Rigid(turn, foot - turn @ foot)
