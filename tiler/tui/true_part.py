"""Which part of a page a window of cells shows in true pixels, and that part drawn.

The picture always fills whole cells, and all of those that the page in half cells takes too: that one is
higher or wider where a cell is not just twice as high as wide. What lies beside the page is ground.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from PIL import Image

from tiler.flat.limits import pdfium
from tiler.tui.viewport import Viewport
from tiler.tui.work import Printed
from tiler.units import POINTS_PER_MM

Cell = tuple[int, int]
"""Width and height of a cell, px."""

Rgb = tuple[int, int, int]

HAIR = 1e-6
"""Pixels by which a length may be longer and still need no pixel more."""


@dataclass(frozen=True)
class Part:
    """A picture of a part of a page."""

    column: int
    row: int
    """The cell of the window in which its top-left corner lies."""
    width: int
    height: int
    """Its size, px: whole cells."""
    left: int
    top: int
    """Where the page's own corner lies in it, px; negative when the page begins outside."""
    density: float
    """Pixels in a millimetre."""


def part_of(view: Viewport, cell: Cell) -> Part | None:
    """The part of the page that a window shows; None when it shows nothing of it."""
    across, down = cell
    density = view.density * min(across, down / 2)
    middle = view.window.centre
    left = round(view.columns * across / 2 - middle.x * density)
    top = round(view.rows * down / 2 - middle.y * density)
    right = left + math.ceil(view.page.width * density - HAIR)
    bottom = top + math.ceil(view.page.height * density - HAIR)
    x0, y0 = (round(value) for value in view.point(0, 0))
    x1, y1 = (round(value) for value in view.point(view.page.width, view.page.height))
    first, last = max(0, min(left // across, x0)), min(view.columns, max(-(-right // across), x1))
    above, below = max(0, min(top // down, y0 // 2)), min(view.rows, max(-(-bottom // down), -(-y1 // 2)))
    if first >= last or above >= below:
        return None
    return Part(
        first,
        above,
        (last - first) * across,
        (below - above) * down,
        left - first * across,
        top - above * down,
        density,
    )


def drawn_part(printed: Printed, number: int, part: Part, ground: Rgb) -> Image.Image:
    """A part of a page of a pack in memory, counted from 0, as RGB picture; only that part is rendered."""
    import pypdfium2

    picture = Image.new("RGB", (part.width, part.height), ground)
    size = printed.sizes[number]
    whole = (math.ceil(size.width * part.density - HAIR), math.ceil(size.height * part.density - HAIR))
    x0, y0 = max(0, -part.left), max(0, -part.top)
    x1, y1 = min(whole[0], part.width - part.left), min(whole[1], part.height - part.top)
    scale = part.density / POINTS_PER_MM
    with pdfium():
        document = pypdfium2.PdfDocument(printed.data)
        try:
            page = document[number]
            width, height = math.ceil(page.get_width() * scale), math.ceil(page.get_height() * scale)
            cuts = (x0, height - y1, width - x1, y0)
            crop = tuple(
                max(0.0, cut - 0.5) / scale for cut in cuts
            )  # it is rounded up to whole pixels again
            shown = page.render(scale=scale, crop=crop).to_pil().convert("RGB")
            page.close()
        finally:
            document.close()
    picture.paste(shown.crop((0, 0, x1 - x0, y1 - y0)), (max(0, part.left), max(0, part.top)))
    return picture
