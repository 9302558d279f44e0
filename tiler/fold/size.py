"""The folded size, and what the thickness of the production board makes of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tiler.fold.edges import edges_of
from tiler.fold.folding import Folding
from tiler.fold.rigid import Array
from tiler.structure.folded import Folded
from tiler.units import format_number

PAPER = 0.1
"""Thickness of office paper of 80 g/m², mm (common knowledge, no source)."""
_AT_END = 1.5
"""A panel within this of the box's end closes it there, mm."""


@dataclass(frozen=True)
class FoldedSize:
    """The box's extent between the middles of its walls, and how many walls each direction crosses."""

    size: Folded
    """mm, between crease centres."""
    walls: tuple[int, int, int]
    """Closed ends in each direction, 0 to 2."""

    def inside(self, caliper: float) -> Folded:
        """Room within the box, mm: half a caliper less at each wall."""
        return Folded(*(side - n * caliper / 2 for side, n in zip(self.size, self.walls, strict=True)))

    def outside(self, caliper: float) -> Folded:
        """Over all, mm: half a caliper more at each wall."""
        return Folded(*(side + n * caliper / 2 for side, n in zip(self.size, self.walls, strict=True)))


def folded_size_of(folding: Folding, known: Folded | None = None) -> FoldedSize:
    """The closed box, measured along its root panel and square to it.

    Args:
        folding: The box.
        known: What the plan of the flat tells; only its choice of the depth is used.
    """
    axes = _axes(folding)
    points = np.vstack([folding.closed[n.panel.id].place(n.panel.polygon) for n in folding.tree.nodes])
    along = points @ axes.T
    low, high = along.min(axis=0), along.max(axis=0)
    extent = (high - low).tolist()
    walls = [_walls(folding, axes[i], float(low[i]), float(high[i])) for i in range(3)]
    depth = 0 if folding.row is not None and folding.tree.root.id in folding.row.panels else 2
    if known is not None:
        depth = min((depth, 0, 1, 2), key=lambda i: round(abs(extent[i] - known.depth), 1))
    base = sorted((i for i in range(3) if i != depth), key=lambda i: (-round(extent[i], 3), i))
    order = (*base, depth)
    a, b, c = (extent[i] for i in order)
    return FoldedSize(Folded(a, b, c), (walls[order[0]], walls[order[1]], walls[order[2]]))


def _axes(folding: Folding) -> Array:
    """Unit vectors along a ring's creases or the root's longest edge, across, and square to the root."""
    if folding.row is not None and folding.tree.root.id in folding.row.panels:
        x, y = folding.row.along
    else:
        edges = edges_of(folding.tree.root)
        x, y = max(edges, key=lambda edge: round(edge.length, 2)).along if edges else (1.0, 0.0)
    return np.array([[x, y, 0.0], [-y, x, 0.0], [0.0, 0.0, 1.0]])


def _walls(folding: Folding, axis: Array, low: float, high: float) -> int:
    """How many of the two ends of a direction a panel closes."""
    closed = set()
    for node in folding.tree.nodes:
        place = folding.closed[node.panel.id]
        if abs(float(place.outside @ axis)) > 0.999:
            at = float(place.place([node.panel.centre])[0] @ axis)
            closed |= {end for end in (low, high) if abs(at - end) <= _AT_END}
    return len(closed)


def caliper_words(size: FoldedSize, caliper: float) -> str:
    """One line on paper mock and real board."""
    inside, outside, mock = (_sides(s) for s in (size.inside(caliper), size.outside(caliper), size.size))
    return (
        f"Board of {format_number(caliper, 2)} mm, creased in its middle: inside about {inside} mm, outside "
        f"about {outside} mm. The paper mock ({PAPER} mm) shows {mock} mm either way, so try the contents in "
        "a sample of the real board."
    )


def _sides(size: Folded) -> str:
    return " × ".join(format_number(side) for side in size)
