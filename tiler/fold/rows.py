"""Rows of panels that wrap round a prism, and the angles that close them.

::

      +---+------+---+------+        +----+----+----+----+----+----+
      |gl.|      |   |      |        |    |    |    |    |    |    | gl.
      +---+------+---+------+        +----+----+----+----+----+----+
       the flap lies under the panel at the other end, however many panels there are

Panels of a closed ring have their creases on one circle (a rectangle, a triangle and every regular polygon
do), so the angle at a crease follows from the widths alone: half of the arcs of its two neighbours.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from tiler.fold.hinges import Hinge
from tiler.fold.tree import Tree
from tiler.geometry import Point

_PARALLEL = math.sin(math.radians(2))
_FLAP = 0.5
"""A glue flap reaches no farther than this share of the narrowest panel where only three go round."""

_MOST_BARE = 12
"""More panels of one width without a glue flap are a folder, no prism."""


@dataclass(frozen=True)
class Row:
    """Panels that go round a prism."""

    panels: tuple[str, ...]
    """In order, without the glue flap."""
    widths: tuple[float, ...]
    """From crease to crease, mm."""
    angles: tuple[tuple[Hinge, float], ...]
    """Degrees at every hinge, that of the flap too."""
    along: Point
    """Unit vector along the creases, in the flat."""


def find_row(tree: Tree) -> Row | None:
    """The row that covers most of the flat; None when no panels go round."""
    hinges = [hinge for _, hinge in tree.hinged()]
    best: tuple[float, Row] | None = None
    for first in hinges:
        chain = _chain(tree, hinges, first)
        row = _closed(tree, chain) if chain else None
        if row is not None:
            area = sum(tree.node(name).panel.area for name in row.panels)
            if best is None or area > best[0] + 1:
                best = area, row
    return None if best is None else best[1]


def _near(a: float, b: float) -> bool:
    """Equal but for the allowances of board thickness: 2 mm or 3 % (common practice, no source)."""
    return abs(a - b) <= max(2.0, 0.03 * max(a, b))


def _chain(tree: Tree, hinges: Sequence[Hinge], first: Hinge) -> list[Hinge]:
    """Parallel hinges of one length, one after another; empty unless ``first`` begins the chain."""
    if _onward(tree, hinges, first, first.first) is not None:
        return []
    chain, panel = [first], first.second
    while True:
        step = _onward(tree, hinges, chain[-1], panel)
        if step is None or step in chain:
            return chain
        chain.append(step)
        panel = step.other(panel)


def _onward(tree: Tree, hinges: Sequence[Hinge], last: Hinge, panel: str) -> Hinge | None:
    """The hinge on the far side of a panel, parallel to ``last`` and as long."""
    away = last.away(last.other(panel))
    for hinge in hinges:
        if hinge is last or panel not in (hinge.first, hinge.second):
            continue
        side = hinge.away(panel)
        if side.x * away.x + side.y * away.y > 1 - _PARALLEL and _near(hinge.length, last.length):
            return hinge
    return None


def _closed(tree: Tree, chain: list[Hinge]) -> Row | None:
    """The row that a chain makes, with the first or the last of its panels as glue flap, or none."""
    if len({hinge.sign for hinge in chain}) > 1:
        return None
    panels = [chain[0].first]
    for hinge in chain:
        panels.append(hinge.other(panels[-1]))
    gaps = [abs(b.distance(a.start)) for a, b in pairwise(chain)]
    ends = (_reach(tree, panels[0], chain[0]), _reach(tree, panels[-1], chain[-1]))
    widths = [ends[0], *gaps, ends[1]]
    options = [
        (range(1, len(panels)), widths[0]),
        (range(len(panels) - 1), widths[-1]),
        (range(len(panels)), None),
    ]
    for kept, flap in options:
        ring = [widths[i] for i in kept]
        if _goes_round(tree, [panels[i] for i in kept], ring, flap):
            return _row([panels[i] for i in kept], ring, chain, first=kept[0])
    return None


def _reach(tree: Tree, panel: str, hinge: Hinge) -> float:
    """How far an end panel reaches from its hinge, mm."""
    return max(abs(hinge.distance(place)) for place in tree.node(panel).panel.polygon)


def _goes_round(tree: Tree, panels: list[str], widths: list[float], flap: float | None) -> bool:
    """Tell a ring of panels from a tray's wall, base and wall: only plain rings count."""
    count = len(widths)
    if flap is not None and flap >= min(widths):
        return False
    halves = count % 2 == 0 and all(_near(a, b) for a, b in zip(widths, widths[count // 2 :], strict=False))
    if count == 2:
        lone = all(sum(p in (h.first, h.second) for _, h in tree.hinged()) <= 2 for p in panels)
        return flap is not None and halves and lone and flap <= _FLAP * min(widths)
    if count == 3:
        longest = max(widths)
        return flap is not None and flap <= _FLAP * min(widths) and 2 * longest < 0.98 * sum(widths)
    regular = all(_near(width, widths[0]) for width in widths)
    is_bare_ring = count == 4 or (regular and count <= _MOST_BARE)
    return count >= 4 and (regular or halves) and (flap is not None or is_bare_ring)


def _row(panels: list[str], widths: list[float], chain: list[Hinge], first: int) -> Row:
    """Angles at all hinges of the chain; ``first`` is the place of the row's first panel in it."""
    arcs = _arcs(widths)
    count = len(panels)
    angles = []
    for index, hinge in enumerate(chain):
        before, behind = (index - first) % count, (index + 1 - first) % count
        angles.append((hinge, hinge.sign * math.degrees(arcs[before] + arcs[behind]) / 2))
    return Row(tuple(panels), tuple(widths), tuple(angles), chain[0].along)


def _arcs(widths: Sequence[float]) -> list[float]:
    """Arcs, in radians, that chords of these lengths cut off the circle which they just go round.

    Two panels lie flat on each other. The radius is found by halving. Where the middle of the circle lies
    outside, as for an obtuse triangle, the longest chord cuts off more than half of it.
    """
    if len(widths) == 2:
        return [math.pi, math.pi]
    longest = max(widths)
    low, high = longest / 2, sum(widths)
    is_outside = sum(_cut_off(widths, low)) < 2 * math.pi
    for _ in range(100):
        middle = (low + high) / 2
        arcs = _cut_off(widths, middle)
        is_low = 2 * max(arcs) > sum(arcs) if is_outside else sum(arcs) > 2 * math.pi
        low, high = (middle, high) if is_low else (low, middle)
    arcs = _cut_off(widths, high)
    if is_outside:
        arcs[arcs.index(max(arcs))] = 2 * math.pi - max(arcs)
    return arcs


def _cut_off(widths: Sequence[float], radius: float) -> list[float]:
    """The lesser arcs over chords, radians."""
    return [2 * math.asin(min(1.0, width / (2 * radius))) for width in widths]
