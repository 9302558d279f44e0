"""From where a folded box is looked at; the projection is parallel, so that every panel maps affinely."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np

from tiler.errors import UsageError
from tiler.fold.rigid import Array
from tiler.fold.standing import Standing


@dataclass(frozen=True)
class Corner:
    """A direction to look from."""

    azimuth: float
    """Degrees round the box: 0 is before its front, 90 at its right, 180 behind it, -90 at its left."""
    elevation: float
    """Degrees above the table, negative from below."""

    def turned(self, azimuth: float = 0.0, elevation: float = 0.0) -> Corner:
        """The viewer steps round the box and up; never beyond straight above or below."""
        round_it = (self.azimuth + azimuth + 180) % 360 - 180
        return Corner(round_it, max(-90.0, min(90.0, self.elevation + elevation)))


CORNERS = {
    "front-right": Corner(32, 24),
    "front-left": Corner(-32, 24),
    "back-right": Corner(148, 24),
    "back-left": Corner(-148, 24),
    "below-front-right": Corner(32, -24),
    "below-front-left": Corner(-32, -24),
}
"""Corners by name; at these angles the three faces that are seen differ in width (house style, no source)."""


def parse_corner(text: str) -> Corner:
    """Turn a name, or azimuth and elevation, into a corner.

    Raises:
        UsageError: It is neither.

    >>> parse_corner("front-left"), parse_corner("45,30")
    (Corner(azimuth=-32, elevation=24), Corner(azimuth=45.0, elevation=30.0))
    """
    name = text.strip().lower().replace(" ", "-")
    if name in CORNERS:
        return CORNERS[name]
    match = re.fullmatch(r"([+-]?\d+(?:\.\d+)?),([+-]?\d+(?:\.\d+)?)", name)
    if match is None or abs(float(match[1])) > 360 or abs(float(match[2])) > 90:
        raise UsageError(
            f"'{text}' is no corner to look from",
            f"write one of {', '.join(CORNERS)}, or degrees round the box and above the table, as in 40,25",
        )
    return Corner(float(match[1]), float(match[2]))


def projection(standing: Standing, corner: Corner) -> Array:
    """The 3 × 3 matrix from space to the picture: x right, y down, and nearness to the viewer, all mm."""
    round_it, above = math.radians(corner.azimuth), math.radians(corner.elevation)
    level = math.cos(round_it) * standing.front + math.sin(round_it) * standing.right
    towards = math.cos(above) * level + math.sin(above) * standing.up
    across = math.cos(round_it) * standing.right - math.sin(round_it) * standing.front
    return np.array([across, -np.cross(towards, across), towards])
