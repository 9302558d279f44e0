"""PDF pages with structure, built object by object so that every encoding can be made and broken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from io import BytesIO
from typing import NamedTuple

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    PdfObject,
    TextStringObject,
)

from tiler.geometry import Affine, Size
from tiler.structure.find import find_lines
from tiler.structure.kinds import LineKind
from tiler.structure.lines import Found, Line

POINT = 25.4 / 72
"""Millimetres per PDF unit (ISO 32000-2, 8.3.2.3)."""


class Made(NamedTuple):
    """A page as the PDF reader hands it over."""

    page: PageObject
    to_flat: Affine
    size: Size

    def find(self, overrides: Mapping[str, LineKind | None] | None = None) -> Found:
        return find_lines(self.page, self.to_flat, self.size, overrides)


def upright(size: Size) -> Affine:
    """The map of a plain page: points, y up, to millimetres, y down."""
    return Affine(POINT, 0, 0, -POINT, 0, size.height)


class PageMaker:
    """Collects resources and content for one page."""

    def __init__(self, size: Size) -> None:
        self.size = size
        self.writer = PdfWriter()
        self.page = self.writer.add_blank_page(size.width / POINT, size.height / POINT)
        self.resources = DictionaryObject()
        self.page[NameObject("/Resources")] = self.resources

    def layer(
        self, key: str, name: str, step: str | None = None, *, group: str = "Structural", bare: bool = False
    ) -> PdfObject:
        """An optional-content group under ``/Properties``, with or without a processing step."""
        layer = DictionaryObject(
            {NameObject("/Type"): NameObject("/OCG"), NameObject("/Name"): TextStringObject(name)}
        )
        if step is not None:
            keys = DictionaryObject({NameObject("/GTS_ProcStepsGroup"): NameObject("/" + group)})
            if step:
                keys[NameObject("/GTS_ProcStepsType")] = NameObject("/" + step)
            if bare:
                layer.update(keys)
            else:
                layer[NameObject("/GTS_Metadata")] = keys
        reference = self.writer._add_object(layer)
        self.put("/Properties", key, reference)
        return reference

    def membership(self, key: str, groups: Sequence[PdfObject]) -> None:
        """An optional-content membership dictionary."""
        self.put(
            "/Properties",
            key,
            DictionaryObject(
                {NameObject("/Type"): NameObject("/OCMD"), NameObject("/OCGs"): ArrayObject(groups)}
            ),
        )

    def spot(self, key: str, *names: str) -> None:
        """A Separation space for one name, DeviceN for several."""
        kind = "/Separation" if len(names) == 1 else "/DeviceN"
        colorants = [NameObject("/" + name) for name in names]
        tint = DictionaryObject(
            {NameObject("/FunctionType"): FloatObject(2), NameObject("/N"): FloatObject(1)}
        )
        self.put(
            "/ColorSpace",
            key,
            ArrayObject(
                [
                    NameObject(kind),
                    colorants[0] if len(names) == 1 else ArrayObject(colorants),
                    NameObject("/DeviceCMYK"),
                    tint,
                ]
            ),
        )

    def form(
        self,
        key: str,
        content: bytes,
        *,
        matrix: Sequence[float] | None = None,
        resources: DictionaryObject | None = None,
        layer: PdfObject | None = None,
    ) -> PdfObject:
        """A form XObject."""
        form = DecodedStreamObject()
        form.set_data(content)
        form.update(
            {
                NameObject("/Type"): NameObject("/XObject"),
                NameObject("/Subtype"): NameObject("/Form"),
                NameObject("/BBox"): ArrayObject([FloatObject(v) for v in (-9999, -9999, 9999, 9999)]),
            }
        )
        if matrix is not None:
            form[NameObject("/Matrix")] = ArrayObject([FloatObject(v) for v in matrix])
        if resources is not None:
            form[NameObject("/Resources")] = resources
        if layer is not None:
            form[NameObject("/OC")] = layer
        reference = self.writer._add_object(form)
        self.put("/XObject", key, reference)
        return reference

    def put(self, category: str, key: str, value: PdfObject) -> None:
        """One entry of the page's resources."""
        holder = self.resources.setdefault(NameObject(category), DictionaryObject())
        holder[NameObject(key)] = value

    def finish(self, *contents: bytes) -> Made:
        """Write the file, read it again, and give the page with its map."""
        streams = ArrayObject()
        for content in contents:
            stream = DecodedStreamObject()
            stream.set_data(content)
            streams.append(self.writer._add_object(stream.flate_encode() if len(content) > 999 else stream))
        self.page[NameObject("/Contents")] = streams if len(streams) != 1 else streams[0]
        file = BytesIO()
        self.writer.write(file)
        return Made(PdfReader(file).pages[0], upright(self.size), self.size)


def drawn(lines: Sequence[Line], size: Size) -> bytes:
    """Path operators that stroke the lines, in points."""
    parts = []
    for line in lines:
        pairs = [f"{p.x / POINT:.5f} {(size.height - p.y) / POINT:.5f}" for p in line.points]
        parts.append(f"{pairs[0]} m " + " ".join(f"{pair} l" for pair in pairs[1:]) + " S\n")
    return "".join(parts).encode("ascii")


SIZE = Size(200, 100)
"""Of the page that most tests draw on, mm."""
STROKE = drawn([Line.between(10, 20, 110, 20)], SIZE)
"""One stroked line, whose kind is left to what surrounds it."""


def kinds(made: Made) -> list[str]:
    """What the lines of a page were taken for, in content order."""
    return [str(line.kind) for line in made.find().lines]
