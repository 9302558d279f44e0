"""The flat as a form XObject: same look, same bytes, nothing active."""

from __future__ import annotations

import io
import zlib
from pathlib import Path

import pikepdf
import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    StreamObject,
    TextStringObject,
)

from tests.flats import add_layer, flat_pdf
from tests.pixels import difference, picture_of
from tiler.errors import FlatError
from tiler.flat.form import add_pdf_form
from tiler.flat.pdf import PdfFlat
from tiler.flat.raster import render
from tiler.flat.read import Wanted, read_flat
from tiler.geometry import Rect

PX_PER_MM = 4.0


def form_bytes(path: Path, annotations: bool = False) -> bytes:
    """The flat's form in a file of its own."""
    flat = read_flat(path, Wanted(annotations=annotations))
    assert isinstance(flat.source, PdfFlat)
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.root_object[NameObject("/Kept")] = add_pdf_form(flat.source, writer, "a.pdf")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
@pytest.mark.parametrize("unit", [1.0, 2.0])
@pytest.mark.parametrize(
    "boxes", [{}, {"MediaBox": (-60.0, 35.0, 440.0, 335.0), "CropBox": (-40, 55, 400, 300)}]
)
def test_the_form_looks_as_the_page_does(
    tmp_path: Path, rotate: int, unit: float, boxes: dict[str, tuple[float, float, float, float]]
) -> None:
    # reference: PDFium's own page rendering, which knows nothing of our form and its matrix
    path = flat_pdf(tmp_path / "a.pdf", size=(500, 300), boxes=boxes, rotate=rotate, user_unit=unit)
    flat = read_flat(path, Wanted(box="crop"))
    ours = render(flat, Rect(0, 0, *flat.size), PX_PER_MM)
    assert difference(ours, picture_of(path, ours.size)) < 2.0


def test_a_wrong_turn_would_be_seen_by_that_comparison(tmp_path: Path) -> None:
    upright = flat_pdf(tmp_path / "a.pdf", size=(500, 300))
    turned = flat_pdf(tmp_path / "b.pdf", size=(500, 300), rotate=180)
    flat = read_flat(upright, Wanted())
    ours = render(flat, Rect(0, 0, *flat.size), PX_PER_MM)
    assert difference(ours, picture_of(turned, ours.size)) > 10.0


def test_a_single_content_stream_keeps_its_encoded_bytes(tmp_path: Path) -> None:
    path = flat_pdf(tmp_path / "a.pdf")
    contents = PdfReader(path).pages[0]["/Contents"].get_object()
    assert isinstance(contents, StreamObject)
    assert contents._data in form_bytes(path)


