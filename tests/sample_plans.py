"""Plans built by hand, so that marks and pages can be tested without the planner.

The job is always some part of the invented "Heronwick field lamp" gift box.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from itertools import pairwise

from tiler.geometry import Margins, Point, Rect, Size
from tiler.marks.facts import Facts
from tiler.plan.sheet import UNKNOWN_PRINTER, Sheet
from tiler.plan.tile import ALLOWANCE, EDGE_BAND, Plan, Seam, Tile, tile_label

A4 = Sheet("iso_a4_210x297mm", Size(210, 297))
A3 = Sheet("iso_a3_297x420mm", Size(297, 420))
A5 = Sheet("iso_a5_148x210mm", Size(148, 210))
LETTER = Sheet("na_letter_8.5x11in", Size(215.9, 279.4))


def strips_plan(
    heights: list[float],
    widths: list[list[float]],
    sheet: Sheet = A4,
    landscape: tuple[bool, ...] = (),
    starts: tuple[float, ...] = (),
    margins: Margins = UNKNOWN_PRINTER,
    overlap: float = 12.0,
    down: bool = False,
) -> Plan:
    """A plan of strips.

    Args:
        heights: Of the strips (their widths when ``down``), mm.
        widths: Of the faces in each strip (their heights when ``down``), mm.
        sheet: Paper.
        landscape: Which strips lie on their long side; none when empty.
        starts: Where each strip begins across, 0 when empty, mm.
        margins: Unprintable edges.
        overlap: Width of a tab, mm.
        down: True for strips that are columns.
    """
    faces: list[tuple[int, int, Rect]] = []
    top = 0.0
    for strip, (height, row) in enumerate(zip(heights, widths, strict=True)):
        left = starts[strip] if starts else 0.0
        for order, width in enumerate(row):
            face = Rect(top, left, height, width) if down else Rect(left, top, width, height)
            faces.append((strip, order, face))
            left += width
        top += height
    named = [
        (tile_label(order, strip) if down else tile_label(strip, order), strip, order, face)
        for strip, order, face in faces
    ]
    seams = _seams([(label, face) for label, _, _, face in named])
    tiles = tuple(
        _tile(label, strip, order, face, seams, sheet, bool(landscape and landscape[strip]), margins, overlap)
        for label, strip, order, face in named
    )
    flat = Size(max(t.face.right for t in tiles), max(t.face.bottom for t in tiles))
    direction = "down" if down else "across"
    return Plan(flat, sheet, margins, overlap, "strips", direction, tiles, seams, len(tiles))


def _seams(faces: list[tuple[str, Rect]]) -> tuple[Seam, ...]:
    seams = []
    for lower, a in faces:
        for upper, b in faces:
            top, bottom = max(a.y, b.y), min(a.bottom, b.bottom)
            left, right = max(a.x, b.x), min(a.right, b.right)
            if abs(a.right - b.x) < 1e-6 and bottom - top > 1e-6:
                seams.append(Seam(Point(b.x, top), Point(b.x, bottom), upper, lower))
            elif abs(a.bottom - b.y) < 1e-6 and right - left > 1e-6:
                seams.append(Seam(Point(left, b.y), Point(right, b.y), upper, lower))
    return tuple(seams)


def _tile(
    label: str,
    strip: int,
    order: int,
    face: Rect,
    seams: tuple[Seam, ...],
    sheet: Sheet,
    landscape: bool,
    margins: Margins,
    overlap: float,
) -> Tile:
    right = tuple(s.upper for s in seams if s.lower == label and s.is_upright)
    below = tuple(s.upper for s in seams if s.lower == label and not s.is_upright)
    left = tuple(s.lower for s in seams if s.upper == label and s.is_upright)
    above = tuple(s.lower for s in seams if s.upper == label and not s.is_upright)
    window = face.inset(
        -ALLOWANCE if left else 0,
        -ALLOWANCE if above else 0,
        -overlap if right else 0,
        -overlap if below else 0,
    )
    printable = sheet.printable(margins, landscape)
    needed = window.inset(0, 0, 0 if right else -EDGE_BAND, 0 if below else -EDGE_BAND)
    assert needed.width <= printable.width + 1e-6, (label, needed, printable)
    assert needed.height <= printable.height + 1e-6, (label, needed, printable)
    place = Point(printable.x, printable.y)
    return Tile(
        label, strip, order, face, window, landscape, sheet.oriented(landscape), printable, place,
        right, below, left, above,
    )  # fmt: skip


def facts_for(plan: Plan, scale: float = 1.0, file_name: str = "heronwick-lid.pdf") -> Facts:
    """Plausible facts of a plan."""
    return Facts(
        file_name=file_name,
        page=1,
        box="bleed",
        revision="7c1f03ab",
        date="2026-01-05",
        scale=scale,
        flat=plan.flat.scaled(1 / scale),
        sheet_count=len(plan.tiles),
    )


def one_tile() -> Plan:
    """A flat that fits on one A4 sheet."""
    return strips_plan([180.0], [[150.0]])


def grid_2x3(sheet: Sheet = A4) -> Plan:
    """Two strips of three tiles with true crosses."""
    return strips_plan([240.0, 186.0], [[168.0, 168.0, 170.0]] * 2, sheet)


def mixed_strips() -> Plan:
    """A cross-shaped flat: a narrow strip, a wide landscape one with its own seams, a narrow one."""
    return strips_plan(
        [120.0, 160.0, 150.0],
        [[150.0], [240.0, 226.0], [120.0, 100.0]],
        landscape=(False, True, False),
        starts=(150.0, 0.0, 120.0),
    )


def columns() -> Plan:
    """Two columns, each joined from top to bottom."""
    return strips_plan([170.0, 175.0], [[240.0, 180.0], [200.0, 220.0]], down=True)


def many_tiles() -> Plan:
    """120 tiles."""
    return strips_plan([200.0] * 10, [[150.0] * 12] * 10)


ALL_PLANS: dict[str, Callable[[], Plan]] = {
    "one tile": one_tile,
    "two by three": grid_2x3,
    "letter": lambda: grid_2x3(LETTER),
    "mixed strips": mixed_strips,
    "columns": columns,
    "A5": lambda: strips_plan([140.0, 150.0], [[100.0, 110.0]] * 2, A5),
    "filled to the last tenth": lambda: strips_plan([265.8, 267.8], [[185.0, 182.0, 187.0]] * 2),
    "narrow tabs": lambda: strips_plan([240.0, 186.0], [[168.0, 170.0]] * 2, overlap=8.0),
    "small landscape": lambda: strips_plan([90.0, 95.0], [[150.0, 160.0]] * 2, A5, (True, True)),
}
"""Every plan that the rules of the sheet are tested on."""


def seam_pairs(plan: Plan) -> tuple[tuple[Seam, Tile, Tile], ...]:
    """Each seam with its lower and upper tile."""
    return tuple((seam, plan.tile(seam.lower), plan.tile(seam.upper)) for seam in plan.seams)


def neighbouring(plan: Plan) -> bool:
    """True when every pair of following tiles in each strip shares a seam."""
    joined = {(seam.lower, seam.upper) for seam in plan.seams}
    return all((a.label, b.label) in joined for strip in plan.strips for a, b in pairwise(strip))


def random_plan(seed: int) -> Plan:
    """Some plan or other, the same for the same seed; faces may be as narrow as a weak one (32 mm)."""
    dice = random.Random(seed)
    sheet = dice.choice([A5, A4, LETTER, A3])
    overlap = dice.choice([6.0, 8.0, 10.0, 12.0, 15.0, 20.0])
    margins = Margins(*(round(dice.uniform(3, 15), 1) for _ in range(4)))
    down = dice.random() < 0.4
    landscape = tuple(dice.random() < 0.4 for _ in range(3))
    heights, widths = [], []
    for lies in landscape[: dice.randint(1, 3)]:
        paper = sheet.printable(margins, lies)
        spare = max(overlap, EDGE_BAND) + ALLOWANCE
        tall, wide = (paper.width, paper.height) if down else (paper.height, paper.width)
        heights.append(round(dice.uniform(32, tall - spare), 1))
        widths.append([round(dice.uniform(32, wide - spare), 1) for _ in range(dice.randint(1, 3))])
    starts = tuple(dice.choice([0.0, 0.0, 13.0]) for _ in heights)
    return strips_plan(heights, widths, sheet, landscape, starts, margins, overlap, down)
