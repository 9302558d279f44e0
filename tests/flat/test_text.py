"""What is read on a flat, and how large it is said to be."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
from PIL import Image
from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    StreamObject,
    TextStringObject,
)
from reportlab.pdfgen.canvas import Canvas

from tests.flat.text_art import MM, SANS, nested, page, words
from tests.flats import add_layer
from tiler.flat.raster import render
from tiler.flat.read import Wanted, read_flat
from tiler.flat.text import TextRun, text_runs
from tiler.geometry import Rect

POINT = 25.4 / 72


def read(path: Path) -> tuple[TextRun, ...]:
    return text_runs(read_flat(path, Wanted()))


def glyph_top(letter: str) -> float:
    """Height of a letter of the face, em, by fontTools."""
    font = TTFont(SANS)
    glyph = font["glyf"][font.getBestCmap()[ord(letter)]]
    return float(glyph.yMax) / float(font["head"].unitsPerEm)


@pytest.mark.parametrize("size", [4.5, 7, 31])
def test_heights_are_those_of_the_font_file(tmp_path: Path, size: float) -> None:
    """Against the outlines as fontTools reads them from the same font file."""
    (run,) = read(page(tmp_path / "a.pdf", lambda c: words(c, "Heronwick box", 20, 50, size)))
    assert run.size == pytest.approx(size, rel=1e-4)
    assert run.x_height == pytest.approx(glyph_top("x") * size * POINT, rel=0.002)
    assert run.cap_height == pytest.approx(glyph_top("H") * size * POINT, rel=0.002)
    assert run.embedded
    assert run.font == "SourceSansPro-Regular"


def test_round_letters_alone_give_the_height_without_their_overshoot(tmp_path: Path) -> None:
    (run,) = read(page(tmp_path / "a.pdf", lambda c: words(c, "coco CO", 20, 50, 10)))
    assert run.x_height == pytest.approx(glyph_top("x") * 10 * POINT, rel=0.005)
    assert run.cap_height == pytest.approx(glyph_top("H") * 10 * POINT, rel=0.005)


def test_capitals_alone_tell_nothing_of_the_small_letters(tmp_path: Path) -> None:
    (run,) = read(page(tmp_path / "a.pdf", lambda c: words(c, "HERONWICK", 20, 50, 10)))
    assert run.x_height is None
    assert run.cap_height is not None


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
@pytest.mark.parametrize("user_unit", [1.0, 2.5])
def test_size_and_place_hold_on_turned_pages_and_in_nested_forms(
    tmp_path: Path, rotate: int, user_unit: float
) -> None:
    """The ink box is held against the pixels that PDFium renders."""
    path = page(
        tmp_path / "a.pdf",
        lambda c: nested(c, lambda inner: words(inner, "lamp oil Hx", 0, 0, 20), (0.5, 0.8, 1.5), turn=30),
        rotate=rotate,
        user_unit=user_unit,
    )
    flat = read_flat(path, Wanted())
    (run,) = text_runs(flat)
    assert run.text == "lamp oil Hx"
    assert run.size == pytest.approx(20 * 0.5 * 0.8 * 1.5 * user_unit, rel=1e-3)
    assert run.angle == pytest.approx((rotate - 30 + 180) % 360 - 180, abs=0.01)
    assert run.x_height == pytest.approx(glyph_top("x") * run.size * POINT, rel=0.002)
    assert_ink_fills(run.box, render(flat, Rect(0, 0, *flat.size), 5), 5, slack=0.35 * user_unit)


def assert_ink_fills(box: Rect, picture: Image.Image, pixels_per_mm: float, slack: float) -> None:
    """The picture's ink reaches to the box's edges and no further, give or take ``slack`` mm."""
    rows, columns = np.nonzero(np.asarray(picture.convert("L")) < 200)
    ink = [value / pixels_per_mm for value in (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1)]
    assert ink == pytest.approx([box.x, box.y, box.right, box.bottom], abs=slack)


def test_words_on_one_line_are_one_run_and_another_size_or_colour_is_another(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        words(canvas, "Carry ", 20, 50, 10)
        end = 20 + canvas.stringWidth("Carry ", "Sans", 10) / MM
        words(canvas, "it low", end, 50, 10)
        words(canvas, "far away", 120, 50, 10)
        words(canvas, "small", 20, 40, 6)
        canvas.setFillColorRGB(1, 0, 0)
        words(canvas, "red", 20 + canvas.stringWidth("small", "Sans", 6) / MM, 40, 6)

    runs = read(page(tmp_path / "a.pdf", draw))
    assert [run.text for run in runs] == ["Carry it low", "far away", "small", "red"]
    assert runs[3].fill == (255, 0, 0)


def test_upright_and_mirrored_words_say_so(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.saveState()
        canvas.translate(50 * MM, 20 * MM)
        canvas.rotate(90)
        words(canvas, "reads upwards", 0, 0, 9)
        canvas.restoreState()
        canvas.translate(150 * MM, 60 * MM)
        canvas.scale(-1, 1)
        words(canvas, "seen through", 0, 0, 9)

    upwards, mirrored = read(page(tmp_path / "a.pdf", draw))
    assert upwards.angle == pytest.approx(-90)
    assert not upwards.mirrored
    assert upwards.box.height > 5 * upwards.box.width
    assert mirrored.mirrored


def test_text_that_paints_nothing_is_no_text(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.saveState()
        text = canvas.beginText(20 * MM, 50 * MM)
        text.setFont("Sans", 10)
        text.setTextRenderMode(3)
        text.textLine("invisible")
        canvas.drawText(text)
        canvas.restoreState()
        words(canvas, "beyond the page", 250, 50, 10)
        words(canvas, "seen", 20, 20, 10)

    assert [run.text for run in read(page(tmp_path / "a.pdf", draw))] == ["seen"]


HELLO = b"BT /F1 12 Tf 50 50 Td (hidden) Tj ET"


@pytest.mark.parametrize(("state", "listed"), [("on", True), ("off", False), ("print off", False)])
def test_only_text_of_layers_that_print_is_listed(tmp_path: Path, state: str, listed: bool) -> None:
    path = page(
        tmp_path / "a.pdf",
        lambda c: words(c, "shown", 20, 50, 10, "Helvetica"),
        change=lambda writer: add_layer(writer, "Notes", HELLO, state),
    )
    assert ("hidden" in [run.text for run in read(path)]) is listed


@pytest.mark.parametrize(
    ("policy", "members", "listed"),
    [
        ("AnyOn", "on off", True),
        ("AllOn", "on off", False),
        ("AllOff", "off off", True),
        ("AnyOff", "on on", False),
    ],
)
def test_memberships_decide_as_the_standard_says(
    tmp_path: Path, policy: str, members: str, listed: bool
) -> None:
    """ISO 32000-2, table 97: the policies of an optional content membership."""

    def change(writer: PdfWriter) -> None:
        groups = {state: layer(writer, state) for state in ("on", "off")}
        membership = DictionaryObject(
            {
                NameObject("/Type"): NameObject("/OCMD"),
                NameObject("/P"): NameObject(f"/{policy}"),
                NameObject("/OCGs"): ArrayObject([groups[state] for state in members.split()]),
            }
        )
        default = DictionaryObject({NameObject("/OFF"): ArrayObject([groups["off"]])})
        properties = {NameObject("/OCGs"): ArrayObject(groups.values()), NameObject("/D"): default}
        writer.root_object[NameObject("/OCProperties")] = DictionaryObject(properties)
        first = writer.pages[0]
        resources = first["/Resources"].get_object()
        assert isinstance(resources, DictionaryObject)
        resources[NameObject("/Properties")] = DictionaryObject({NameObject("/M"): membership})
        extra = StreamObject()
        extra._data = b"\nq /OC /M BDC " + HELLO + b" EMC Q"
        old = first.raw_get("/Contents")
        pieces = old.get_object()
        streams = list(pieces) if isinstance(pieces, ArrayObject) else [old]
        first[NameObject("/Contents")] = ArrayObject([*streams, writer._add_object(extra)])

    path = page(tmp_path / "a.pdf", lambda c: words(c, "shown", 20, 50, 10, "Helvetica"), change=change)
    assert ("hidden" in [run.text for run in read(path)]) is listed


def layer(writer: PdfWriter, name: str) -> object:
    """A new layer's reference."""
    entry = {NameObject("/Type"): NameObject("/OCG"), NameObject("/Name"): TextStringObject(name)}
    return writer._add_object(DictionaryObject(entry))


