"""The feather band: a chain of lenses that runs unbroken round the four walls of a box.

The band is a function of the way round the box, never of the wall, so two walls that meet at a
corner must show the same pattern there: that is what the assembled mock is judged by.
"""

from __future__ import annotations

import math

from sample_art.art import Art, Ink
from sample_art.carton import SIDES, Carton, Point
from sample_art.marsh import BRASS, BRASS_LIGHT, RUST

WAVES = 40
"""Whole waves round the box, so that the band closes on itself."""
SHIFT = 5.0
"""Shift of the pattern, mm, chosen so that no corner falls on a node of the lid's band."""
STRANDS = 9
"""Lines in the band; they share nodes and spread between them."""


def height(carton: Carton, way: float, strand: int, swing: float) -> float:
    """Return how far one strand lies below the band's middle.

    Args:
        carton: the box the band runs round.
        way: distance round the box, mm (any value; the band repeats every girth).
        strand: 0 to STRANDS - 1.
        swing: largest swing of the outermost strand, mm.
    """
    spread = swing * (1 - 2 * strand / (STRANDS - 1))
    return spread * math.sin(2 * math.pi * WAVES * (way + SHIFT) / carton.girth)


def corners_meet(carton: Carton) -> bool:
    """Return whether the walls follow each other without gap, so that the band is unbroken.

    Checks that each wall starts on the way round where its left neighbour ends, that the last one
    closes the girth, that the two wall ends folded together are equally tall and start at the same
    corner of the base panel, and that every strand has one height there.
    """
    for side, following in zip(SIDES, [*SIDES[1:], SIDES[0]], strict=True):
        wall, other = carton.wall(side), carton.wall(following)
        if not math.isclose((wall.start + wall.length) % carton.girth, other.start, abs_tol=1e-9):
            return False
        base = 0.0 if carton.base_up else carton.depth
        if math.dist(wall.at(wall.length, base), other.at(0, base)) > 1e-9:
            return False
        for strand in range(STRANDS):
            end = height(carton, wall.start + wall.length, strand, 1.0)
            if not math.isclose(end, height(carton, other.start, strand, 1.0), abs_tol=1e-9):
                return False
    return True


def draw(art: Art, carton: Carton, start: float, span: tuple[float, float], top: float, tall: float) -> None:
    """Draw the band on an upright wall.

    Args:
        art: where to draw, already in the wall's frame.
        carton: the box.
        start: the wall's start on the way round, mm.
        span: from and to along u, mm; may reach past the wall's ends into bleed or flap.
        top: v of the band's upper rule, mm.
        tall: height between the outer rules, mm.
    """
    u0, u1 = span
    middle, swing = top + tall / 2, tall / 2 - 1.7
    for rule, weight in ((0.0, 0.35), (0.75, 0.12)):
        for v in (top + rule, top + tall - rule):
            art.rule((u0, v), (u1, v), BRASS, weight)
    for strand in range(STRANDS):
        outer = strand in (0, STRANDS - 1)
        ink: Ink = BRASS_LIGHT if outer else BRASS
        _strand(art, carton, start, span, middle, strand, swing, ink, 0.42 if outer else 0.16)
    half = carton.girth / WAVES / 2
    first = math.ceil((start + u0 + SHIFT) / half)
    last = math.floor((start + u1 + SHIFT) / half)
    for node in range(first, last + 1):
        u = node * half - SHIFT - start
        if node % 2:
            art.disc(u, middle, 0.75, BRASS_LIGHT)
        else:
            gem = [(u, middle - 1.6), (u + 0.9, middle), (u, middle + 1.6), (u - 0.9, middle)]
            art.fill(art.path(gem), RUST)


def _strand(
    art: Art,
    carton: Carton,
    start: float,
    span: tuple[float, float],
    middle: float,
    strand: int,
    swing: float,
    ink: Ink,
    weight: float,
) -> None:
    """Stroke one strand as Bezier pieces that carry its exact height and slope at every joint."""
    u0, u1 = span
    step = carton.girth / WAVES / 12
    count = max(1, math.ceil((u1 - u0) / step))
    width = (u1 - u0) / count

    def point(u: float) -> Point:
        return u, middle + height(carton, start + u, strand, swing)

    def slope(u: float) -> float:
        rate = 2 * math.pi * WAVES / carton.girth
        spread = swing * (1 - 2 * strand / (STRANDS - 1))
        return spread * rate * math.cos(rate * (start + u + SHIFT))

    path = art.canvas.beginPath()
    path.moveTo(*point(u0))
    for i in range(count):
        a, b = u0 + i * width, u0 + (i + 1) * width
        (ax, ay), (bx, by) = point(a), point(b)
        third = width / 3
        path.curveTo(ax + third, ay + slope(a) * third, bx - third, by - slope(b) * third, bx, by)
    art.stroke(path, ink, weight)
