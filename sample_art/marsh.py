"""The drawn marsh: sky, mist, water, reeds, heron, lamp and its glow, all as CMYK vectors (mm)."""

from __future__ import annotations

import math
import random

from shapely.geometry import Point as Dot
from shapely.geometry import Polygon

from sample_art.art import Art, Ink, arc_points
from sample_art.carton import Point

NIGHT: Ink = (1.0, 0.80, 0.42, 0.56)
DEEP: Ink = (0.98, 0.72, 0.34, 0.34)
HERON: Ink = (0.84, 0.50, 0.24, 0.14)
MIST: Ink = (0.46, 0.24, 0.20, 0.02)
ROSE: Ink = (0.14, 0.36, 0.36, 0.0)
PEACH: Ink = (0.02, 0.28, 0.52, 0.0)
BRASS: Ink = (0.16, 0.38, 0.82, 0.06)
BRASS_LIGHT: Ink = (0.03, 0.14, 0.50, 0.0)
BRASS_DARK: Ink = (0.34, 0.58, 0.95, 0.38)
CREAM: Ink = (0.02, 0.04, 0.14, 0.0)
RUST: Ink = (0.12, 0.82, 0.92, 0.08)
INKY: Ink = (0.92, 0.78, 0.52, 0.74)
WHITE: Ink = (0.0, 0.0, 0.0, 0.0)

HERON_BODY: tuple[Point, ...] = (
    *((83, 18.4), (83, 18.4), (65, 14.4), (61, 12.4), (57, 11.2), (53.4, 12.2)),
    *((49, 14.4), (44.6, 18.6), (40, 25.6), (40, 25.6), (46, 19.6), (51.6, 16.4)),
    *((52.8, 20), (55, 24.4), (54.6, 29.4), (50.4, 34.2), (43.6, 38)),
    *((35.6, 41.6), (27, 48.6), (18.6, 57.4), (10.6, 68), (5, 77), (5, 77)),
    *((12, 73.6), (20, 71), (28, 70), (36, 68.4), (43.4, 64), (48.6, 57.6)),
    *((50, 61), (49.4, 66), (49.4, 66), (52.4, 59), (53, 52)),
    *((55.6, 45.6), (60.2, 38.2), (61.2, 31), (59, 24.4), (58.6, 21.2), (61, 19), (66, 18.6)),
)
"""Heron facing right, in hundredths of its height, feet at (36, 100)."""
HERON_LEGS: tuple[tuple[Point, ...], ...] = (
    ((33, 68), (32.4, 76), (34, 82.5), (33.2, 100)),
    ((40, 66), (41.6, 75), (44.6, 82), (43.2, 100)),
)


def sky(art: Art, x: float, y: float, w: float, horizon: float, clear: Polygon) -> None:
    """Paint the dusk from the top edge y down to the horizon, with stars outside `clear`."""
    with art.clip_box(x, y, w, horizon - y):
        inks = [NIGHT, DEEP, HERON, MIST, ROSE, PEACH]
        art.linear((0, y), (0, horizon), inks, [0, 0.28, 0.56, 0.76, 0.9, 1])
    dice = random.Random(7)
    for _ in range(110):
        star = (x + dice.random() * w, y + dice.random() ** 1.6 * (horizon - y) * 0.62)
        size, shine = 0.12 + dice.random() ** 4 * 0.34, round(0.35 + dice.random() * 0.55, 1)
        if not clear.contains(Dot(star)):
            art.disc(*star, size, CREAM, shine)


def treeline(x: float, w: float, y: float, rise: float, seed: int) -> list[Point]:
    """Return a polygon of far trees and hummocks standing on y, up to about `rise` mm high."""
    dice = random.Random(seed)
    waves = [(dice.uniform(0.6, 1), dice.uniform(0.02, 0.08), dice.uniform(0, 6)) for _ in range(3)]
    fine = [(dice.uniform(0.04, 0.1), dice.uniform(0.3, 1.1), dice.uniform(0, 6)) for _ in range(5)]
    total = sum(a for a, _, _ in waves + fine)
    steps = int(w * 2)
    top = []
    for i in range(steps + 1):
        at = i * w / steps
        height = sum(a * (1 + math.sin(f * at + p)) / 2 for a, f, p in waves + fine) / total
        top.append((x + at, y - rise * height**1.4))
    return [(x, y), *top, (x + w, y)]