def test_text_in_a_form_of_a_hidden_layer_is_not_listed(tmp_path: Path) -> None:
    def change(writer: PdfWriter) -> None:
        add_layer(writer, "Notes", b"", "off")
        groups = writer.root_object["/OCProperties"]["/OCGs"]  # type: ignore[index]
        form = StreamObject()
        form._data = HELLO
        form[NameObject("/Type")] = NameObject("/XObject")
        form[NameObject("/Subtype")] = NameObject("/Form")
        form[NameObject("/BBox")] = ArrayObject(NumberObject(value) for value in (0, 0, 500, 500))
        form[NameObject("/OC")] = groups[0]
        first = writer.pages[0]
        resources = first["/Resources"].get_object()
        assert isinstance(resources, DictionaryObject)
        form[NameObject("/Resources")] = DictionaryObject({NameObject("/Font"): resources["/Font"]})
        resources[NameObject("/XObject")] = DictionaryObject({NameObject("/X"): writer._add_object(form)})
        extra = StreamObject()
        extra._data = b"\n/X Do"
        pieces = first["/Contents"]
        assert isinstance(pieces, ArrayObject)
        first[NameObject("/Contents")] = ArrayObject([*pieces, writer._add_object(extra)])

    path = page(tmp_path / "a.pdf", lambda c: words(c, "shown", 20, 50, 10, "Helvetica"), change=change)
    assert [run.text for run in read(path)] == ["shown"]


def test_a_font_that_is_not_in_the_file_is_told(tmp_path: Path) -> None:
    (run,) = read(page(tmp_path / "a.pdf", lambda c: words(c, "plain", 20, 50, 10, "Helvetica")))
    assert not run.embedded
    assert run.font == "Helvetica"


def test_a_picture_has_no_text(tmp_path: Path) -> None:
    Image.new("RGB", (400, 300), "white").save(tmp_path / "a.png", dpi=(300, 300))
    assert read(tmp_path / "a.png") == ()
