"""The size of the folded box, where the flat is plainly that of a box.

Two plans are known. Anything else gives no size rather than a guessed one::

            +------+                 +---+------+---+------+
            | wall |                 | W |  L   | W |  L   |   a row of four round the box,
      +-----+------+-----+           |   |      |   |      |   D along its creases
      |wall | base |wall |           +---+------+---+------+
      +-----+------+-----+
            | wall |                 four walls of one depth round a base
            +------+

All sizes run from the middle of one crease to the middle of the next, as FEFCO measures blanks.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from tiler.structure.creases import Crease
from tiler.structure.panels import Panel

_SQUARE = 0.9
"""Share of its rectangle that the hull of a base or a panel of a row fills; corners are cut off at times."""
_WALL = (0.8, 1.05)
"""The same for a wall, whose ends are often bevelled; one wider than its crease leans outwards."""
_PARALLEL = math.sin(math.radians(3))


class Folded(NamedTuple):
    """The outer size of the folded box, board thickness not counted."""

    length: float
    """The longer side of base or opening, mm."""
    width: float
    """Its shorter side, mm."""
    depth: float
    """The third direction: depth of the walls, or length of a row's creases, mm."""


@dataclass(frozen=True)
class _Wall:
    """A neighbour across a straight crease, in the crease's own frame."""

    crease: Crease
    panel: Panel
    depth: float
    """How far it reaches from the crease, mm."""
    side: npt.NDArray[np.float64]
    """Unit vector from the crease into the neighbour."""
    fill: float
    """Its area over crease length times depth."""


def folded_size(panels: Sequence[Panel], creases: Sequence[Crease]) -> Folded | None:
    """The folded size, none when the flat is no plain box."""
    walls = _walls(panels, creases)
    tray, row = _tray(panels, walls), _row(panels, walls)
    if tray is not None and row is not None:
        return row[0] if _closes_at_ends(row[1], walls) else tray
    return tray if row is None else row[0]


def _walls(panels: Sequence[Panel], creases: Sequence[Crease]) -> dict[str, list[_Wall]]:
    """Panel name to its neighbours."""
    by_name = {panel.id: panel for panel in panels}
    between: dict[tuple[str, ...], list[Crease]] = defaultdict(list)
    for crease in creases:
        if crease.is_straight and len(set(crease.panels)) == 2:
            between[crease.panels].append(crease)
    walls: dict[str, list[_Wall]] = defaultdict(list)
    for (first, second), pieces in between.items():
        whole = _whole(pieces)
        walls[first].append(_wall(whole, by_name[second]))
        walls[second].append(_wall(whole, by_name[first]))
    return walls


def _whole(pieces: Sequence[Crease]) -> Crease:
    """The crease that a window or slot breaks into pieces, from its first end to its last."""
    ends = [end for piece in pieces for end in (piece.start, piece.end)]
    pairs = [(math.dist(a, b), a, b) for a in ends for b in ends]
    _, start, end = max(pairs)
    return Crease((start, end), pieces[0].kind, pieces[0].panels, pieces[0].evidence)


def _wall(crease: Crease, panel: Panel) -> _Wall:
    """Measure a neighbour from its crease."""
    start, end = np.array(crease.start), np.array(crease.end)
    along = (end - start) / math.dist(crease.start, crease.end)
    normal = np.array([-along[1], along[0]])
    reach = (np.array(panel.polygon) - start) @ normal
    sign = 1.0 if reach.max() >= -reach.min() else -1.0
    depth = float((sign * reach).max())
    return _Wall(crease, panel, depth, sign * normal, panel.area / max(crease.length * depth, 1e-9))


def _is_rectangle(panel: Panel) -> bool:
    return bool(panel.shape.convex_hull.area >= _SQUARE * panel.width * panel.height)


def _near(a: float, b: float) -> bool:
    """Equal but for the allowances of board thickness: 2 mm or 3 % (common practice, no source)."""
    return abs(a - b) <= max(2.0, 0.03 * max(a, b))


def _tray(panels: Sequence[Panel], walls: dict[str, list[_Wall]]) -> Folded | None:
    """The largest base with four walls of one depth."""
    best: tuple[float, Folded] | None = None
    for base in panels:
        if not _is_rectangle(base) or (best is not None and base.area <= best[0]):
            continue
        round_it = [wall for wall in walls[base.id] if _WALL[0] <= wall.fill <= _WALL[1]]
        pair = _facing(round_it, None)
        across = _facing(round_it, pair[0].side) if pair else None
        if pair is None or across is None:
            continue
        depths = [wall.depth for wall in (*pair, *across)]
        long, short = sorted((pair[0].crease.length, across[0].crease.length), reverse=True)
        if _near(min(depths), max(depths)) and _near(*sorted((base.area, long * short))):
            best = base.area, Folded(long, short, max(depths))
    return None if best is None else best[1]


