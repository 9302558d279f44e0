"""Shapes as PDF operators, read back and rendered by other libraries."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject, StreamObject

from tiler.geometry import Affine, Point, Rect, Size
from tiler.marks.scale_bar import bar_size, scale_bar
from tiler.marks.shapes import Align, Area, Artwork, Line, Page, Ring, Shape, Words
from tiler.pack.ink import MISSING, draw_pages, printable_text, text_width
from tiler.units import MM_PER_POINT, POINTS_PER_MM

A4 = Size(210, 297)
PIXELS_PER_MM = 10


def page(*shapes: Shape, size: Size = A4) -> Page:
    return Page(size, shapes, "A1", "A1")


def content(data: bytes) -> str:
    return PdfReader(io.BytesIO(data)).pages[0].get_contents().get_data().decode("latin-1")  # type: ignore[union-attr]


def render(data: bytes) -> Image.Image:
    """The first page in grey, 10 pixels for each mm."""
    document = pypdfium2.PdfDocument(data)
    bitmap = document[0].render(scale=PIXELS_PER_MM * MM_PER_POINT, grayscale=True)
    image: Image.Image = bitmap.to_pil().copy()
    bitmap.close()
    document.close()
    return image


def inked(image: Image.Image, below: int = 128) -> Rect:
    """The smallest rectangle round all pixels darker than ``below``, mm."""
    box = image.point([255 if value < below else 0 for value in range(256)]).getbbox()
    assert box is not None
    return Rect.between(*(edge / PIXELS_PER_MM for edge in box))


def close(one: Sequence[float], other: Sequence[float], mm: float = 0.11) -> bool:
    return all(abs(a - b) <= mm for a, b in zip(one, other, strict=True))


def with_flat(data: bytes, flat: Size, operators: str) -> bytes:
    """The drawn pages with a form XObject for the flat, as the writer of the pack adds it."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(data)))
    form = StreamObject()
    form.set_data(operators.encode())
    form.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Form"),
            NameObject("/BBox"): ArrayObject(
                FloatObject(v) for v in (0, 0, flat.width * POINTS_PER_MM, flat.height * POINTS_PER_MM)
            ),
            NameObject("/Resources"): DictionaryObject(),
        }
    )
    reference = writer._add_object(form)
    for drawn in writer.pages:
        resources = drawn[NameObject("/Resources")].get_object()
        assert isinstance(resources, DictionaryObject)
        resources[NameObject("/XObject")] = DictionaryObject({NameObject("/Flat"): reference})
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


@pytest.mark.parametrize("size", [A4, Size(297, 210), Size(215.9, 279.4), Size(148, 210)])
def test_a_page_has_exactly_the_size_of_the_sheet(size: Size) -> None:
    box = PdfReader(io.BytesIO(draw_pages([page(size=size)]))).pages[0].mediabox
    assert float(box.width) == pytest.approx(size.width * 72 / 25.4, abs=1e-4)
    assert float(box.height) == pytest.approx(size.height * 72 / 25.4, abs=1e-4)


def test_letter_is_612_by_792_points() -> None:
    """ASME Y14.1 size A is 8.5 by 11 in; 72 points an inch."""
    box = PdfReader(io.BytesIO(draw_pages([page(size=Size(215.9, 279.4))]))).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((612, 792), abs=1e-4)


def test_the_same_pages_give_the_same_bytes() -> None:
    pages = [page(Words(Point(20, 20), "A2 goes here"), Area(Rect(0, 0, 5, 5).corners, 1, 0.65))] * 2
    assert draw_pages(pages) == draw_pages(pages)


