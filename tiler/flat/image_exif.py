"""Orientation and resolution out of EXIF data (Exif 2.32, CIPA DC-008)."""

from __future__ import annotations

import struct
from typing import Any, NamedTuple

from PIL import Image

from tiler.flat.image_flat import Density
from tiler.flat.image_size import believable
from tiler.units import MM_PER_INCH

_ORIENTATION, _X_RESOLUTION, _Y_RESOLUTION, _UNIT = 274, 282, 283, 296
_PER_INCH = {2: 1.0, 3: MM_PER_INCH / 10}
"""Resolution unit 2 is the inch, 3 the centimetre; TIFF 6.0 adds 1, no unit."""


class ExifFacts(NamedTuple):
    """What EXIF says about how the picture is seen."""

    orientation: int
    """1 to 8; 1 when not told."""
    density: Density | None
    """Resolution as stored, None when not told or not believable."""
    doubts: tuple[str, ...]
    """What to tell when this density is used."""
    warnings: tuple[str, ...]
    """What to tell in any case."""


def exif_facts(block: bytes) -> ExifFacts:
    """Read an EXIF block, with or without its ``Exif`` heading; a damaged one is told, not fatal."""
    if not block:
        return ExifFacts(1, None, (), ())
    tags = Image.Exif()
    try:
        tags.load(block)
        orientation, density = orientation_of(tags), density_of(tags)
    except (OSError, ValueError, SyntaxError, EOFError, LookupError, TypeError, struct.error):
        return ExifFacts(1, None, (), ("the EXIF data are damaged: check that the picture stands upright",))
    doubts: tuple[str, ...] = ()
    if density == Density(72, 72):
        # Exif 2.32, 4.6.4: "when the image resolution is unknown, 72 [dpi] is designated"
        doubts = (
            "72 ppi in EXIF often means that nothing is known: check the size, or give --ppi or --size",
        )
    return ExifFacts(orientation, density, doubts, ())


def orientation_of(tags: Any) -> int:
    """The orientation in a mapping of TIFF tags; 1 when it is missing or senseless."""
    value = tags.get(_ORIENTATION)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def density_of(tags: Any) -> Density | None:
    """The resolution in a mapping of TIFF tags, None when missing, without unit or not believable."""
    x, y = _number(tags.get(_X_RESOLUTION)), _number(tags.get(_Y_RESOLUTION))
    per_inch = _PER_INCH.get(tags.get(_UNIT, 2))  # both standards: inch when the unit is missing
    if per_inch is None:
        return None
    return believable(x * per_inch, (y or x) * per_inch)


def shape_of(tags: Any) -> tuple[float, float]:
    """The two resolutions as bare numbers, for the shape of a pixel; zeros when not told."""
    return _number(tags.get(_X_RESOLUTION)), _number(tags.get(_Y_RESOLUTION))


def _number(value: Any) -> float:
    try:
        return float(value)
    except (TypeError, ValueError, ZeroDivisionError):
        return 0.0
