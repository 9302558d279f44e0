"""The drawn objects of a PDF flat, nested forms opened, in PDFium's hands.

PDFium lists what a file holds, printed or not. So the flat is first copied as the one form that the pack
gets, and every layer that does not print is marked in the copy: ``Objects`` then steps over what is hidden.
"""

from __future__ import annotations

import ctypes
import io
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any, NamedTuple

import pypdfium2 as api
import pypdfium2.raw as raw
from PIL import Image
from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    NumberObject,
    PdfObject,
    StreamObject,
)

from tiler.errors import FlatError
from tiler.flat.form import add_pdf_form
from tiler.flat.layers import Key
from tiler.flat.limits import RESAVE, pdfium
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Flat
from tiler.geometry import IDENTITY, Affine, Rect
from tiler.units import MM_PER_POINT, POINTS_PER_MM

FLAG = "TilerHidden"
"""Entry that the copy's layers get when they do not print."""

DEEPEST = 40
"""Forms within forms that are opened; PDFium itself draws no deeper ones."""

TEXT, PATH, IMAGE = raw.FPDF_PAGEOBJ_TEXT, raw.FPDF_PAGEOBJ_PATH, raw.FPDF_PAGEOBJ_IMAGE


class Drawn(NamedTuple):
    """One object that prints."""

    handle: Any
    """PDFium's object; alive as long as its page is."""
    kind: int
    """``TEXT``, ``PATH``, ``IMAGE`` or another of PDFium's kinds."""
    to_flat: Affine
    """From the space of the form that holds the object to flat millimetres."""


class Objects:
    """The open page of a flat; made by ``opened``.

    Args:
        page: PDFium's page of exactly the flat's size.
        flat: Whose it is.
        has_hidden: True when something on it may not print.
    """

    def __init__(self, page: Any, flat: Flat, has_hidden: bool) -> None:
        self.page = page
        self.to_flat = Affine(MM_PER_POINT, 0, 0, -MM_PER_POINT, 0, flat.size.height)
        """From the page's points to flat millimetres."""
        self.area = Rect(0, 0, *flat.size)
        """The tiled box."""
        self.has_hidden = has_hidden

    def drawn(self) -> Iterator[Drawn]:
        """Every object that prints, in painting order, those in forms too."""
        within: list[tuple[Iterator[Any], Affine]] = [(_on_page(self.page), self.to_flat)]
        kind_of, has_hidden = raw.FPDFPageObj_GetType, self.has_hidden
        while within:
            handles, to_flat = within[-1]
            for handle in handles:
                if has_hidden and _is_hidden(handle):
                    continue
                kind = kind_of(handle)
                if kind != raw.FPDF_PAGEOBJ_FORM:
                    yield Drawn(handle, kind, to_flat)
                elif len(within) <= DEEPEST:
                    within.append((_in_form(handle), matrix_of(handle).then(to_flat)))
                    break
            else:
                within.pop()

    def picture(self, window: Rect, pixels_per_mm: float) -> Image.Image:
        """A part of the page as it prints, RGB on white paper.

        Args:
            window: The part, flat millimetres; it may reach beyond the flat (white there).
            pixels_per_mm: Resolution.
        """
        width = max(1, round(window.width * pixels_per_mm))
        height = max(1, round(window.height * pixels_per_mm))
        bitmap = api.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGRx)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
        left, top = round(-window.x * pixels_per_mm), round(-window.y * pixels_per_mm)
        whole = self.area.size.scaled(pixels_per_mm)
        raw.FPDF_RenderPageBitmap(
            bitmap.raw, self.page, left, top, round(whole.width), round(whole.height), 0, raw.FPDF_PRINTING
        )
        picture: Image.Image = bitmap.to_pil().convert("RGB")
        return picture


def _on_page(page: Any) -> Iterator[Any]:
    """The objects of a page."""
    return map(partial(raw.FPDFPage_GetObject, page), range(raw.FPDFPage_CountObjects(page)))


def _in_form(form: Any) -> Iterator[Any]:
    """The objects of a form."""
    return map(partial(raw.FPDFFormObj_GetObject, form), range(raw.FPDFFormObj_CountObjects(form)))


def matrix_of(handle: Any) -> Affine:
    """The object's own matrix."""
    matrix = raw.FS_MATRIX()
    if not raw.FPDFPageObj_GetMatrix(handle, matrix):
        return IDENTITY
    return Affine(matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f)


def address(handle: Any) -> int:
    """A number that tells PDFium's objects apart; 0 for none."""
    return ctypes.cast(handle, ctypes.c_void_p).value or 0


def _is_hidden(handle: Any) -> bool:
    """True for an object within marked content of a layer that does not print."""
    value = ctypes.c_int()
    for index in range(raw.FPDFPageObj_CountMarks(handle)):
        mark = raw.FPDFPageObj_GetMark(handle, index)
        if raw.FPDFPageObjMark_GetParamIntValue(mark, FLAG.encode("ascii"), value) and value.value:
            return True
    return False


