"""Put the seams between strips where they harm least, the number of sheets being fixed.

The same way through layers as within a strip, but layer *n* holds the seams after *n* sheets, and the step
from one state to a later one is a whole strip with its own best chain. Where all slack together is small
every millimetre is tried. Else a coarse pass picks, out of each stretch of the slack, the place with the
least harm, and a fine pass tries every millimetre around the seams of the coarse one.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from tiler.plan.chain import TINY
from tiler.plan.penalties import APART, EVEN, Flags, Numbers, narrow
from tiler.plan.place import lattice
from tiler.plan.region import Span
from tiler.plan.space import Space

PLACES = 160
"""Places tried in one pass over all layers: up to this much slack, in mm, the result is exact.

The time grows with its square. Measured on 12 crosses from 506 × 426 to 1500 × 1200 mm on A4, both ways:
trying every millimetre instead changed one cost of 24, by 0.05 (evenness alone), and took up to 5.5 times as
long.
"""

FREE_PLACES = 60
"""The same where strips have nothing to keep away from and only evenness is at stake; a second, finer pass
follows in either case."""


class Edge(NamedTuple):
    """A state between two strips, or at either end of the flat."""

    sheets: int
    """Sheets used so far."""
    end: float
    """Where the strip before ends, mm."""
    begin: float
    """Where the next strip begins, mm."""
    joined: bool
    """True at a seam, False at a blank gap and at the ends."""
    cost: float


class Strip(NamedTuple):
    """One strip with its faces."""

    top: float
    """mm."""
    bottom: float
    """mm."""
    landscape: bool
    faces: tuple[Span, ...]
    """From and to of each face along x, mm."""


class Settled(NamedTuple):
    """A whole plan in its planning space."""

    cost: float
    """Penalties and unevenness."""
    strips: tuple[Strip, ...]

    @property
    def sheets(self) -> int:
        """How many sheets it takes."""
        return sum(len(strip.faces) for strip in self.strips)


def settle(space: Space, ahead: Sequence[float], back: Sequence[float]) -> Settled:
    """The cheapest plan with the fewest sheets.

    Args:
        space: What to plan.
        ahead: The farthest seam behind 1, 2, 3 ... sheets, from the top.
        back: The same from the bottom, mirrored.
    """
    total = len(ahead)
    slack = {n: lattice(-back[total - n - 1], ahead[n - 1], 1.0, space.cross) for n in range(1, total)}
    chosen, width = _thinned(space, slack)
    settled, path = _best_way(space, total, chosen)
    if width > 0 and path:
        near = {edge.sheets: _around(slack[edge.sheets], edge.end, width) for edge in path if edge.joined}
        finer, _ = _best_way(space, total, near)
        settled = min(settled, finer, key=lambda plan: plan.cost)
    return settled


_Places = dict[int, Numbers]
_Way = tuple[float, "Edge | None", "Strip | None"]
"""Cost of the cheapest way to a state, the state before it, and the strip between them."""
_Ways = dict[Edge, _Way]


def _thinned(space: Space, slack: _Places) -> tuple[_Places, float]:
    """At most ``PLACES`` places in all, and how far apart they may be (0 when nothing was left out)."""
    amount = sum(len(places) for places in slack.values())
    limit = PLACES if len(space.level.start) else FREE_PLACES
    if amount <= limit:
        return slack, 0.0
    width = math.ceil(amount / limit)
    chosen: _Places = {}
    for sheets, places in slack.items():
        harm = space.level.at(places, _everything(space))
        starts = range(0, len(places), width)
        best = [start + int(np.argmin(harm[start : start + width])) for start in starts]
        ends = [0, len(places) - 1] if len(places) else []
        chosen[sheets] = places[sorted({*best, *ends})]
    return chosen, float(width)


def _around(places: Numbers, at: float, width: float) -> Numbers:
    """The places within ``width`` mm of one."""
    near: Numbers = places[np.abs(places - at) <= width]
    return near


def _everything(space: Space) -> Flags:
    """All level hazards are active: a seam between strips runs through the whole region."""
    return np.ones(len(space.level.start), dtype=bool)


def _best_way(space: Space, total: int, places: _Places) -> tuple[Settled, list[Edge]]:
    """The cheapest way through the layers, and the states on it."""
    layers = _layers(space, total, places)
    best: _Ways = {layers[0][0]: (0.0, None, None)}
    for sheets in range(1, total + 1):
        for edge in layers[sheets]:
            found = _way_to(space, layers, edge, best)
            if found is not None:
                best[edge] = found
    return _walk_back(layers[total][0], best)


def _walk_back(last: Edge, best: _Ways) -> tuple[Settled, list[Edge]]:
    """Collect the strips from the last state to the first."""
    if last not in best:
        return Settled(math.inf, ()), []
    strips, path, edge = [], [], last
    while True:
        _, before, strip = best[edge]
        if before is None or strip is None:
            break
        strips.append(strip)
        path.append(edge)
        edge = before
    return Settled(best[last][0], tuple(reversed(strips))), path


def _layers(space: Space, total: int, places: _Places) -> list[list[Edge]]:
    """All states, by the number of sheets used."""
    rows = space.rows
    layers: list[list[Edge]] = [[Edge(0, rows[0][0], rows[0][0], False, 0.0)]]
    gaps = [(before[1], after[0]) for before, after in itertools.pairwise(rows)]
    for sheets in range(1, total):
        seams = places.get(sheets, np.empty(0))
        harm = space.level.at(seams, _everything(space))
        layer = [Edge(sheets, float(y), float(y), True, float(h)) for y, h in zip(seams, harm, strict=True)]
        layer += [Edge(sheets, end, begin, False, APART) for end, begin in gaps]
        layers.append(layer)
    return [*layers, [Edge(total, rows[-1][1], rows[-1][1], False, 0.0)]]


def _way_to(space: Space, layers: list[list[Edge]], edge: Edge, best: _Ways) -> _Way | None:
    """The cheapest strip that ends at ``edge``, with the cost of the way up to there; None without any."""
    found: _Way | None = None
    least = math.inf
    for before, landscape in _steps_to(space, layers, edge, best):
        sheets = edge.sheets - before.sheets
        so_far = best[before][0] + edge.cost
        # What is left of a strip's cost is never below nothing, so a dear one need not be laid out.
        if so_far + _unevenness(space, sheets, edge.end - before.begin, landscape) >= least:
            continue
        if space.count(before.begin, edge.end, landscape) != sheets:
            continue
        strip, cost = _strip(space, before, edge, landscape)
        if so_far + cost < least:
            least = so_far + cost
            found = least, before, strip
    return found


def _steps_to(space: Space, layers: list[list[Edge]], edge: Edge, best: _Ways) -> Iterator[tuple[Edge, bool]]:
    """The states from which one strip may lead to ``edge``, and whether its sheets lie landscape."""
    for earlier in layers[: edge.sheets]:
        for before in earlier:
            if before in best and edge.end > before.begin:
                height = edge.end - before.begin
                yield from (
                    (before, way) for way, room in space.rooms.items() if height <= room.height + TINY
                )


def _unevenness(space: Space, sheets: int, height: float, landscape: bool) -> float:
    """What a strip of so many sheets costs for its height alone."""
    return EVEN * sheets * (height / space.rooms[landscape].height) ** 2 + narrow(height)


def _strip(space: Space, before: Edge, after: Edge, landscape: bool) -> tuple[Strip, float]:
    """The best strip between two states; infinite cost where the sheet is not tall enough."""
    height, room, fees = after.end - before.begin, space.rooms[landscape].height, space.fees
    spent = (fees.start_joined if before.joined else fees.start_free) + (
        fees.end_joined if after.joined else fees.end_free
    )
    strip = Strip(before.begin, after.end, landscape, ())
    if height + spent > room + TINY or space.cross.wall(before.begin, space.rows) < after.end - TINY:
        return strip, math.inf
    held_at = [edge.end for edge in (before, after) if edge.joined]
    cost, faces = space.placed(before.begin, after.end, landscape, held_at)
    cost += _unevenness(space, len(faces), height, landscape)
    return Strip(before.begin, after.end, landscape, faces), cost
