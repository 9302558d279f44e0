"""Sheets that strips need against a plain grid and against the bound that area alone sets."""

from __future__ import annotations

import math
import statistics

from tests.structure.carton_shapes import CARTONS
from tests.structure.cartons import Carton
from tests.structure.encodings import by_hand
from tiler.geometry import Rect, Size
from tiler.plan.make import make_plan
from tiler.plan.region import Region
from tiler.plan.request import DEFAULT_OVERLAP, Avoid, PlanRequest
from tiler.plan.sheet import UNKNOWN_PRINTER, Sheet
from tiler.plan.tile import EDGE_BAND
from tiler.printers.sheets import find_sheet
from tiler.structure.structure import read_structure

SCALES = (1.0, 1.8, 2.6)
"""Each flat as drawn, and as the boxes of larger things."""

BLEED = 3.0
"""mm round the panels."""


def planned(carton: Carton, scale: float, sheet: Sheet) -> tuple[int, int, int]:
    """Sheets in strips, in a plain grid, and the area bound."""
    structure = read_structure(by_hand(carton))
    size = Size(*carton.extent).scaled(scale)
    rings = [[(x * scale, y * scale) for x, y in ring] for ring in structure.polygons]
    region = Region.from_polygons(rings, size, BLEED)
    creases = tuple(Avoid("crease", _thin(*ends).scaled(scale)) for ends in structure.crease_segments)
    plan = make_plan(PlanRequest(size, region, sheet, UNKNOWN_PRINTER, DEFAULT_OVERLAP, avoid=creases))
    area = sheet.printable(UNKNOWN_PRINTER, landscape=False)
    largest = (area.width - EDGE_BAND) * (area.height - EDGE_BAND)
    covered = float(region.mask.sum()) * region.cell.width * region.cell.height
    return len(plan.tiles), plan.grid_sheets, math.ceil(covered / largest)


def _thin(x1: float, y1: float, x2: float, y2: float) -> Rect:
    """A crease as the rectangle between its ends."""
    return Rect.between(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


def main() -> None:
    """Print the table and the mean saving."""
    sheets = {"A4": find_sheet("A4"), "letter": find_sheet("letter")}
    print(f"{'flat':<26} {'mm':>13}   {'A4: strips grid bound':>22}   {'letter: strips grid bound':>26}")
    savings = []
    for scale in SCALES:
        for carton in CARTONS:
            counts = {name: planned(carton, scale, sheet) for name, sheet in sheets.items()}
            savings += [1 - strips / grid for strips, grid, _ in counts.values()]
            width, height = (round(side * scale) for side in carton.extent)
            cells = "   ".join(f"{s:>14} {g:>4} {b:>5}" for s, g, b in counts.values())
            print(f"{carton.name:<26} {width:>6} × {height:<5} {cells}")
    fewer = sum(1 for saving in savings if saving > 0)
    print(
        f"mean saving {100 * statistics.mean(savings):.1f} % over {len(savings)} plans; "
        f"{fewer} of them need fewer sheets, none needs more: {min(savings) >= 0}"
    )


if __name__ == "__main__":
    main()
