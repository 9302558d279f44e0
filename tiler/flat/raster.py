"""Pixels of a flat: a picture for the screen, and a mask of where there is ink.

Both are drawn by PDFium from the very form that the pack gets, so that box, turn, UserUnit and layers are
right once and for all.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TypeAlias

from PIL import Image
from pypdf import PdfWriter
from pypdf.generic import DictionaryObject, NameObject, StreamObject

from tiler.errors import FlatError
from tiler.flat.apart import draw_apart
from tiler.flat.copier import Replace
from tiler.flat.form import add_pdf_form, joined_content
from tiler.flat.layers import Key
from tiler.flat.limits import RESAVE, pdfium, raised_limits, readable
from tiler.flat.pdf import PdfFlat, content_streams
from tiler.flat.read import Flat
from tiler.flat.spots import silence_spots
from tiler.flat.stencil import Stencil
from tiler.geometry import Rect
from tiler.units import POINTS_PER_MM

if TYPE_CHECKING:
    import numpy as np

CELL = 1.0
"""Side of one cell of the ink mask, mm."""

WHITE_FROM = 250
"""Channel values from here up count as bare paper: 2 % of a cell, less than a printable hairline fills."""

LONG_CONTENT = 3_000_000
"""Bytes of page content above which a first part of it is tried before the whole."""

FIRST_PART = 1_000_000
"""Bytes of that first part."""

BLOCK = 20
"""Cells along a block: a flat with ink in every block is covered all over, no need to look closer."""

Mask: TypeAlias = "np.ndarray[Any, np.dtype[np.bool_]]"
"""Rows × columns, True where there is ink."""


def render(flat: Flat, window: Rect, pixels_per_mm: float, hidden: Collection[Key] = ()) -> Image.Image:
    """A part of the flat as RGB picture on white paper.

    Args:
        flat: What to show.
        window: The part, true-size millimetres; it may reach beyond the flat (white there).
        pixels_per_mm: Resolution.
        hidden: Layers switched off beside those that the flat itself hides.
    """
    return Preview(flat, hidden).render(window, pixels_per_mm)


class Preview:
    """A flat kept ready for rendering parts of it again and again.

    Args:
        flat: What to show.
        hidden: Layers switched off beside those that the flat itself hides.
        spots: Names of spot colours that do not show.
    """

    def __init__(self, flat: Flat, hidden: Collection[Key] = (), spots: Collection[str] = ()) -> None:
        self._flat = flat
        self._image: Image.Image | None = None
        self._image_scale = 0.0
        source = flat.source
        self._pdf = _one_page(flat, source, hidden, spots=spots) if isinstance(source, PdfFlat) else b""
        self._page: Any = None

    def draws_the_same_as(self, other: Preview) -> bool:
        """True when both come down to the same page, byte for byte; False tells nothing."""
        return bool(self._pdf) and self._pdf == other._pdf

    @contextmanager
    def kept_open(self) -> Iterator[None]:
        """Keep what PDFium has read of the page from one rendering to the next: quicker, with more memory."""
        if not self._pdf:
            yield
            return
        with pdfium(), _told(self._flat):
            document, self._page = _opened(self._pdf)
        try:
            yield
        finally:
            self._page = None
            with pdfium():
                document.close()

    def render(self, window: Rect, pixels_per_mm: float) -> Image.Image:
        """A part of the flat as RGB picture on white paper, see ``render``."""
        if isinstance(self._flat.source, PdfFlat):
            if self._page is None:
                return draw(self._flat, self._pdf, window, pixels_per_mm)
            with pdfium(), _told(self._flat):
                return _drawn(self._page, self._flat, window, pixels_per_mm)
        from tiler.flat.image import thumbnail

        if self._image is None or self._image_scale < pixels_per_mm:
            self._image, self._image_scale = thumbnail(self._flat.source, pixels_per_mm), pixels_per_mm
        whole = self._image
        kx, ky = whole.width / self._flat.size.width, whole.height / self._flat.size.height
        bilinear = Image.Resampling.BILINEAR
        wanted = (max(1, round(window.width * pixels_per_mm)), max(1, round(window.height * pixels_per_mm)))
        box = (window.x * kx, window.y * ky, window.right * kx, window.bottom * ky)
        return whole.transform(wanted, Image.Transform.EXTENT, box, bilinear, fillcolor="white")


def ink_mask(flat: Flat, meanwhile: Callable[[], object] | None = None) -> Mask:
    """Where the flat has ink, in cells of about ``CELL``; a cell with any ink in it is True.

    Large pictures, see ``Stencil``, count as ink all over, and so does a flat with ink in
    every block: that saves decoding what would not change the plan.

    Args:
        flat: The flat.
        meanwhile: Called once while another process draws, where there are two at work.
    """
    if not isinstance(flat.source, PdfFlat):
        from tiler.flat.image import thumbnail

        return _inked(thumbnail(flat.source, 1 / CELL))
    with raised_limits(flat.source.file_size), readable(flat.path.name):
        length = sum(len(getattr(stream, "_data", b"")) for stream in content_streams(flat.source.page))
        content = joined_content(flat.source) if length > LONG_CONTENT // 10 else b""
    if len(content) > LONG_CONTENT:
        mask = _looked_at(
            flat, _one_page(flat, flat.source, (), quick=True, content=_first_part(content)), meanwhile
        )
        if _inked_in_every_block(mask):
            mask[:] = True
            return mask
        meanwhile = None
    del content
    return _looked_at(flat, _one_page(flat, flat.source, (), quick=True), meanwhile)


def prove(flat: Flat) -> None:
    """See whether a PDF flat can be drawn at all with decent time and memory; a few pixels are enough.

    Raises:
        FlatError: It cannot.
    """
    if isinstance(flat.source, PdfFlat):
        draw_apart(flat.path.name, _one_page(flat, flat.source, (), quick=True), 32, 32)


def _looked_at(flat: Flat, pdf: bytes, meanwhile: Callable[[], object] | None = None) -> Mask:
    """Where a one-page PDF of the flat's size has ink; drawn in a process that a hostile file may ruin."""
    width, height = (max(1, round(side / CELL)) for side in flat.size)
    drawn = draw_apart(flat.path.name, pdf, width, height, meanwhile)
    import numpy as np

    pixels = np.frombuffer(drawn, np.uint8)
    blue, green, red = (pixels[channel::4] for channel in range(3))
    darkest = np.minimum(np.minimum(red, green), blue)
    mask: Mask = darkest.reshape(height, width) < WHITE_FROM
    return mask