def water(art: Art, x: float, y: float, w: float, h: float) -> None:
    """Paint still water that takes the sky's light at the far shore and darkens to the front."""
    with art.clip_box(x, y, w, h):
        inks = [PEACH, ROSE, MIST, HERON, DEEP, NIGHT]
        art.linear((0, y), (0, y + h), inks, [0, 0.08, 0.22, 0.45, 0.75, 1])
        dice = random.Random(21)
        for _ in range(120):
            depth = dice.random() ** 1.3
            half = 2 + 16 * depth * dice.random()
            at = (x + dice.random() * w, y + depth * h)
            ripple(art, at, half, 0.14 + 0.5 * depth, CREAM, round(0.05 + 0.16 * dice.random(), 2))


def ripple(art: Art, at: Point, half: float, weight: float, ink: Ink, alpha: float) -> None:
    """Draw one flat lens of light on the water, `half` mm to either side."""
    (x, y), t = at, weight / 2
    lens = art.spline([(x - half, y), (x - half, y), (x, y - t), (x + half, y), (x + half, y), (x, y + t)])
    art.fill(lens, ink, alpha)


def reed(art: Art, root: Point, height: float, lean: float, width: float, ink: Ink) -> None:
    """Draw one blade bending by `lean` mm at its tip."""
    x, y = root
    left = [(x - width / 2, y), (x - width * 0.35 + lean * 0.18, y - height * 0.5)]
    right = [(x + width * 0.35 + lean * 0.18, y - height * 0.5), (x + width / 2, y)]
    tip = (x + lean, y - height)
    art.fill(art.spline([*left, tip, tip, *right, right[-1], left[0]]), ink)


def bulrush(art: Art, root: Point, height: float, lean: float, ink: Ink) -> None:
    """Draw a stem with its brown head and spike."""
    x, y = root
    tip = (x + lean, y - height)
    art.stroke(art.spline([root, (x + lean * 0.2, y - height * 0.5), tip], closed=False), ink, 0.45)
    slope = lean * 0.9 / height
    a = (tip[0] - slope * 2.2, tip[1] + 3.2)
    b = (a[0] - slope * 8, a[1] + 9)
    art.stroke(art.path([a, b], closed=False), ink, 2.1)


def reeds(art: Art, span: tuple[float, float], base: float, height: float, seed: int) -> None:
    """Fill `span` (x0, x1) with blades up to `height` mm, thick at its outer end."""
    dice = random.Random(seed)
    x0, x1 = span
    count = int(abs(x1 - x0) * 0.95)
    for _ in range(count):
        t = dice.random() ** 1.7
        root = (x0 + (x1 - x0) * t, base)
        tall = height * (0.35 + 0.65 * dice.random()) * (1 - 0.6 * t)
        lean = dice.gauss(0.1, 0.16) * tall
        reed(art, root, tall, lean, 0.9 + 1.1 * dice.random(), INKY)
        if dice.random() < 0.16:
            bulrush(art, root, tall * 1.05, lean * 0.35, INKY)


def heron(art: Art, feet: Point, height: float, ink: Ink, left: bool = False) -> None:
    """Draw the standing heron, `height` mm from feet to the zero line, facing right or left."""
    k = height / 100
    way = -k if left else k

    def put(point: Point) -> Point:
        return (feet[0] + (point[0] - 38) * way, feet[1] + (point[1] - 100) * k)

    for leg in HERON_LEGS:
        art.stroke(art.spline([put(p) for p in leg], closed=False), ink, 1.15 * k)
        knee = put(leg[2])
        art.disc(*knee, 0.95 * k, ink)
    art.fill(art.spline([put(p) for p in HERON_BODY]), ink)