def test_only_the_embedded_type_family_is_used_and_pages_carry_nothing_active() -> None:
    data = draw_pages([page(Words(Point(20, 20), "true size"), Words(Point(20, 40), "B2", 22, True))])
    reader = PdfReader(io.BytesIO(data))
    assert b"Helvetica" not in data
    (drawn,) = reader.pages
    fonts = drawn["/Resources"]["/Font"]  # type: ignore[index]
    names = {font.get_object()["/BaseFont"].split("+")[-1] for font in fonts.values()}
    assert names == {"SourceSansPro-Regular", "SourceSansPro-Semibold"}
    for font in fonts.values():
        assert "/FontFile2" in font.get_object()["/FontDescriptor"].get_object()
    assert "/Annots" not in drawn
    assert "/OpenAction" not in reader.root_object


def test_content_is_compressed_without_ascii_armour() -> None:
    (drawn,) = PdfReader(io.BytesIO(draw_pages([page(Words(Point(20, 20), "B2"))]))).pages
    stream = drawn["/Contents"].get_object()
    assert stream["/Filter"] in ("/FlateDecode", ["/FlateDecode"])  # type: ignore[index]


def test_an_area_lands_where_it_is_meant_on_the_y_down_sheet() -> None:
    image = render(draw_pages([page(Area(Rect(30, 40, 50, 20).corners))]))
    assert close(inked(image), (30, 40, 50, 20))


def test_a_line_is_as_wide_as_it_says() -> None:
    image = render(draw_pages([page(Line((Point(30, 40), Point(130, 40)), 2.0))]))
    assert close(inked(image), (30, 39, 100, 2))


def test_a_dash_has_its_length_in_millimetres() -> None:
    image = render(draw_pages([page(Line((Point(20, 40), Point(60, 40)), 1.0, dash=(6, 4)))]))
    row = [image.getpixel((x, 400)) for x in range(200, 600)]
    assert [len([v for v in row[start : start + 100] if v < 128]) for start in (0, 100, 200)] == [60] * 3  # type: ignore[operator]


def test_a_halo_is_a_white_edge_beneath_the_line() -> None:
    black = Area(Rect(0, 0, 210, 297).corners)
    image = render(draw_pages([page(black, Line((Point(30, 40), Point(130, 40)), 1.0, halo=1.0))]))
    assert image.getpixel((800, 400)) < 60  # type: ignore[operator]
    assert image.getpixel((800, 408)) > 200  # type: ignore[operator]
    assert image.getpixel((800, 420)) < 60  # type: ignore[operator]


def test_a_ring_is_open_and_a_filled_one_is_not() -> None:
    image = render(draw_pages([page(Ring(Point(50, 50), 10, 1), Ring(Point(100, 50), 10, filled=True))]))
    assert image.getpixel((500, 500)) == 255
    assert image.getpixel((1000, 500)) == 0
    assert close(inked(image), (39.5, 39.5, 70.5, 21))


def test_a_veil_lets_the_art_below_show_by_its_share() -> None:
    shapes = (Area(Rect(0, 0, 100, 100).corners), Area(Rect(0, 0, 100, 100).corners, 1, 0.65))
    assert render(draw_pages([page(*shapes)])).getpixel((500, 500)) == pytest.approx(0.65 * 255, abs=3)


@pytest.mark.parametrize("align", ["left", "middle", "right"])
def test_text_stands_left_of_on_or_right_of_its_point(align: Align) -> None:
    size = 72.0
    wide = text_width("HHH", size, True)
    words = Words(Point(100, 100), "HHH", size, True, align=align)
    found = inked(render(draw_pages([page(words)])))
    expected = {"left": 100.0, "middle": 100 - wide / 2, "right": 100 - wide}[align]
    bearing = 0.09 * size * MM_PER_POINT  # side bearing of H, about 0.09 em
    assert found.x == pytest.approx(expected + bearing, abs=0.6)
    assert found.right == pytest.approx(expected + wide - bearing, abs=0.6)
    assert found.bottom == pytest.approx(100, abs=0.15)


def test_text_turned_by_minus_90_reads_upwards() -> None:
    found = inked(render(draw_pages([page(Words(Point(100, 200), "HHHHHH", 36, turn=-90))])))
    assert found.right == pytest.approx(100, abs=0.15)
    assert found.bottom < 200
    assert found.height > 3 * found.width


