"""The size of a picture on paper: from the file's resolution, or from what the user says."""

from __future__ import annotations

import math
from typing import NamedTuple

from tiler.errors import FlatError, UsageError
from tiler.flat.image_flat import Density, Facts
from tiler.geometry import Size
from tiler.units import MM_PER_INCH, format_number

LOWEST_PPI, HIGHEST_PPI = 20.0, 20_000.0
"""A resolution outside is no statement about size but a default or an error (common practice, no source)."""

ASPECT_TOLERANCE = 0.01
"""A given size may stretch the picture by so much at most; beyond, width and height are likely mixed up."""

ASPECT_NOTICE = 0.001
"""A stretch above this is told: half a millimetre on 500 mm shows where panels meet."""


class TrueSize(NamedTuple):
    """How large the picture is, as seen."""

    size: Size
    """mm."""
    ppi: tuple[float, float]
    """Pixels per inch across and down."""
    warnings: tuple[str, ...]
    """What the user ought to know."""


def believable(x: float, y: float) -> Density | None:
    """The resolution when both numbers (pixels per inch) can be meant, else None."""
    if all(math.isfinite(v) and LOWEST_PPI <= v <= HIGHEST_PPI for v in (x, y)):
        return Density(x, y)
    return None


def stretch_of(x: float, y: float) -> float:
    """Width of a pixel over its height from two densities of any unit; 1 when they say nothing."""
    ratio = y / x if x > 0 and y > 0 else 1.0
    # Fax pictures have pixels up to about 1 : 4 (204 x 49 to the inch), no common picture more.
    return ratio if 0.1 <= ratio <= 10 else 1.0


def true_size(name: str, facts: Facts, ppi: float | None, size: Size | None) -> TrueSize:
    """Decide the size on paper.

    Args:
        name: File name for messages.
        facts: What the file says.
        ppi: Pixels per inch the user asks for, both ways; overrides the file.
        size: mm the user asks for, as seen; overrides the file.

    Raises:
        UsageError: Both are given, or one is not a positive number.
        FlatError: Neither file nor user tells the size, or the size given has another shape.
    """
    across, down = facts.stored[::-1] if facts.lies else facts.stored
    stretch = 1 / facts.stretch if facts.lies else facts.stretch
    if ppi is not None and size is not None:
        raise UsageError("--ppi and --size both say how large the picture is", "give one of them")
    if size is not None:
        return _of_given_size(name, (across, down), stretch, size)
    if ppi is not None:
        return _of_given_ppi((across, down), stretch, ppi)
    if facts.density is None:
        raise FlatError(
            f"{name} does not say how large it is ({across} × {down} pixels without a usable resolution)",
            "add --ppi N or --size WxH in mm",
        )
    density = facts.density.turned() if facts.lies else facts.density
    return TrueSize(_size((across, down), density), (density.x, density.y), ())


def _size(pixels: tuple[int, int], density: Density) -> Size:
    return Size(pixels[0] / density.x * MM_PER_INCH, pixels[1] / density.y * MM_PER_INCH)


def _of_given_ppi(pixels: tuple[int, int], stretch: float, ppi: float) -> TrueSize:
    if not (math.isfinite(ppi) and ppi > 0):
        raise UsageError(f"--ppi {ppi:g} is no resolution", "give pixels per inch, as in --ppi 300")
    notes: tuple[str, ...] = ()
    if abs(stretch - 1) > ASPECT_NOTICE:
        notes = (
            f"the file says that its pixels are {format_number(stretch, 3)} times as wide as high; "
            "--ppi takes them as square, use --size WxH if the picture looks stretched",
        )
    return TrueSize(_size(pixels, Density(ppi, ppi)), (ppi, ppi), notes)


def _of_given_size(name: str, pixels: tuple[int, int], stretch: float, size: Size) -> TrueSize:
    if not all(math.isfinite(side) and side > 0 for side in size):
        raise UsageError(f"--size {size.width:g}x{size.height:g} is no size", "give mm, as in --size 506x426")
    own, given = pixels[0] * stretch / pixels[1], size.width / size.height
    off = abs(given / own - 1)
    shapes = f"{format_number(given, 3)} : 1 instead of {format_number(own, 3)} : 1"
    if off > ASPECT_TOLERANCE:
        raise FlatError(
            f"{name} ({pixels[0]} × {pixels[1]} pixels) has another shape than "
            f"{format_number(size.width)} × {format_number(size.height)} mm (width to height {shapes})",
            "give the size of the whole picture, width first",
        )
    notes = (f"the picture is stretched by {off:.1%} to the size given ({shapes})",)
    ppi = (pixels[0] / size.width * MM_PER_INCH, pixels[1] / size.height * MM_PER_INCH)
    return TrueSize(size, ppi, notes if off > ASPECT_NOTICE else ())
