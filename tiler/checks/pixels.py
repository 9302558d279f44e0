"""A rendered flat to take samples from."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image

from tiler.geometry import Rect

Values = npt.NDArray[np.uint8]

INK_FROM = 10
"""A channel this far below white counts as ink: 4 % of a tint, above the noise of a JPEG's white."""

_WEIGHTS = np.array([0.2126, 0.7152, 0.0722])
"""Share of red, green and blue in lightness (ITU-R BT.709)."""


class Pixels:
    """A picture of a part of the flat.

    Args:
        picture: RGB.
        area: What it shows, flat millimetres.
        pixels_per_mm: Its resolution.
    """

    def __init__(self, picture: Image.Image, area: Rect, pixels_per_mm: float) -> None:
        self._picture = picture
        self.values: Values = np.asarray(picture.convert("RGB"))
        self.area = area
        self.pixels_per_mm = pixels_per_mm

    @cached_property
    def grey(self) -> Values:
        """Rows × columns of lightness, 0 black to 255 white."""
        return np.asarray(self._picture.convert("L"))

    def span(self, box: Rect) -> tuple[slice, slice]:
        """Rows and columns of a box, as far as they are there and at least one of each."""
        rows, columns = self.values.shape[:2]
        k = self.pixels_per_mm
        left, right = (_index((x - self.area.x) * k, columns) for x in (box.x, box.right))
        top, bottom = (_index((y - self.area.y) * k, rows) for y in (box.y, box.bottom))
        return slice(top, max(bottom, top + 1)), slice(left, max(right, left + 1))

    def crop(self, box: Rect) -> Values:
        """The pixels of a box, as far as they are there: rows × columns × 3."""
        rows, columns = self.span(box)
        return self.values[rows, columns]

    def lightness_around(self, box: Rect, width: float) -> float:
        """The usual lightness in a frame of ``width`` mm round a box; 0 is black, 1 is white."""
        outer = box.grown(width)
        strips = (
            Rect.between(outer.x, outer.y, outer.right, box.y),
            Rect.between(outer.x, box.bottom, outer.right, outer.bottom),
            Rect.between(outer.x, box.y, box.x, box.bottom),
            Rect.between(box.right, box.y, outer.right, box.bottom),
        )
        parts = [self.crop(strip).reshape(-1, 3) for strip in strips if strip.overlaps(self.area)]
        return lightness(np.median(np.concatenate(parts), axis=0)) if parts else 1.0

    def at(self, places: npt.NDArray[np.float64]) -> Values:
        """The pixels at places of shape (…, 2), flat millimetres; white beyond the picture."""
        rows, columns = self.values.shape[:2]
        x = np.floor((places[..., 0] - self.area.x) * self.pixels_per_mm).astype(np.int64)
        y = np.floor((places[..., 1] - self.area.y) * self.pixels_per_mm).astype(np.int64)
        inside = (x >= 0) & (x < columns) & (y >= 0) & (y < rows)
        found = self.values[np.clip(y, 0, rows - 1), np.clip(x, 0, columns - 1)].copy()
        found[~inside] = 255
        return found


def is_inked(values: Values) -> npt.NDArray[np.bool_]:
    """True for pixels that are not bare paper; the last axis holds the channels."""
    inked: npt.NDArray[np.bool_] = values.min(axis=-1) <= 255 - INK_FROM
    return inked


def lightness(colour: Any) -> float:
    """Of a colour of 0 to 255 a channel; 0 is black, 1 is white."""
    return float(np.asarray(colour, dtype=np.float64) @ _WEIGHTS) / 255


def _index(value: float, limit: int) -> int:
    return min(max(0, round(value)), limit)