@contextmanager
def opened(flat: Flat, hidden: Collection[Key] = ()) -> Iterator[Objects]:
    """Open a PDF flat, and hold PDFium meanwhile.

    Args:
        flat: A flat whose source is a ``PdfFlat``.
        hidden: Layers taken for hidden beside those that the flat itself hides.

    Raises:
        FlatError: PDFium cannot read it.
    """
    assert isinstance(flat.source, PdfFlat)
    data, has_hidden = marked_copy(flat, flat.source, hidden)
    with pdfium():
        document = None
        try:
            document = api.PdfDocument(data)
            page = document[0]
            yield Objects(page.raw, flat, has_hidden)
        except api.PdfiumError as problem:
            raise FlatError(f"{flat.path.name}: cannot be looked into ({problem})", RESAVE) from problem
        finally:
            if document is not None:
                document.close()


def marked_copy(flat: Flat, source: PdfFlat, hidden: Collection[Key]) -> tuple[bytes, bool]:
    """A one-page PDF of the flat's size, its hidden layers marked, and whether there are any."""
    writer = PdfWriter()
    page = writer.add_blank_page(flat.size.width * POINTS_PER_MM, flat.size.height * POINTS_PER_MM)
    form = add_pdf_form(source, writer, flat.path.name, hidden)
    page[NameObject("/Resources")] = DictionaryObject(
        {NameObject("/XObject"): DictionaryObject({NameObject("/Flat"): form})}
    )
    body = StreamObject()
    body._data = b"/Flat Do"
    page[NameObject("/Contents")] = writer._add_object(body)
    has_hidden = _mark_hidden(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue(), has_hidden


def _mark_hidden(writer: PdfWriter) -> bool:
    """Flag every layer and membership that does not print; empty the forms and pictures that hang on one.

    Returns:
        True when there is any.
    """
    layers = _value(writer.root_object.get("/OCProperties"))
    if not isinstance(layers, DictionaryObject):
        return False
    default = _value(layers.get("/D"))
    off = _value(default.get("/OFF")) if isinstance(default, DictionaryObject) else None
    keys = {item.idnum for item in off or () if isinstance(item, IndirectObject)}
    for key in keys:
        layer = _value(IndirectObject(key, 0, writer))
        if isinstance(layer, DictionaryObject):
            layer[NameObject(f"/{FLAG}")] = NumberObject(1)
    return sum(_mark_in(item, keys, 0) for item in list(writer._objects)) + len(keys) > 0


def _mark_in(item: object, off: set[int], depth: int) -> int:
    """Flag memberships, and empty streams, in an object and in what it holds directly; how many."""
    if not isinstance(item, DictionaryObject) or depth > DEEPEST:
        return 0
    if isinstance(item, StreamObject) and "/OC" in item and not _shows(item.raw_get("/OC"), off):
        item.clear()
        item._data = b""
        _dress_empty(item)
        return 1
    if item.get("/Type") == "/OCMD" and not _shows(item, off):
        item[NameObject(f"/{FLAG}")] = NumberObject(1)
        return 1
    return sum(_mark_in(inner, off, depth + 1) for inner in list(item.values()))


def _dress_empty(stream: StreamObject) -> None:
    """Make a stream a form that draws nothing."""
    stream[NameObject("/Type")] = NameObject("/XObject")
    stream[NameObject("/Subtype")] = NameObject("/Form")
    stream[NameObject("/BBox")] = ArrayObject(NumberObject(value) for value in (0, 0, 1, 1))
    stream[NameObject("/Resources")] = DictionaryObject()


def _shows(value: PdfObject | None, off: set[int]) -> bool:
    """Whether content of this layer or membership prints (ISO 32000-2, 8.11.2.2)."""
    if isinstance(value, IndirectObject) and value.idnum in off:
        return False
    entry = _value(value)
    if not isinstance(entry, DictionaryObject) or entry.get("/Type") != "/OCMD":
        return True
    expression = _value(entry.get("/VE"))
    if isinstance(expression, ArrayObject) and expression:
        return _holds(expression, off, 0)
    states = [member.idnum not in off for member in _members(entry)]
    if not states:
        return True
    policy = entry.get("/P", "/AnyOn")
    answers = {"/AllOn": all(states), "/AnyOff": not all(states), "/AllOff": not any(states)}
    return answers.get(str(policy), any(states))


def _members(membership: DictionaryObject) -> list[IndirectObject]:
    """The layers of a membership: none, one or many."""
    if "/OCGs" not in membership:
        return []
    groups = membership.raw_get("/OCGs")
    several = _value(groups)
    items = list(several) if isinstance(several, ArrayObject) else [groups]
    return [item for item in items if isinstance(item, IndirectObject)]


def _holds(expression: ArrayObject, off: set[int], depth: int) -> bool:
    """The value of a visibility expression (ISO 32000-2, table 97)."""
    operator, *operands = expression
    values = []
    for operand in operands:
        inner = _value(operand)
        if isinstance(inner, ArrayObject) and inner and depth < DEEPEST:
            values.append(_holds(inner, off, depth + 1))
        else:
            values.append(_shows(operand, off))
    if operator == "/Not":
        return not any(values)
    return any(values) if operator == "/Or" else all(values)


def _value(value: object) -> Any:
    """The object behind a reference."""
    return value.get_object() if isinstance(value, IndirectObject) else value
