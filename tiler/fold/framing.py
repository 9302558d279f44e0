"""What part of the picture a box needs, so that it keeps its size while it is turned."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from tiler.fold.box import FoldedBox
from tiler.fold.camera import Corner, projection
from tiler.fold.rigid import Array, Rigid
from tiler.geometry import Point, Rect

_LEAST = 1.0
"""A picture shows at least so much, mm."""


def steady_extent(box: FoldedBox, places: Mapping[str, Rigid], corner: Corner) -> Rect:
    """The part of the picture that holds the box however far it is turned at this height of the viewer.

    Args:
        box: The folded flat.
        places: Where its panels lie, as ``Folding.places`` tells for an opening.
        corner: From where.

    Returns:
        Millimetres on the picture, the middle of the box in its middle.
    """
    standing = box.standing
    axes = np.array([standing.right, standing.up, standing.front])
    along = _points(box, places) @ axes.T
    middle = (along.min(axis=0) + along.max(axis=0)) / 2
    off = along - middle
    round_it = np.hypot(off[:, 0], off[:, 2])
    above = math.radians(corner.elevation)
    tall = math.cos(above) * np.abs(off[:, 1]) + abs(math.sin(above)) * round_it
    across, down = max(_LEAST, float(round_it.max())), max(_LEAST, float(tall.max()))
    x, y = (projection(standing, corner) @ (middle @ axes))[:2].tolist()
    return Rect(x - across, y - down, 2 * across, 2 * down)


def enlarged(extent: Rect, zoom: float, around: Point | None = None) -> Rect:
    """The part of a picture that is left when it is enlarged.

    Args:
        extent: All of it, mm.
        zoom: 1 leaves all.
        around: What comes to its middle; None keeps the middle.
    """
    middle = around or extent.centre
    width, height = extent.width / zoom, extent.height / zoom
    return Rect(middle.x - width / 2, middle.y - height / 2, width, height)


def _points(box: FoldedBox, places: Mapping[str, Rigid]) -> Array:
    """The corners of all panels in space, n × 3."""
    return np.vstack([places[node.panel.id].place(node.panel.polygon) for node in box.folding.tree.nodes])
