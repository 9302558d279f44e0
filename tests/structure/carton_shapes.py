"""The flats that are no plain trays, rows or strips, and the list of all twenty."""

from __future__ import annotations

import math

from tests.structure.cartons import (
    Carton,
    Chain,
    Row,
    across,
    arc,
    box,
    down,
    flap,
    moved,
    strip,
    tray,
    tuck_carton,
)


def pyramid() -> Carton:
    """Base 80 square, triangles 75 high: sides √(40² + 75²) = 85."""
    cuts = [
        ((75.0, 75.0), (115.0, 0.0), (155.0, 75.0), (230.0, 115.0), (155.0, 155.0), (115.0, 230.0)),
        ((115.0, 230.0), (75.0, 155.0), (0.0, 115.0), (75.0, 75.0)),
    ]
    areas = (6400, *[80 * 75 / 2] * 4)
    return Carton("pyramid", moved(cuts), moved([box(75, 75, 80, 80)]), areas, 8 * 85, 4 * 80)


def mailer() -> Carton:
    """L 150, W 100, D 30: tuck, lid with ears, back, base with side walls, front with tabs."""
    x0, x1 = 30.0, 180.0
    lid, back, base, front, end = 12.0, 112.0, 142.0, 242.0, 272.0
    cuts = [
        flap((x1, lid), (x0, lid), 12, 5),
        flap((x0, lid), (x0, back), 12, 5),
        flap((x1, back), (x1, lid), 12, 5),
        down(x0, back, base),
        down(x1, back, base),
        flap((x0, base), (x0, front), 30, 0),
        flap((x1, front), (x1, base), 30, 0),
        flap((x0, front), (x0, end), 12, 5),
        flap((x1, end), (x1, front), 12, 5),
        across(end, x0, x1),
    ]
    creases = [across(y, x0, x1) for y in (lid, back, base, front)]
    creases += [down(x, y, z) for x in (x0, x1) for y, z in ((lid, back), (base, front), (front, end))]
    areas = (12 * 145, 15000, *[12 * 95] * 2, 4500, 15000, *[3000] * 2, 4500, *[12 * 25] * 2)
    # tuck 26 + 140, ears 2 · (26 + 90), back 2 · 30, sides 2 · (100 + 60), tabs 2 · (26 + 20), front edge 150
    cut = 166 + 232 + 60 + 320 + 92 + 150
    return Carton(
        "mailer with ears", moved(cuts), moved(creases), areas, cut, 600 + 200 + 200 + 60, (150, 100, 30)
    )


def cross() -> Carton:
    """Base 100 × 60, walls 25; ears 24 × 15 on the ends of the short walls, 1 mm clear of the long ones."""
    x0, x1, y0, y1, d = 25.0, 125.0, 25.0, 85.0, 25.0
    cuts: list[Chain] = [flap((x1, y0), (x0, y0), d, 0), flap((x0, y1), (x1, y1), d, 0)]
    creases = [box(x0, y0, 100, 60)]
    for wall, clear in ((0.0, x0), (x1 + d, x1)):
        near = clear - 1 if wall < clear else clear + 1
        cuts += [down(wall, y0, y1)]
        for y, sign in ((y0, -1), (y1, 1)):
            cuts += [((wall, y), (wall, y + sign * 15), (near, y + sign * 15), (near, y), (clear, y))]
            creases.append(across(y, wall, near))
    areas = (6000, *[2500] * 2, *[1500] * 2, *[24 * 15] * 4)
    # long walls 2 · 150, short walls 2 · 60, ears 4 · (24 + 30), clearances 4 · 1
    return Carton(
        "cross with ears", moved(cuts), moved(creases), areas, 300 + 120 + 216 + 4, 416, (100, 60, 25)
    )


def pillow() -> Carton:
    """Two panels 80 × 120 with round ends: radius 58 over a chord of 80 rises 16 (58² = 40² + 42²)."""
    half = math.asin(40 / 58)
    long, segment = 2 * 58 * half, 58**2 * half - 40 * 42
    cuts: list[Chain] = [down(0, 16, 136), flap((160, 136), (160, 16), 12, 5)]
    creases: list[Chain] = [down(80, 16, 136), down(160, 16, 136)]
    for middle in (40, 120):
        cuts.append(arc(middle, 16 + 42, 58, -math.pi / 2 - half, -math.pi / 2 + half))
        cuts.append(arc(middle, 136 - 42, 58, math.pi / 2 - half, math.pi / 2 + half))
        creases.append(arc(middle, 16 - 42, 58, math.pi / 2 - half, math.pi / 2 + half))
        creases.append(arc(middle, 136 + 42, 58, -math.pi / 2 - half, -math.pi / 2 + half))
    areas = (*[80 * 120 - 2 * segment] * 2, *[2 * segment] * 4, 12 * 115)
    return Carton(
        "pillow pack", moved(cuts), moved(creases), areas, 120 + 26 + 110 + 4 * long, 240 + 4 * long
    )