def test_a_content_array_becomes_one_stream_with_the_same_operators(tmp_path: Path) -> None:
    def split(writer: PdfWriter) -> None:
        page = writer.pages[0]
        stream = page["/Contents"].get_object()
        assert isinstance(stream, StreamObject)
        data = stream.get_data()
        middle = data.index(b"\n", len(data) // 2)
        parts = []
        for piece in (data[:middle], data[middle:]):
            part = StreamObject()
            part._data = piece
            parts.append(writer._add_object(part))
        page[NameObject("/Contents")] = ArrayObject(parts)

    path = flat_pdf(tmp_path / "a.pdf", size=(500, 300), change=split)
    whole = flat_pdf(tmp_path / "b.pdf", size=(500, 300))
    flat = read_flat(path, Wanted())
    ours = render(flat, Rect(0, 0, *flat.size), PX_PER_MM)
    assert difference(ours, picture_of(whole, ours.size)) < 2.0


def test_pictures_keep_their_encoded_bytes(tmp_path: Path) -> None:
    jpeg = b"\xff\xd8 not decoded, so any bytes will do \xff\xd9"

    def place(writer: PdfWriter) -> None:
        image = StreamObject()
        image._data = jpeg
        for key, value in {
            "/Type": NameObject("/XObject"),
            "/Subtype": NameObject("/Image"),
            "/Width": NumberObject(4),
            "/Height": NumberObject(4),
            "/BitsPerComponent": NumberObject(8),
            "/ColorSpace": NameObject("/DeviceGray"),
            "/Filter": NameObject("/DCTDecode"),
        }.items():
            image[NameObject(key)] = value
        resources = writer.pages[0]["/Resources"].get_object()
        assert isinstance(resources, DictionaryObject)
        # named like a key that is left behind elsewhere
        resources[NameObject("/XObject")] = DictionaryObject({NameObject("/A"): writer._add_object(image)})

    assert jpeg in form_bytes(flat_pdf(tmp_path / "a.pdf", change=place))


@pytest.mark.parametrize(("state", "shown"), [("on", True), ("off", False), ("print off", False)])
def test_a_layer_prints_as_its_file_says(tmp_path: Path, state: str, shown: bool) -> None:
    # ISO 32000-2, 8.11.4.3 and 8.11.4.5: default state, and the Print event's usage
    content = b"0 0 0 rg 100 100 200 100 re f"
    path = flat_pdf(
        tmp_path / "a.pdf", size=(500, 300), change=lambda writer: add_layer(writer, "Notes", content, state)
    )
    plain = flat_pdf(tmp_path / "b.pdf", size=(500, 300))
    window = Rect(0, 0, 176, 105)
    drawn = render(read_flat(path, Wanted()), window, PX_PER_MM)
    without = render(read_flat(plain, Wanted()), window, PX_PER_MM)
    assert (difference(drawn, without) > 5.0) == shown


def test_nothing_active_is_carried_over(tmp_path: Path) -> None:
    script = b"app.alert('awake')"

    def arm(writer: PdfWriter) -> None:
        opening = {
            NameObject("/S"): NameObject("/JavaScript"),
            NameObject("/JS"): TextStringObject(script.decode()),
        }
        writer.root_object[NameObject("/OpenAction")] = DictionaryObject(opening)
        writer.add_attachment("brief.txt", b"the attached brief")
        page = writer.pages[0]
        action = DictionaryObject(
            {
                NameObject("/S"): NameObject("/JavaScript"),
                NameObject("/JS"): TextStringObject(script.decode()),
            }
        )
        page[NameObject("/AA")] = DictionaryObject({NameObject("/O"): action})
        form = StreamObject()
        form._data = b"0 0 10 10 re f"
        form[NameObject("/Subtype")] = NameObject("/Form")
        form[NameObject("/BBox")] = ArrayObject(FloatObject(value) for value in (0, 0, 10, 10))
        form[NameObject("/A")] = action
        form[NameObject("/PieceInfo")] = DictionaryObject(
            {NameObject("/Secret"): TextStringObject("C:/private")}
        )
        resources = page["/Resources"].get_object()
        assert isinstance(resources, DictionaryObject)
        resources[NameObject("/XObject")] = DictionaryObject({NameObject("/Fm1"): writer._add_object(form)})

    data = form_bytes(flat_pdf(tmp_path / "a.pdf", change=arm))
    with pikepdf.open(io.BytesIO(data)) as pdf:
        everything = b" ".join(
            item.stream_dict.unparse(resolved=True) + item.read_bytes()
            if isinstance(item, pikepdf.Stream)
            else item.unparse(resolved=True)
            for item in pdf.objects
        )
    for word in (
        b"/JavaScript",
        b"awake",
        b"/EmbeddedFile",
        b"attached brief",
        b"/AA",
        b"/PieceInfo",
        b"private",
    ):
        assert word not in everything
    assert b"/Fm1" in everything


@pytest.mark.parametrize(("flags", "asked", "shown"), [(4, True, True), (4, False, False), (0, True, False)])
def test_annotations_print_only_when_meant_to_and_asked_for(
    tmp_path: Path, flags: int, asked: bool, shown: bool
) -> None:
    # ISO 32000-2, table 167: flag 3 (value 4) is Print; 12.5.5 places the appearance on /Rect
    def annotate(writer: PdfWriter) -> None:
        look = StreamObject()
        look._data = b"0 0 0 rg 0 0 50 50 re f"
        look[NameObject("/Subtype")] = NameObject("/Form")
        look[NameObject("/BBox")] = ArrayObject(FloatObject(value) for value in (0, 0, 50, 50))
        note = DictionaryObject(
            {
                NameObject("/Subtype"): NameObject("/Stamp"),
                NameObject("/F"): NumberObject(flags),
                NameObject("/Rect"): ArrayObject(FloatObject(value) for value in (100, 100, 300, 200)),
                NameObject("/AP"): DictionaryObject({NameObject("/N"): writer._add_object(look)}),
            }
        )
        writer.pages[0][NameObject("/Annots")] = ArrayObject([writer._add_object(note)])

    path = flat_pdf(tmp_path / "a.pdf", size=(500, 300), rotate=90, change=annotate)
    flat = read_flat(path, Wanted(annotations=asked))
    # page point (200, 150) as seen after a quarter turn: x = 150, y = 200 points from the top left
    spot = Rect(150 * 25.4 / 72 - 2, 200 * 25.4 / 72 - 2, 4, 4)
    colours = render(flat, spot, PX_PER_MM).getextrema()
    assert (colours == ((0, 0), (0, 0), (0, 0))) == shown


def test_forms_that_call_themselves_are_copied_once(tmp_path: Path) -> None:
    def loop(writer: PdfWriter) -> None:
        form = StreamObject()
        form._data = zlib.compress(b"/Again Do")
        form[NameObject("/Filter")] = NameObject("/FlateDecode")
        form[NameObject("/Subtype")] = NameObject("/Form")
        form[NameObject("/BBox")] = ArrayObject(FloatObject(value) for value in (0, 0, 10, 10))
        reference = writer._add_object(form)
        names = DictionaryObject(
            {NameObject("/XObject"): DictionaryObject({NameObject("/Again"): reference})}
        )
        form[NameObject("/Resources")] = names
        resources = writer.pages[0]["/Resources"].get_object()
        assert isinstance(resources, DictionaryObject)
        resources[NameObject("/XObject")] = DictionaryObject({NameObject("/Again"): reference})

    assert b"/Again" in form_bytes(flat_pdf(tmp_path / "a.pdf", change=loop))


def test_a_flat_that_changes_while_it_is_read_is_refused(tmp_path: Path) -> None:
    path = flat_pdf(tmp_path / "a.pdf")
    flat = read_flat(path, Wanted())
    assert isinstance(flat.source, PdfFlat)
    other = flat_pdf(tmp_path / "b.pdf", size=(400, 300)).read_bytes()
    path.write_bytes(other)  # in place, as some programs save
    with pytest.raises(FlatError, match=r"a\.pdf: (has been changed while it was read|is damaged)"):
        add_pdf_form(flat.source, PdfWriter(), "a.pdf")


def test_a_flat_that_is_removed_or_replaced_while_it_is_read_is_read_to_its_end(tmp_path: Path) -> None:
    path = flat_pdf(tmp_path / "a.pdf")
    flat = read_flat(path, Wanted())
    assert isinstance(flat.source, PdfFlat)
    flat_pdf(tmp_path / "b.pdf", size=(400, 300)).replace(path)
    add_pdf_form(flat.source, PdfWriter(), "a.pdf")