def _one_page(
    flat: Flat,
    source: PdfFlat,
    hidden: Collection[Key],
    quick: bool = False,
    content: bytes | None = None,
    spots: Collection[str] = (),
) -> bytes:
    """The bytes of ``one_page``; ``quick`` puts black boxes in place of large pictures."""
    replace = Stencil().stand_in if quick else None
    return written(one_page(flat, source, hidden, replace, content, spots))


def one_page(
    flat: Flat,
    source: PdfFlat,
    hidden: Collection[Key] = (),
    replace: Replace | None = None,
    content: bytes | None = None,
    spots: Collection[str] = (),
) -> PdfWriter:
    """A PDF of one page of the flat's exact size that shows the flat.

    Args:
        flat: The flat.
        source: Its page.
        hidden: Layers to switch off.
        replace: Gives stand-ins for streams, see ``Copier``.
        content: Drawn instead of the page's own content.
        spots: Spot colours that do not show.

    Raises:
        FlatError: The page refers to broken objects.
    """
    writer = PdfWriter()
    width, height = flat.size.width * POINTS_PER_MM, flat.size.height * POINTS_PER_MM
    page = writer.add_blank_page(width, height)
    form = add_pdf_form(source, writer, flat.path.name, hidden, replace, content)
    page[NameObject("/Resources")] = DictionaryObject(
        {NameObject("/XObject"): DictionaryObject({NameObject("/Flat"): form})}
    )
    body = StreamObject()
    body._data = b"/Flat Do"
    page[NameObject("/Contents")] = writer._add_object(body)
    silence_spots(writer, spots)
    return writer


def written(writer: PdfWriter) -> bytes:
    """A PDF as the bytes of a file."""
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _first_part(content: bytes) -> bytes:
    """The beginning of a content stream, cut after a whole painting operator."""
    tail = FIRST_PART - 20_000
    painted = list(re.finditer(rb"\s(?:f\*?|S|s|B\*?|b\*?|F)\s", content[tail:FIRST_PART]))
    return content[: tail + painted[-1].end()] if painted else b""


def draw(flat: Flat, pdf: bytes, window: Rect, pixels_per_mm: float) -> Image.Image:
    """A part of the flat as RGB picture on white paper, see ``render``.

    Args:
        flat: What is shown, for its size and for messages.
        pdf: A PDF of one page of the flat's size.
        window: The part, mm.
        pixels_per_mm: Resolution.

    Raises:
        FlatError: PDFium cannot draw it.
    """
    with pdfium(), _told(flat):
        document, page = _opened(pdf)
        try:
            return _drawn(page, flat, window, pixels_per_mm)
        finally:
            document.close()


def _opened(pdf: bytes) -> tuple[Any, Any]:
    """PDFium's document and its only page; closing the document closes both."""
    import pypdfium2 as api

    document = api.PdfDocument(pdf)
    try:
        return document, document[0]
    except api.PdfiumError:
        document.close()
        raise


@contextmanager
def _told(flat: Flat) -> Iterator[None]:
    """Say in one sentence that PDFium cannot draw the flat."""
    import pypdfium2 as api

    try:
        yield
    except api.PdfiumError as problem:
        raise FlatError(f"{flat.path.name}: cannot be drawn ({problem})", RESAVE) from problem


def _drawn(page: Any, flat: Flat, window: Rect, pixels_per_mm: float) -> Image.Image:
    """Render a part of PDFium's page, which has the flat's size."""
    import pypdfium2 as api
    import pypdfium2.raw as raw

    width = max(1, round(window.width * pixels_per_mm))
    height = max(1, round(window.height * pixels_per_mm))
    left, top = round(-window.x * pixels_per_mm), round(-window.y * pixels_per_mm)
    whole = flat.size.scaled(pixels_per_mm)
    bitmap = api.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGRx)
    bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
    extent = round(whole.width), round(whole.height)
    raw.FPDF_RenderPageBitmap(bitmap.raw, page.raw, left, top, *extent, 0, raw.FPDF_PRINTING)
    picture: Image.Image = bitmap.to_pil().convert("RGB")
    return picture


def _inked(picture: Image.Image) -> Mask:
    """True where any channel is darker than bare paper."""
    import numpy as np

    red, green, blue = (np.asarray(channel) for channel in picture.convert("RGB").split())
    mask: Mask = np.minimum(np.minimum(red, green), blue) < WHITE_FROM
    return mask


def _inked_in_every_block(mask: Mask) -> bool:
    """True when no block of ``BLOCK`` cells is without ink."""
    import numpy as np

    rows = np.logical_or.reduceat(mask, np.arange(0, mask.shape[0], BLOCK), axis=0)
    return bool(np.logical_or.reduceat(rows, np.arange(0, mask.shape[1], BLOCK), axis=1).all())
