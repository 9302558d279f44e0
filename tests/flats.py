"""Small PDF flats for the tests, each drawn so that a wrong box, turn or scale shows."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

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
from reportlab.pdfgen.canvas import Canvas

Boxes = dict[str, tuple[float, float, float, float]]
"""Box name without its slash to left, bottom, right, top in points."""


def drawn(width: float, height: float, origin: tuple[float, float] = (0, 0)) -> bytes:
    """A page in points with coloured fields, diagonals, rings and text, different in every corner."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(width, height), invariant=1)
    canvas.translate(*origin)
    canvas.setFillColorRGB(0.93, 0.88, 0.75)
    canvas.rect(0, 0, width, height, stroke=0, fill=1)
    colours = ((0.8, 0.1, 0.1), (0.1, 0.5, 0.2), (0.1, 0.2, 0.7), (0.05, 0.05, 0.05))
    for index, colour in enumerate(colours):
        canvas.setFillColorRGB(*colour)
        x = (index % 2) * width * 0.62 + width * 0.06
        y = (index // 2) * height * 0.62 + height * 0.06
        canvas.rect(x, y, width * (0.15 + 0.04 * index), height * 0.2, stroke=0, fill=1)
    canvas.setStrokeColorRGB(0.2, 0.2, 0.3)
    for step in range(0, 40):
        canvas.setLineWidth(0.5 + step % 3)
        canvas.line(width * step / 40, 0, width * (40 - step) / 40, height)
    canvas.setFillColorRGB(0, 0, 0)
    canvas.setFont("Helvetica-Bold", min(width, height) / 12)
    canvas.drawString(width * 0.3, height * 0.45, "HERONWICK")
    canvas.save()
    return out.getvalue()


def flat_pdf(
    path: Path,
    size: tuple[float, float] = (1000, 700),
    boxes: Boxes | None = None,
    rotate: int = 0,
    user_unit: float = 1.0,
    change: Callable[[PdfWriter], None] | None = None,
    password: str | None = None,
) -> Path:
    """Write a one-page flat.

    Args:
        path: Where it goes.
        size: Width and height in points.
        boxes: Page boxes; a MediaBox that does not start at the origin moves the drawing with it.
        rotate: /Rotate.
        user_unit: UserUnit.
        change: Called with the writer before it writes.
        password: Encrypts the file.
    """
    boxes = boxes or {}
    origin = boxes.get("MediaBox", (0, 0, 0, 0))[:2]
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(drawn(*size, origin=(origin[0], origin[1])))))
    page = writer.pages[0]
    for name, box in boxes.items():
        page[NameObject(f"/{name}")] = ArrayObject(FloatObject(value) for value in box)
    if rotate:
        page[NameObject("/Rotate")] = NumberObject(rotate)
    if user_unit != 1.0:
        page[NameObject("/UserUnit")] = FloatObject(user_unit)
    if change:
        change(writer)
    if password is not None:
        writer.encrypt(password, algorithm="AES-256")
    writer.write(path)
    return path


def add_layer(writer: PdfWriter, name: str, content: bytes, state: str) -> None:
    """Draw ``content`` on a new layer whose ``state`` is ``on``, ``off`` or ``print off``."""
    group = DictionaryObject(
        {NameObject("/Type"): NameObject("/OCG"), NameObject("/Name"): TextStringObject(name)}
    )
    if state == "print off":
        usage = DictionaryObject({NameObject("/PrintState"): NameObject("/OFF")})
        group[NameObject("/Usage")] = DictionaryObject({NameObject("/Print"): usage})
    reference = writer._add_object(group)
    default = DictionaryObject({NameObject("/Order"): ArrayObject()})
    if state == "off":
        default[NameObject("/OFF")] = ArrayObject([reference])
    if state == "print off":
        event = {
            NameObject("/Event"): NameObject("/Print"),
            NameObject("/Category"): ArrayObject([NameObject("/Print")]),
            NameObject("/OCGs"): ArrayObject([reference]),
        }
        default[NameObject("/AS")] = ArrayObject([DictionaryObject(event)])
    writer.root_object[NameObject("/OCProperties")] = DictionaryObject(
        {NameObject("/OCGs"): ArrayObject([reference]), NameObject("/D"): default}
    )
    page = writer.pages[0]
    resources = page["/Resources"].get_object()
    assert isinstance(resources, DictionaryObject)
    resources[NameObject("/Properties")] = DictionaryObject({NameObject("/Layer1"): reference})
    extra = StreamObject()
    extra._data = b"\nq /OC /Layer1 BDC " + content + b" EMC Q\n"
    first = page.raw_get("/Contents")
    pieces = first.get_object()
    streams = list(pieces) if isinstance(pieces, ArrayObject) else [first]
    page[NameObject("/Contents")] = ArrayObject([*streams, writer._add_object(extra)])
