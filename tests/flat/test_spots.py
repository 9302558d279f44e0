"""Spot colours left out of a picture of the flat."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject, NameObject, StreamObject
from reportlab.lib.colors import CMYKColorSep
from reportlab.pdfgen.canvas import Canvas

from tiler.flat.raster import Preview
from tiler.flat.read import Wanted, read_flat
from tiler.geometry import Rect
from tiler.units import POINTS_PER_MM

WHITE = (255, 255, 255)


def flat_with(path: Path, is_nested: bool) -> Path:
    """A yellow field, a line in the spot colour "Cut" across it and a bar in the spot colour "Foil" below."""
    canvas = Canvas(str(path), (60 * POINTS_PER_MM, 40 * POINTS_PER_MM), invariant=1)
    canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
    canvas.setFillColorCMYK(0, 0, 1, 0)
    canvas.rect(0, 20, 60, 20, stroke=0, fill=1)
    canvas.setStrokeColor(CMYKColorSep(0, 1, 0, 0, spotName="Cut"))
    canvas.setLineWidth(2)
    canvas.line(0, 30, 60, 30)
    canvas.setFillColor(CMYKColorSep(1, 0, 0, 0, spotName="Foil"))
    canvas.rect(0, 5, 60, 5, stroke=0, fill=1)
    canvas.save()
    if is_nested:
        _nest(path)
    return path


def _nest(path: Path) -> None:
    """Put all that the page draws into a form with the page's own resources."""
    writer = PdfWriter(clone_from=PdfReader(path))
    page = writer.pages[0]
    form, body = StreamObject(), StreamObject()
    content = page.get_contents()
    assert content is not None
    form.set_data(content.get_data())
    form[NameObject("/Subtype")] = NameObject("/Form")
    form[NameObject("/BBox")] = page.mediabox
    form[NameObject("/Resources")] = page["/Resources"]
    body.set_data(b"/Art Do")
    table = DictionaryObject({NameObject("/Art"): writer._add_object(form)})
    page[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): table})
    page[NameObject("/Contents")] = writer._add_object(body)
    writer.write(path)


@pytest.mark.parametrize("is_nested", [False, True])
def test_a_silenced_spot_colour_uncovers_what_lies_under_it(tmp_path: Path, is_nested: bool) -> None:
    """ISO 32000-2, 8.6.6.4: the colorant None leaves no mark; PDFium is the judge of the picture."""
    flat = read_flat(flat_with(tmp_path / "a.pdf", is_nested), Wanted())
    whole = Rect(0, 0, *flat.size)
    drawn = Preview(flat).render(whole, 4)
    bare = Preview(flat, spots=("Cut",)).render(whole, 4)
    under_line, under_bar, ground = (120, 40), (120, 130), (120, 10)
    assert drawn.getpixel(under_line) != drawn.getpixel(ground)
    assert bare.getpixel(under_line) == bare.getpixel(ground) == drawn.getpixel(ground)
    assert bare.getpixel(under_bar) == drawn.getpixel(under_bar) != WHITE, "other spot colours stay"


def test_the_flat_itself_is_not_touched(tmp_path: Path) -> None:
    flat = read_flat(flat_with(tmp_path / "a.pdf", False), Wanted())
    whole = Rect(0, 0, *flat.size)
    before = Preview(flat).render(whole, 2).tobytes()
    assert Preview(flat, spots=("Cut", "Foil")).render(whole, 2).tobytes() != before
    assert Preview(flat).render(whole, 2).tobytes() == before