def envelope() -> Carton:
    """Base 160 × 110; sides 24 deep (slant 26), bottom 60 (slant 65), top a triangle 60 high (slant 100)."""
    x0, x1, y0, y1 = 24.0, 184.0, 60.0, 170.0
    cuts = [
        ((x0, y0), (104.0, 0.0), (x1, y0)),
        flap((x0, y0), (x0, y1), 24, 10),
        flap((x1, y1), (x1, y0), 24, 10),
        flap((x0, y1), (x1, y1), 60, 25),
    ]
    areas = (17600, 4800, *[2400] * 2, 60 * 135)
    return Carton("envelope", moved(cuts), moved([box(x0, y0, 160, 110)]), areas, 200 + 284 + 240, 540)


def snap_bottom() -> Carton:
    """L 90, W 50, H 120: tuck lid above; below a notched flap, a slanted one and two side flaps."""
    row = Row(90, 50, 120, 62)
    left, right = row.xs[0], row.xs[1]
    lid, low = row.top - 50, row.bottom + 24
    notch = ((left, row.bottom), (left, low), (left + 30, low), (left + 30, low - 10), (left + 60, low - 10),
             (left + 60, low), (right, low), (right, row.bottom))  # fmt: skip
    cuts = [*row.cuts(), down(left, lid, row.top), down(right, lid, row.top), notch, row.below(2, 24, 10)]
    cuts += [flap((right, lid), (left, lid), 12, 5), row.edge(2, row.top)]
    creases = [
        *row.creases(),
        row.edge(0, row.top),
        row.edge(0, lid),
        row.edge(0, row.bottom),
        row.edge(2, row.bottom),
    ]
    for panel in (1, 3):
        cuts += [row.above(panel, 12, 5), row.below(panel, 12, 5)]
        creases += [row.edge(panel, row.top), row.edge(panel, row.bottom)]
    areas = (
        15 * 112,
        *[90 * 120] * 2,
        *[50 * 120] * 2,
        90 * 50,
        12 * 85,
        90 * 24 - 300,
        24 * 80,
        *[12 * 45] * 4,
    )
    # glue and right edge 34 + 104 + 120, lid 100, tuck 26 + 80, bare edge 90, notched flap 48 + 90 + 20,
    # slanted flap 52 + 70, four side flaps 4 · (26 + 40)
    cut = 258 + 100 + 106 + 90 + 158 + 122 + 264
    return Carton(
        "snap bottom", moved(cuts), moved(creases), areas, cut, 480 + 180 + 180 + 200, (90, 50, 120)
    )


def double_wall() -> Carton:
    """Base 140 × 90, walls 35; the long walls fold over into inner walls 34 deep."""
    x0, x1, y0, y1 = 35.0, 175.0, 69.0, 159.0
    cuts = [
        flap((x1, y0), (x0, y0), 69, 0),
        flap((x0, y1), (x1, y1), 69, 0),
        flap((x0, y0), (x0, y1), 35, 0),
        flap((x1, y1), (x1, y0), 35, 0),
    ]
    creases = [box(x0, y0, 140, 90), across(34, x0, x1), across(194, x0, x1)]
    areas = (12600, *[4900] * 2, *[140 * 34] * 2, *[3150] * 2)
    return Carton("double-wall tray", moved(cuts), moved(creases), areas, 876, 740, (140, 90, 35))


def tapered() -> Carton:
    """Base 100 × 60, walls 24 along the slope, 10 wider at each end (slant 26)."""
    x0, x1, y0, y1 = 24.0, 124.0, 24.0, 84.0
    sides = [((x1, y0), (x0, y0)), ((x0, y1), (x1, y1)), ((x0, y0), (x0, y1)), ((x1, y1), (x1, y0))]
    cuts = [flap(a, b, 24, -10) for a, b in sides]
    areas = (6000, *[24 * 110] * 2, *[24 * 70] * 2)
    return Carton("tapered tray", moved(cuts), moved([box(x0, y0, 100, 60)]), areas, 8 * 26 + 240 + 160, 320)


def l_shape() -> Carton:
    """An L of 100 × 100 with arms 40 wide; flaps 15 deep on its left side and its foot."""
    cuts = [
        ((15.0, 0.0), (115.0, 0.0), (115.0, 40.0), (55.0, 40.0), (55.0, 100.0)),
        flap((15, 0), (15, 100), 15, 0),
        flap((15, 100), (55, 100), 15, 0),
    ]
    creases = [((15.0, 0.0), (15.0, 100.0), (55.0, 100.0))]
    return Carton("L-shaped", moved(cuts), moved(creases), (6400, 1500, 600), 260 + 130 + 70, 140)