def glow(art: Art, x: float, y: float, r: float) -> None:
    """Screen a warm light over what is below; black at the rim leaves it untouched."""
    dark = (1.0, 1.0, 1.0, 1.0)
    path = [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]
    with art.clip(path):
        art.canvas.setBlendMode("Screen")
        inks: list[Ink] = [(0.0, 0.22, 0.6, 0.1), (0.2, 0.55, 0.95, 0.35), (0.5, 0.8, 1, 0.66), dark]
        art.radial(x, y, r, inks, [0, 0.16, 0.45, 1])


def brass(art: Art, points: list[Point], x0: float, x1: float) -> None:
    """Fill a polygon with turned brass, lit from the left, between x0 and x1."""
    with art.clip(points):
        inks = [BRASS_DARK, BRASS, BRASS_LIGHT, BRASS, BRASS_DARK, BRASS]
        art.linear((x0, 0), (x1, 0), inks, [0, 0.2, 0.36, 0.6, 0.92, 1])


def _turned(x: float, profile: list[tuple[float, float]]) -> list[Point]:
    """Return the outline of a turned part from (half width, y) pairs, top to bottom."""
    return [(x - r, y) for r, y in profile] + [(x + r, y) for r, y in reversed(profile)]


def _chimney(art: Art, x: float, y: float, k: float) -> None:
    """Draw the glass with the light in it; k is mm per hundredth of the lamp's height."""
    glass = _turned(
        x, [(10 * k, y + 36 * k), (15 * k, y + 46 * k), (15.5 * k, y + 62 * k), (12 * k, y + 76 * k)]
    )
    with art.clip(glass):
        inks: list[Ink] = [(0, 0, 0.16, 0), (0, 0.12, 0.55, 0), (0, 0.38, 0.85, 0.04), BRASS]
        art.radial(x, y + 60 * k, 24 * k, inks, [0, 0.3, 0.75, 1])
    flame = [
        (x, y + 48 * k),
        (x, y + 48 * k),
        (x + 3.6 * k, y + 60 * k),
        (x, y + 67 * k),
        (x - 3.6 * k, y + 60 * k),
    ]
    art.fill(art.spline(flame), WHITE, 0.9)
    art.fill(
        art.path(
            [
                (x - 11 * k, y + 44 * k),
                (x - 8.6 * k, y + 43 * k),
                (x - 9 * k, y + 72 * k),
                (x - 11.6 * k, y + 64 * k),
            ]
        ),
        WHITE,
        0.4,
    )
    for offset in (-15.6, 0.0, 15.6):
        art.rule((x + offset * 0.75 * k, y + 36 * k), (x + offset * k, y + 56 * k), BRASS_DARK, 0.7 * k)
        art.rule((x + offset * k, y + 56 * k), (x + offset * 0.8 * k, y + 76 * k), BRASS_DARK, 0.7 * k)


def lamp(art: Art, x: float, foot: float, height: float) -> Point:
    """Draw the brass-and-glass hand lamp standing on `foot`; return the middle of its light."""
    k = height / 100
    y = foot - height

    def part(*profile: tuple[float, float]) -> None:
        shape = _turned(x, [(r * k, y + v * k) for r, v in profile])
        reach = max(r for r, _ in profile) * k
        brass(art, shape, x - reach, x + reach)

    ring = art.spline(arc_points(x, y + 12 * k, 12 * k, -205, 25), closed=False)
    art.stroke(ring, BRASS_DARK, 2.6 * k)
    art.stroke(ring, BRASS_LIGHT, 1.0 * k)
    _chimney(art, x, y, k)
    part((3, 20), (4, 22), (7, 26), (14, 31), (14.5, 33), (14.5, 36), (11, 37.5))
    part((13, 75), (16, 77), (16, 80), (12.5, 82), (14.5, 92), (20, 95), (20, 100))
    art.rule((x - 16 * k, y + 78.6 * k), (x + 16 * k, y + 78.6 * k), BRASS_DARK, 0.4 * k)
    art.rule((x - 20 * k, y + 97 * k), (x + 20 * k, y + 97 * k), BRASS_DARK, 0.4 * k)
    return (x, y + 60 * k)