def test_text_width_agrees_with_the_rendered_text() -> None:
    """PDFium lays the glyphs out on its own; a bar on either side marks what we measured."""
    width = text_width("measure before cutting", 20)
    words = Words(Point(20, 50), "measure before cutting", 20)
    document = pypdfium2.PdfDocument(draw_pages([page(words)]))
    text = document[0].get_textpage()
    left, _, right, _ = text.get_rect(0) if text.count_rects() else (0, 0, 0, 0)
    text.close()
    document.close()
    assert (right - left) * MM_PER_POINT == pytest.approx(width, rel=0.02)


def test_characters_that_the_face_lacks_become_dots_and_never_crash() -> None:
    assert printable_text("flat 灯.pdf") == f"flat {MISSING}.pdf"
    assert printable_text("a\nb\tc") == "a b c"
    data = draw_pages([page(Words(Point(20, 20), "灯\x00\ud800(\\)"), Words(Point(20, 30), ""))])
    assert len(PdfReader(io.BytesIO(data)).pages) == 1
    assert text_width("灯", 10) == text_width(MISSING, 10)


def test_artwork_is_one_clipped_call_of_the_flat() -> None:
    art = Artwork(Rect(10, 20, 100, 150), Affine.shift(10, 20), Size(300, 400))
    text = content(draw_pages([page(art)]))
    numbers = r"([-\d.]+ ){4}"
    assert re.search(rf"q {numbers}re W n ([-\d.]+ ){{6}}cm /Flat Do Q", text)
    assert "gs" not in text


def test_the_flat_appears_at_true_size_upright_and_only_in_its_window() -> None:
    """A black square at x 50..60, y 30..40 mm (y down) of a 300 × 400 mm flat, moved by (-20, +15)."""
    flat = Size(300, 400)
    k = POINTS_PER_MM
    square = f"0 g {50 * k} {(400 - 40) * k} {10 * k} {10 * k} re f {70 * k} {360 * k} {10 * k} {10 * k} re f"
    art = Artwork(Rect(10, 20, 45, 100), Affine.shift(-20, 15), flat)
    image = render(with_flat(draw_pages([page(art)]), flat, square))
    assert close(inked(image), (30, 45, 25, 10))  # the second square is cut by the window at x = 55
    assert image.getpixel((450, 500)) == 255


def test_a_scaled_job_shows_the_flat_smaller() -> None:
    flat = Size(300, 400)
    k = POINTS_PER_MM
    square = f"0 g {100 * k} {300 * k} {40 * k} {40 * k} re f"
    art = Artwork(Rect(0, 0, 150, 200), Affine.stretch(0.5, 0.5), flat)
    assert close(inked(render(with_flat(draw_pages([page(art)]), flat, square))), (50, 30, 20, 20))


def test_lightened_artwork_is_mixed_with_white() -> None:
    flat = Size(100, 100)
    art = Artwork(Rect(0, 0, 100, 100), Affine.shift(0, 0), flat, lighten=0.4)
    data = with_flat(draw_pages([page(art)]), flat, "0 g 0 0 1000 1000 re f")
    assert render(data).getpixel((500, 500)) == pytest.approx(0.4 * 255, abs=3)


def test_a_correction_moves_everything_on_the_page() -> None:
    shapes = (Area(Rect(20, 30, 100, 50).corners),)
    stretch = Affine.stretch(1.01, 0.98)
    assert close(inked(render(draw_pages([page(*shapes)], [stretch]))), (20.2, 29.4, 101, 49))
    assert draw_pages([page(*shapes)], [Affine.shift(0, 0)]) == draw_pages([page(*shapes)])


@pytest.mark.parametrize("upright", [False, True])
def test_a_rendered_scale_bar_measures_100_mm(upright: bool) -> None:
    place = Rect(30.2, 40.4, *bar_size(100, upright))
    found = inked(render(draw_pages([page(*scale_bar(place, upright, text_width))])))
    assert max(found.size) == pytest.approx(100.18, abs=0.15)