def window() -> Carton:
    """A sleeve 100, 50, 100, 50 with a window in the first panel and one across the third crease."""
    xs = (100, 150, 250, 300)
    cuts = [box(0, 0, 315, 80), box(30, 20, 40, 30), box(230, 25, 40, 30)]
    creases = [down(x, 0, 80) for x in xs if x != 250] + [down(250, 0, 25), down(250, 55, 80)]
    areas = (8000 - 1200, 4000, 8000 - 600, 4000 - 600, 1200)
    return Carton(
        "window carton", moved(cuts), moved(creases), areas, 790 + 280, 320 - 30, (100, 50, 80), holes=2
    )


def gable() -> Carton:
    """L 100, W 60, body 90: roof 40 with handles 20, gussets to a point (30, 40, 50), flaps 30 below."""
    row = Row(100, 60, 90, 60)
    xs = row.xs
    cuts = [*row.cuts(), down(xs[0], 20, 60), down(xs[4], 20, 60), across(180, xs[0], xs[4])]
    cuts += [down(x, 150, 180) for x in xs]
    creases = (
        row.creases()
        + [across(60, xs[0], xs[4]), across(150, xs[0], xs[4])]
        + [down(x, 20, 60) for x in xs[1:4]]
    )
    for panel in (0, 2):
        cuts.append(flap((xs[panel + 1], 20), (xs[panel], 20), 20, 0))
        creases.append(row.edge(panel, 20))
        gusset = (xs[panel + 1], 60.0), (xs[panel + 1] + 30, 20.0), (xs[panel + 2], 60.0)
        creases.append(gusset)
        cuts.append(row.edge(panel + 1, 20))
    areas = (
        1230,
        *[9000] * 2,
        *[5400] * 2,
        *[3000] * 2,
        *[1800] * 2,
        *[4000] * 2,
        *[2000] * 2,
        *[1200] * 2,
        *[600] * 4,
    )
    # glue and right edge 34 + 74 + 90, roof ends 2 · 40, bottom 320, five slits of 30, handles 2 · 140,
    # gussets 120
    cut = 198 + 80 + 320 + 150 + 280 + 120
    fold = 360 + 320 + 320 + 120 + 200 + 200
    return Carton("gable", moved(cuts), moved(creases), areas, cut, fold, (100, 60, 90))


def prism() -> Carton:
    """Three panels 50 × 120 and a glue flap 12; equilateral ends on the middle panel."""
    rise = 25 * math.sqrt(3)
    top, low = rise, rise + 120
    cuts: list[Chain] = [((50, top), (0, top), (0, low), (50, low)), ((50, top), (75, 0), (100, top))]
    cuts += [((50, low), (75, low + rise), (100, low)), ((100, top), (162, top), (162, low), (100, low))]
    creases: list[Chain] = [down(x, top, low) for x in (50, 100, 150)] + [
        across(y, 50, 100) for y in (top, low)
    ]
    areas = (*[6000] * 3, 1440, *[25 * rise] * 2)
    return Carton("triangular prism", moved(cuts), moved(creases), areas, 200 + 200 + 24 + 240, 460)


def hand_hole() -> Carton:
    """One panel 200 × 150 with a hand hole 25 high, ends round, 80 between the middles of its ends."""
    right = arc(140, 40, 12.5, -math.pi / 2, math.pi / 2)
    left = arc(60, 40, 12.5, math.pi / 2, 3 * math.pi / 2)
    hole = (*right, *left, right[0])
    area = 30000 - 80 * 25 - math.pi * 12.5**2
    return Carton(
        "single panel", moved([box(0, 0, 200, 150), hole]), (), (area,), 700 + 160 + 25 * math.pi, 0, holes=1
    )


CARTONS = (
    tray("telescoping tray", 120, 80, 30, 0, 0, 0),
    tray("lid with glue flaps", 160, 110, 40, 12, 5, 13),
    tuck_carton("straight tuck", 0),
    tuck_carton("reverse tuck", 2),
    strip("sleeve", (100, 35, 100, 35, 15), 60, (100, 35, 60)),
    strip("hexagonal sleeve", (40, 40, 40, 40, 40, 40, 12), 90, None),
    pyramid(),
    mailer(),
    cross(),
    pillow(),
    envelope(),
    snap_bottom(),
    double_wall(),
    tapered(),
    l_shape(),
    window(),
    strip("belly band", (150, 30, 150, 30, 20), 70, (150, 30, 70), tear=(20, 30)),
    gable(),
    prism(),
    hand_hole(),
)
