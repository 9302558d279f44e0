"""A flat for the screen: coarse pictures come from reduced photographs, sharp ones from the flat itself."""

from __future__ import annotations

from PIL import Image

from tiler.flat.pdf import PdfFlat
from tiler.flat.raster import Preview, draw, one_page, written
from tiler.flat.read import Flat
from tiler.flat.reduced import photographs, reduced
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
        self._flat, self._pdf = flat, b""
        self._preview = None if isinstance(flat.source, PdfFlat) else Preview(flat)
        if isinstance(flat.source, PdfFlat):
            # Read whole here and now, for later another thread may read the same file.
            self._writer = one_page(flat, flat.source)
            self._photographs = photographs(self._writer)
            if not self._photographs:
                self._pdf = written(self._writer)
                del self._writer

    def render(self, window: Rect, pixels_per_mm: float) -> Image.Image:
        """A part of the flat as RGB picture on white paper, see ``tiler.flat.raster.render``."""
        if self._preview is not None:
            return self._preview.render(window, pixels_per_mm)
        if self._photographs:
            with reduced(
                self._photographs, round(SPARE * max(self._flat.size) * pixels_per_mm)
            ) as is_reduced:
                coarse = written(self._writer) if is_reduced else b""
            if coarse:
                return draw(self._flat, coarse, window, pixels_per_mm)
        self._pdf = self._pdf or written(self._writer)
        return draw(self._flat, self._pdf, window, pixels_per_mm)
