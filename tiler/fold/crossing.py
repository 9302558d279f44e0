"""Panels that would pass through each other when the box closes."""

from __future__ import annotations

import math

import numpy as np
import shapely

from tiler.fold.folding import Folding
from tiler.fold.rigid import Array, Rigid
from tiler.fold.tree import Node

_DEEP = 2.0
"""Panels may reach through each other by less than this, mm (common practice, no source)."""
_PARALLEL = math.cos(math.radians(1))
"""Panels that lean less than this to each other cannot cross."""


def crossings_of(folding: Folding) -> tuple[tuple[str, str], ...]:
    """Pairs of panels that cross in the closed box, in the order of the tree."""
    nodes, places = folding.tree.nodes, folding.closed
    corners = [places[node.panel.id].place(node.panel.polygon) for node in nodes]
    low, high = (np.array([find(each, axis=0) for each in corners]) for find in (np.min, np.max))
    outside = np.array([places[node.panel.id].outside for node in nodes])
    found = []
    for index, first in enumerate(nodes):
        later = slice(index + 1, None)
        near = np.all((low[later] <= high[index]) & (high[later] >= low[index]), axis=1)
        near &= np.abs(outside[later] @ outside[index]) < _PARALLEL
        for number in (np.flatnonzero(near) + index + 1).tolist():
            second = nodes[number]
            if second.parent == first.panel.id or first.parent == second.panel.id:
                continue
            if _straddle(corners[index], corners[number], places[first.panel.id], places[second.panel.id]):
                found += [(first.panel.id, second.panel.id)] if _cross(first, second, places) else []
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


def _straddle(first: Array, second: Array, one: Rigid, other: Rigid) -> bool:
    """True when each panel has corners well on both sides of the other's plane."""
    beyond = (second - one.shift) @ one.outside
    before = (first - other.shift) @ other.outside
    return bool(min(beyond.max(), -beyond.min(), before.max(), -before.min()) >= _DEEP)


def _cross(first: Node, second: Node, places: dict[str, Rigid]) -> bool:
    """True when the panels' inner parts share a line that is more than a touch."""
    one, other = places[first.panel.id], places[second.panel.id]
    direction = np.cross(one.outside, other.outside)
    along = direction / float(np.linalg.norm(direction))
    normals = np.array([one.outside, other.outside, along])
    offsets = np.array([one.outside @ one.shift, other.outside @ other.shift, 0.0])
    foot = np.linalg.solve(normals, offsets)
    spans = [_span(node, places[node.panel.id], foot, along) for node in (first, second)]
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
        if part.geom_type == "LineString" and not part.is_empty:
            spots = (shapely.get_coordinates(part) - start) @ unit - reach
            stretches.append([(float(spots.min()), 0.0), (float(spots.max()), 0.0)])
    return shapely.MultiLineString(stretches)
