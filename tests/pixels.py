"""Pictures of PDF pages by PDFium, and how much two pictures differ."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
from PIL import Image


def picture_of(path: Path, size: tuple[int, int], page: int = 1, password: str | None = None) -> Image.Image:
    """A whole page, as PDFium shows it when printing, stretched to ``size`` pixels; without annotations."""
    document = pdfium.PdfDocument(path, password=password)
    shown = document[page - 1]
    try:
        bitmap = pdfium.PdfBitmap.new_native(*size, raw.FPDFBitmap_BGRx)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, *size)
        raw.FPDF_RenderPageBitmap(bitmap.raw, shown.raw, 0, 0, *size, 0, raw.FPDF_PRINTING)
        picture: Image.Image = bitmap.to_pil().convert("RGB")
        return picture
    finally:
        document.close()


def difference(first: Image.Image, second: Image.Image) -> float:
    """Mean absolute difference of the channels, 0 to 255."""
    assert first.size == second.size
    return float(np.abs(np.asarray(first, np.int16) - np.asarray(second, np.int16)).mean())
