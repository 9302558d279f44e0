"""A flat as one form XObject: drawn once in the pack, placed on every tile through a clip.

The form's space is PDF points with the origin at the bottom left of the tiled box as a person sees it. The
page's turn, UserUnit and box origin stand in the form's matrix; its streams are copied as they are.
"""

from __future__ import annotations

import zlib
from collections.abc import Collection

from pypdf import PdfWriter
from pypdf.errors import LimitReachedError
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    PdfObject,
    StreamObject,
)

from tiler.flat.annotations import printed_annotations
from tiler.flat.boxes import inherited
from tiler.flat.copier import Copier, Replace
from tiler.flat.layers import Key, carry_layers
from tiler.flat.limits import LARGEST_DECODED, raised_limits, readable
from tiler.flat.pdf import PdfFlat, check_unchanged, content_streams
from tiler.geometry import Affine


def add_pdf_form(
    flat: PdfFlat,
    writer: PdfWriter,
    name: str,
    hidden: Collection[Key] = (),
    replace: Replace | None = None,
    content: bytes | None = None,
    copier: Copier | None = None,
) -> IndirectObject:
    """Copy the flat's page into a writer as a form XObject.

    Args:
        flat: The page and the box to show.
        writer: The pack.
        name: The file, for messages.
        hidden: Layers to switch off beside those that the flat itself hides.
        replace: Gives stand-ins for streams, see ``Copier``.
        content: Drawn instead of the page's own content.
        copier: Has copied other pages of the same file into the writer; what pages share is copied once.

    Returns:
        The reference of the form.

    Raises:
        FlatError: The page refers to broken objects.
    """
    with raised_limits(flat.file_size), readable(name):
        copier = copier or Copier(writer, replace)
        form = _content(flat, copier, content)
        resources = inherited(flat.page, "/Resources")
        if isinstance(resources, PdfObject):
            form[NameObject("/Resources")] = copier.copy(resources)
        else:
            form[NameObject("/Resources")] = DictionaryObject()
        _dress(form, flat.seen.box, flat.seen.to_form)
        _keep_group(form, flat, copier)
        reference = writer._add_object(form)
        if flat.annotations:
            reference = _with_annotations(reference, flat, writer, copier)
        carry_layers(writer, copier, flat.reader, hidden)
        check_unchanged(flat, name)
    return reference


def _content(flat: PdfFlat, copier: Copier, content: bytes | None) -> StreamObject:
    """The page's content as one stream.

    A single stream keeps its encoded bytes. An array is decoded and joined, for a form has one stream only.
    """
    form = StreamObject()
    streams = content_streams(flat.page)
    if content is None and len(streams) == 1:
        single = streams[0]
        assert isinstance(single, StreamObject)
        form._data = single._data
        for key in ("/Filter", "/DecodeParms"):
            if key in single:
                form[NameObject(key)] = copier.copy(single.raw_get(key))
        return form
    if content is not None:
        form._data = content
        return form
    content = joined_content(flat)
    form._data = zlib.compress(content, 6)
    form[NameObject("/Filter")] = NameObject("/FlateDecode")
    return form


def joined_content(flat: PdfFlat) -> bytes:
    """The page's decoded content; pieces are joined by white space (ISO 32000-2, 7.8.2).

    Raises:
        LimitReachedError: All together has more than ``LARGEST_DECODED`` bytes; call it within ``readable``.
    """
    pieces, total = [], 0
    for stream in content_streams(flat.page):
        if isinstance(stream, StreamObject):
            pieces.append(stream.get_data())
            total += len(pieces[-1])
            if total > LARGEST_DECODED:
                raise LimitReachedError("page content")
    return b"\n".join(pieces)


def _dress(form: StreamObject, box: tuple[float, float, float, float], matrix: Affine) -> None:
    """Make a stream a form XObject (ISO 32000-2, table 93)."""
    form[NameObject("/Type")] = NameObject("/XObject")
    form[NameObject("/Subtype")] = NameObject("/Form")
    form[NameObject("/BBox")] = ArrayObject(FloatObject(value) for value in box)
    form[NameObject("/Matrix")] = ArrayObject(FloatObject(round(value, 8)) for value in matrix)


def _keep_group(form: StreamObject, flat: PdfFlat, copier: Copier) -> None:
    """Blend as the page does: its group is isolated from the paper (ISO 32000-2, 11.4.7)."""
    group = flat.page.get("/Group")
    value = group.get_object() if group is not None else None
    if not isinstance(value, DictionaryObject):
        return
    copy = copier.copy(value)
    if isinstance(copy, DictionaryObject):
        copy[NameObject("/I")] = BooleanObject(True)
        form[NameObject("/Group")] = copy


def _with_annotations(
    page_form: IndirectObject, flat: PdfFlat, writer: PdfWriter, copier: Copier
) -> IndirectObject:
    """A form that draws the page and then the appearances of its printing annotations."""
    found = printed_annotations(flat.page)
    if not found:
        return page_form
    outer = StreamObject()
    names = DictionaryObject({NameObject("/Page"): page_form})
    steps = ["q /Page Do Q"]
    for number, annotation in enumerate(found, start=1):
        names[NameObject(f"/Note{number}")] = copier.copy(annotation.appearance)
        matrix = annotation.to_page.then(flat.seen.to_form)
        steps.append(f"q {' '.join(f'{value:.8f}' for value in matrix)} cm /Note{number} Do Q")
    outer._data = " ".join(steps).encode("ascii")
    size = flat.seen.to_form
    left, bottom, right, top = flat.seen.box
    corners = [size.apply(left, bottom), size.apply(right, top)]
    xs, ys = sorted(point.x for point in corners), sorted(point.y for point in corners)
    _dress(outer, (xs[0], ys[0], xs[1], ys[1]), Affine(1, 0, 0, 1, 0, 0))
    outer[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): names})
    return writer._add_object(outer)
