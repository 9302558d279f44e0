"""A flat for the screen: coarse pictures come from reduced photographs, sharp ones from the flat itself."""

from __future__ import annotations

from PIL import Image

from tiler.flat.pdf import PdfFlat
from tiler.flat.raster import Preview, draw, one_page, written
from tiler.flat.read import Flat
from tiler.flat.reduced import reduced
from tiler.geometry import Rect

SPARE = 2
"""Samples of a reduced photograph for one point shown, at least, even where it fills the flat: enough for one
that is cropped to half its sides."""


class ScreenPreview:
    """A flat kept ready for showing it again and again.

    Its colours and shapes are those of ``Preview``, but for rounding; nothing that is measured may use it.
    Only one thread may render at a time.

    Args:
        flat: What to show.

    Raises:
        FlatError: The page refers to broken objects.
    """

    def __init__(self, flat: Flat) -> None:
        self._flat = flat
        # Read whole here and now, for later another thread may read the same file.
        self._writer = one_page(flat, flat.source) if isinstance(flat.source, PdfFlat) else None
        self._preview = Preview(flat) if self._writer is None else None
        self._pdf = b""

    def render(self, window: Rect, pixels_per_mm: float) -> Image.Image:
        """A part of the flat as RGB picture on white paper, see ``tiler.flat.raster.render``."""
        if self._writer is None:
            assert self._preview is not None
            return self._preview.render(window, pixels_per_mm)
        with reduced(self._writer, round(SPARE * max(self._flat.size) * pixels_per_mm)) as is_reduced:
            small = written(self._writer) if is_reduced else b""
        if small:
            return draw(self._flat, small, window, pixels_per_mm)
        self._pdf = self._pdf or written(self._writer)
        return draw(self._flat, self._pdf, window, pixels_per_mm)