def _facing(walls: Sequence[_Wall], across: npt.NDArray[np.float64] | None) -> tuple[_Wall, _Wall] | None:
    """Two walls on opposite sides, along creases of one length; square to ``across`` when given."""
    for index, first in enumerate(walls):
        if across is not None and abs(float(first.side @ across)) > _PARALLEL:
            continue
        for second in walls[index + 1 :]:
            if float(first.side @ second.side) < -1 + _PARALLEL and _near(
                first.crease.length, second.crease.length
            ):
                return first, second
    return None


def _row(panels: Sequence[Panel], walls: dict[str, list[_Wall]]) -> tuple[Folded, list[str]] | None:
    """The largest row of four panels, each as wide as the one after next; one flap more may hang on it."""
    best: tuple[float, Folded, list[str]] | None = None
    for panel in panels:
        for first in walls[panel.id]:
            chain = _chain(panel, first, walls)
            for links in (chain[:4], chain[1:]) if len(chain) in (4, 5) else ():
                area = sum(link.area for link in links)
                size = _round(links, first.side) if len(links) == 4 else None
                if size is not None and (best is None or area > best[0]):
                    best = area, size, [link.id for link in links]
    return None if best is None else (best[1], best[2])


def _round(links: Sequence[Panel], side: npt.NDArray[np.float64]) -> Folded | None:
    """The size of the box that four panels in a row go round."""
    a, b, c, d = (_across(link, side) for link in links)
    if not (_near(a, c) and _near(b, d)):
        return None
    short, long = sorted((max(a, c), max(b, d)))
    return Folded(long, short, float(np.median([_along(link, side) for link in links])))


def _chain(panel: Panel, first: _Wall, walls: dict[str, list[_Wall]]) -> list[Panel]:
    """All rectangular panels the way of ``first`` on creases of one length; empty unless it begins here."""
    if not _is_rectangle(panel) or _onward(panel, first, -first.side, walls) is not None:
        return []
    chain = [panel]
    step: _Wall | None = first
    while step is not None and _is_rectangle(step.panel) and step.panel not in chain:
        chain.append(step.panel)
        step = _onward(step.panel, first, first.side, walls)
    return chain


def _onward(
    panel: Panel, first: _Wall, side: npt.NDArray[np.float64], walls: dict[str, list[_Wall]]
) -> _Wall | None:
    """The rectangular neighbour of a panel on that side, across a crease as long as ``first``."""
    for wall in walls[panel.id]:
        is_ahead = float(wall.side @ side) > 1 - _PARALLEL
        if is_ahead and _near(wall.crease.length, first.crease.length) and _is_rectangle(wall.panel):
            return wall
    return None


def _across(panel: Panel, side: npt.NDArray[np.float64]) -> float:
    """Extent of a panel in a direction, mm."""
    reach = np.array(panel.polygon) @ side
    return float(reach.max() - reach.min())


def _along(panel: Panel, side: npt.NDArray[np.float64]) -> float:
    """Extent of a panel square to a direction, mm."""
    return _across(panel, np.array([-side[1], side[0]]))


def _closes_at_ends(row: Sequence[str], walls: dict[str, list[_Wall]]) -> bool:
    """Tell a carton closed at both ends of its row from a tray with a lid, which has the same plan.

    A carton's end flaps carry narrower tuck flaps, or all four panels have flaps at both ends; the side
    walls of a tray end there or fold back at full depth.
    """
    flaps = 0
    for name in row:
        for flap in walls[name]:
            if flap.panel.id in row or _is_in_row(flap, row, walls):
                continue
            flaps += 1
            for tuck in walls[flap.panel.id]:
                is_onward = float(tuck.side @ flap.side) > 1 - _PARALLEL and tuck.panel.id != name
                if is_onward and tuck.depth < 0.7 * flap.depth:
                    return True
    return flaps == 8


def _is_in_row(flap: _Wall, row: Sequence[str], walls: dict[str, list[_Wall]]) -> bool:
    """True for the glue or tuck flap that goes on in the direction of the row itself."""
    steps = [wall for name in row for wall in walls[name] if wall.panel.id in row]
    return any(abs(float(step.side @ flap.side)) > 1 - _PARALLEL for step in steps)
