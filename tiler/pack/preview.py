"""One page of a pack as a picture, exactly as it will print."""

from __future__ import annotations

import io

from PIL import Image

from tiler.flat.limits import pdfium
from tiler.flat.read import Flat
from tiler.marks.shapes import Page
from tiler.pack.writer import Pack, Section, write_pack
from tiler.units import POINTS_PER_MM


def page_picture(page: Page, flat: Flat, pixels_per_mm: float, inside: Flat | None = None) -> Image.Image:
    """Draw one page with its artwork.

    Args:
        page: The page of the pack.
        flat: What its artwork shows.
        pixels_per_mm: Resolution of the picture.
        inside: What its artwork of the inside shows; None when it has none.
    """
    import pypdfium2

    out = io.BytesIO()
    write_pack(Pack("preview", (page,), (Section(page.title, 0, 1),)), flat, out, inside)
    with pdfium():
        document = pypdfium2.PdfDocument(out.getvalue())
        try:
            sheet = document[0]
            picture: Image.Image = sheet.render(scale=pixels_per_mm / POINTS_PER_MM).to_pil().convert("RGB")
            sheet.close()
        finally:
            document.close()
    return picture
