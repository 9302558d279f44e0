"""Panels that would pass through each other when the box closes."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import shapely

from tiler.fold.folding import Folding
from tiler.fold.rigid import Array, Rigid
from tiler.fold.tree import Node

_DEEP = 2.0
"""Panels may reach through each other by less than this, mm (common practice, no source)."""


def crossings_of(folding: Folding) -> tuple[tuple[str, str], ...]:
    """Pairs of panels that cross in the closed box, in reading order."""
    found = []
    for first, second in combinations(folding.tree.nodes, 2):
        if second.parent == first.panel.id or first.parent == second.panel.id:
            continue
        if _cross(first, second, folding.closed):
            found.append((first.panel.id, second.panel.id))
    return tuple(found)


def crossing_words(folding: Folding) -> tuple[str, ...]:
    """A sentence on each pair that crosses, for the first three; the rest is counted."""
    pairs = crossings_of(folding)
    words = [
        f"{first} and {second} would pass through each other when the box closes: give one of their creases "
        "another angle with --fold"
        for first, second in pairs[:3]
    ]
    if len(pairs) > 3:
        words.append(f"{len(pairs) - 3} more pairs of panels would pass through each other")
    return tuple(words)


def _cross(first: Node, second: Node, places: dict[str, Rigid]) -> bool:
    """True when the panels' inner parts share a line that is more than a touch."""
    one, other = places[first.panel.id], places[second.panel.id]
    direction = np.cross(one.outside, other.outside)
    lean = float(np.linalg.norm(direction))
    if lean < 0.02:
        return False
    beyond = (other.place(second.panel.polygon) - one.shift) @ one.outside
    before = (one.place(first.panel.polygon) - other.shift) @ other.outside
    if min(beyond.max(), -beyond.min(), before.max(), -before.min()) < _DEEP:
        return False
    normals = np.array([one.outside, other.outside, direction / lean])
    offsets = np.array([one.outside @ one.shift, other.outside @ other.shift, 0.0])
    foot = np.linalg.solve(normals, offsets)
    spans = [_span(node, places[node.panel.id], foot, direction / lean) for node in (first, second)]
    return bool(shapely.intersection(*spans).length > _DEEP)


def _span(node: Node, place: Rigid, foot: Array, along: Array) -> shapely.MultiLineString:
    """Where a line in space runs within a panel, as stretches of one axis, mm."""
    reach = 2 * sum(node.panel.box.size) + float(np.linalg.norm(place.shift - foot))
    flat = (np.array([foot - reach * along, foot + reach * along]) - place.shift) @ place.turn
    inner = shapely.buffer(node.panel.shape, -_DEEP / 2)
    line = shapely.intersection(shapely.linestrings(flat[:, :2]), inner)
    start, unit = flat[0, :2], (flat[1, :2] - flat[0, :2]) / (2 * reach)
    stretches = []
    for part in shapely.get_parts(line):
        if part.geom_type == "LineString":
            spots = (shapely.get_coordinates(part) - start) @ unit - reach
            stretches.append([(float(spots.min()), 0.0), (float(spots.max()), 0.0)])
    return shapely.MultiLineString(stretches)
