"""Twenty flats as plain data, with measures worked out by hand from their dimensions, not from their lines.

Slanted flap sides are chosen as Pythagorean triples (5-12-13, 8-15-17 …) so that lengths come out whole.
All lengths mm. ``at(x, y)`` of each flat leaves 10 mm of blank paper round it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

Pair = tuple[float, float]
Chain = tuple[Pair, ...]


@dataclass(frozen=True)
class Carton:
    """One flat and what is known of it."""

    name: str
    cuts: tuple[Chain, ...]
    creases: tuple[Chain, ...]
    areas: tuple[float, ...]
    """Of all panels, in any order."""
    cut_length: float
    crease_length: float
    folded: tuple[float, float, float] | None = None
    holes: int = 0
    perforations: tuple[Chain, ...] = field(default=())

    @property
    def extent(self) -> Pair:
        """Width and height with 10 mm of paper round the lines, which begin at (10, 10)."""
        points = [point for chain in self.cuts for point in chain]
        return max(x for x, _ in points) + 10, max(y for _, y in points) + 10


def moved(chains: Sequence[Chain], dx: float = 10, dy: float = 10) -> tuple[Chain, ...]:
    """The chains shifted."""
    return tuple(tuple((x + dx, y + dy) for x, y in chain) for chain in chains)


def arc(cx: float, cy: float, radius: float, begin: float, end: float, count: int = 400) -> Chain:
    """Part of a circle as a fine chain; angles in radians, x towards y."""
    angles = [begin + (end - begin) * step / count for step in range(count + 1)]
    return tuple((cx + radius * math.cos(angle), cy + radius * math.sin(angle)) for angle in angles)


def flap(a: Pair, b: Pair, reach: float, inset: float) -> Chain:
    """A flap's three free sides: out from ``a``, along, back to ``b``; it lies right of a → b (y down)."""
    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    nx, ny = -uy, ux
    first = (a[0] + ux * inset + nx * reach, a[1] + uy * inset + ny * reach)
    second = (b[0] - ux * inset + nx * reach, b[1] - uy * inset + ny * reach)
    return a, first, second, b


def down(x: float, y1: float, y2: float) -> Chain:
    """An upright line."""
    return (x, y1), (x, y2)


def across(y: float, x1: float, x2: float) -> Chain:
    """A level line."""
    return (x1, y), (x2, y)


def box(x: float, y: float, width: float, height: float) -> Chain:
    """A closed rectangle."""
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y)


def tray(
    name: str, length: float, width: float, depth: float, reach: float, inset: float, side: float
) -> Carton:
    """A base with four walls; ``reach`` adds flaps of slanted side ``side`` at the ends of the long walls."""
    x0, x1, y0, y1 = depth, depth + length, depth, depth + width
    cuts: list[Chain] = [across(0, x0, x1), across(y1 + depth, x0, x1)]
    cuts += [flap((x0, y0), (x0, y1), depth, 0), flap((x1, y1), (x1, y0), depth, 0)]
    creases = [box(x0, y0, length, width)]
    corners = [
        ((x0, 0.0), (x0, y0)),
        ((x1, y0), (x1, 0.0)),
        ((x0, y1), (x0, y1 + depth)),
        ((x1, y1 + depth), (x1, y1)),
    ]
    cuts += [flap(a, b, reach, inset) for a, b in corners]
    areas = [length * width, length * depth, length * depth, width * depth, width * depth]
    cut = 2 * length + 2 * (width + 2 * depth) + 4 * depth
    if reach:
        creases += corners
        areas += [reach * (depth - inset)] * 4
        cut += 4 * (2 * side - 2 * inset)
    fold = 2 * (length + width) + (4 * depth if reach else 0)
    return Carton(name, moved(cuts), moved(creases), tuple(areas), cut, fold, (length, width, depth))


@dataclass(frozen=True)
class Row:
    """Glue flap, then panels L, W, L, W side by side; tops at ``top``."""

    length: float
    width: float
    height: float
    top: float

    @property
    def xs(self) -> tuple[float, ...]:
        """Left edges of the four panels, and the right edge of the last."""
        steps = self.length, self.width, self.length, self.width
        return tuple(15 + sum(steps[:count]) for count in range(5))

    @property
    def bottom(self) -> float:
        """Lower edge of the panels."""
        return self.top + self.height

    def cuts(self) -> list[Chain]:
        """Glue flap (15 deep, sides 17 long) and right edge: 34 + H - 16 + H."""
        return [flap((15, self.top), (15, self.bottom), 15, 8), down(self.xs[4], self.top, self.bottom)]

    def creases(self) -> list[Chain]:
        """4 H."""
        return [down(x, self.top, self.bottom) for x in self.xs[:4]]

    def above(self, panel: int, reach: float, inset: float) -> Chain:
        """A flap on top of a panel."""
        return flap((self.xs[panel + 1], self.top), (self.xs[panel], self.top), reach, inset)

    def below(self, panel: int, reach: float, inset: float) -> Chain:
        """A flap under a panel."""
        return flap((self.xs[panel], self.bottom), (self.xs[panel + 1], self.bottom), reach, inset)[0:4]

    def edge(self, panel: int, y: float) -> Chain:
        """Upper or lower edge of a panel."""
        return across(y, self.xs[panel], self.xs[panel + 1])


def tuck_carton(name: str, bottom_lid: int) -> Carton:
    """L 80, W 40, H 130: lids with tucks, dust flaps on both W panels; the bottom lid on panel 0 or 2."""
    row = Row(80, 40, 130, 52)
    cuts, creases = row.cuts(), row.creases()
    for panel, y, sign in ((0, row.top, -1), (bottom_lid, row.bottom, 1)):
        left, right = row.xs[panel], row.xs[panel + 1]
        end = y + sign * 40
        cuts += [((left, y), (left, end)), ((right, y), (right, end)), row.edge(2 - panel, y)]
        ends = ((right, end), (left, end)) if sign < 0 else ((left, end), (right, end))
        cuts.append(flap(*ends, 12, 5))
        creases += [row.edge(panel, y), row.edge(panel, end)]
    for panel in (1, 3):
        cuts += [row.above(panel, 12, 5), row.below(panel, 12, 5)]
        creases += [row.edge(panel, row.top), row.edge(panel, row.bottom)]
    areas = [15 * 122, *[80 * 130] * 2, *[40 * 130] * 2, *[80 * 40] * 2, *[12 * 75] * 2, *[12 * 35] * 4]
    # glue flap and right edge 34 + 114 + 130; lids 2 · (40 + 40); tucks 2 · (26 + 70); bare edges 2 · 80;
    # dust flaps 4 · (26 + 30)
    cut = 278 + 160 + 192 + 160 + 224
    return Carton(
        name, moved(cuts), moved(creases), tuple(areas), cut, 4 * 130 + 4 * 80 + 4 * 40, (80, 40, 130)
    )


def strip(
    name: str,
    widths: Sequence[float],
    height: float,
    folded: tuple[float, float, float] | None,
    **more: object,
) -> Carton:
    """Panels side by side, the last one the glue flap; all ends straight."""
    total = sum(widths)
    xs = [sum(widths[:count]) for count in range(1, len(widths))]
    perforations = moved([down(x, 0, height) for x in more.get("tear", ())])  # type: ignore[attr-defined]
    return Carton(
        name,
        moved([box(0, 0, total, height)]),
        moved([down(x, 0, height) for x in xs]),
        tuple(width * height for width in widths),
        2 * (total + height),
        len(xs) * height,
        folded,
        perforations=perforations,
    )
