"""What is drawn on a flat, as far as the checks need it: thin strokes, bars, small shapes and pictures.

One walk over PDFium's objects. A heavy flat has hundreds of thousands of them, so each is asked no more than
what its first answers make worth asking.
"""

from __future__ import annotations

import ctypes
import math
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import pypdfium2.raw as raw

from tiler.checks.shapes import Segment, is_thin_bar, segments_of, subpaths
from tiler.flat.objects import IMAGE, PATH, Drawn, Objects, matrix_of
from tiler.geometry import Affine, Point, Rect
from tiler.units import MM_PER_INCH, POINTS_PER_MM

Colour = tuple[int, int, int]
"""Red, green, blue of 0 to 255, as PDFium would show them."""

MOST_SEGMENTS = 150_000
"""Path segments that are read on one flat; beyond, only what has been read counts."""

MOST_OF_A_PATH = 20_000
"""Segments of one path that are read."""

LARGEST_LETTER = 5.0
"""Higher shapes are no small type, whose size would matter, mm."""


class Stroke(NamedTuple):
    """A stroked path that is thin enough to matter, or a filled shape that is as thin as a line."""

    points: tuple[Point, ...]
    """Corners of the path, flat millimetres; curves by their end points."""
    box: Rect
    width: float
    """pt at true size; 0 is a hairline."""
    colour: Colour


class Bar(NamedTuple):
    """A narrow upright or level rectangle in one colour, as bar codes are made of."""

    box: Rect
    colour: Colour


class Picture(NamedTuple):
    """A placed picture."""

    box: Rect
    """Around it, flat millimetres."""
    pixels: tuple[int, int]
    width: float
    """Placed along its rows, mm."""
    height: float
    """Placed along its columns, mm."""
    is_line_art: bool
    """True for one bit a pixel."""

    @property
    def ppi(self) -> tuple[float, float]:
        """Pixels per inch along rows and columns at placed size."""
        across, down = self.pixels
        return across / self.width * MM_PER_INCH, down / self.height * MM_PER_INCH


@dataclass
class Drawing:
    """What the walk has found."""

    strokes: list[Stroke] = field(default_factory=list)
    bars: list[Bar] = field(default_factory=list)
    letters: list[Rect] = field(default_factory=list)
    """Boxes of small filled shapes with many corners: outlined type, perhaps."""
    pictures: list[Picture] = field(default_factory=list)
    is_whole: bool = True
    """False when the flat had more segments than were read."""


def read_drawing(objects: Objects, widest: float) -> Drawing:
    """Walk over all that prints.

    Args:
        objects: The open page.
        widest: Strokes wider than this are of no interest, pt.
    """
    reader = _Reader(objects, widest)
    for item in objects.drawn():
        if item.kind == PATH:
            reader.path(item)
        elif item.kind == IMAGE:
            reader.picture(item)
    return reader.drawing


class _Reader:
    """Keeps the buffers that PDFium writes its answers to."""

    def __init__(self, objects: Objects, widest: float) -> None:
        self.drawing = Drawing()
        self._area, self._page = objects.area, objects.page
        self._widest = widest
        self._left = MOST_SEGMENTS
        self._fill, self._stroke = ctypes.c_int(), ctypes.c_int()
        self._width = ctypes.c_float()
        self._rgba = tuple(ctypes.c_uint() for _ in range(4))
        self._edges = tuple(ctypes.c_float() for _ in range(4))

    def path(self, item: Drawn) -> None:
        """Look at one path."""
        handle = item.handle
        if not raw.FPDFPath_GetDrawMode(handle, self._fill, self._stroke):
            return
        if self._left <= 0:
            self.drawing.is_whole = False
        elif self._stroke.value:
            self._stroked(item)
        elif self._fill.value:
            count = raw.FPDFPath_CountSegments(handle)
            if count >= 4:
                self._filled(item, count)

    def _stroked(self, item: Drawn) -> None:
        """A stroke that is thin, or straight and so perhaps a bar."""
        matrix = matrix_of(item.handle).then(item.to_flat)
        raw.FPDFPageObj_GetStrokeWidth(item.handle, self._width)
        width = self._width.value * least_scale(matrix)
        count = raw.FPDFPath_CountSegments(item.handle)
        if width * POINTS_PER_MM > self._widest and (count != 2 or self._fill.value):
            return
        colour, opacity = self._colour(raw.FPDFPageObj_GetStrokeColor, item.handle)
        if opacity == 0:
            return
        segments = self._segments(item.handle, count, matrix)
        points = tuple(point for _, point in segments)
        if not points:
            return
        box = _around(points)
        if not box.grown(max(width, 0.01)).overlaps(self._area):
            return
        if width * POINTS_PER_MM <= self._widest:
            self.drawing.strokes.append(Stroke(points, box, width * POINTS_PER_MM, colour))
        if count == 2:
            along_x = box.height <= 0.01
            bar = (
                box.inset(0, -width / 2, 0, -width / 2)
                if along_x
                else box.inset(-width / 2, 0, -width / 2, 0)
            )
            if (along_x or box.width <= 0.01) and is_thin_bar(bar):
                self.drawing.bars.append(Bar(bar, colour))

    def _filled(self, item: Drawn, count: int) -> None:
        """A filled path: bars, a shape as thin as a line, or the outline of letters."""
        if count > 6 and not self._is_small(item):
            if count < 20:
                return
            if not self._begins_upright(item.handle):
                return
        matrix = matrix_of(item.handle).then(item.to_flat)
        segments = self._segments(item.handle, min(count, MOST_OF_A_PATH), matrix)
        parts = subpaths(segments)
        bars = [part.box for part in parts if part.is_rectangle and is_thin_bar(part.box)]
        if bars:
            colour, opacity = self._colour(raw.FPDFPageObj_GetFillColor, item.handle)
            if opacity:
                self._thin(bars, colour)
        letters = [part.box for part in parts if part.corners >= 6 and not part.is_rectangle]
        self.drawing.letters += [box for box in letters if box.height < LARGEST_LETTER]

    def _thin(self, boxes: list[Rect], colour: Colour) -> None:
        """Note rectangles as bars and, if they are thin enough, as lines."""
        for box in boxes:
            if not box.overlaps(self._area):
                continue
            self.drawing.bars.append(Bar(box, colour))
            width = min(box.size) * POINTS_PER_MM
            if width <= self._widest:
                self.drawing.strokes.append(Stroke(box.corners, box, width, colour))

    def _is_small(self, item: Drawn) -> bool:
        """True for an object no larger than a line of small type."""
        if not raw.FPDFPageObj_GetBounds(item.handle, *self._edges):
            return False
        left, bottom, right, top = (edge.value for edge in self._edges)
        box = item.to_flat.bounds(Rect.between(left, bottom, right, top))
        return min(box.size) < LARGEST_LETTER and box.overlaps(self._area)

    def _begins_upright(self, handle: Any) -> bool:
        """True when a path's first two sides are level and upright, as those of a rectangle."""
        corners = [point for _, point in segments_of(handle, 3)]
        if len(corners) < 3:
            return False
        (x0, y0), (x1, y1), (x2, y2) = corners
        return (x0 == x1 and y1 == y2) or (y0 == y1 and x1 == x2)

    def _segments(self, handle: Any, count: int, matrix: Affine) -> list[Segment]:
        """A path's segments in flat millimetres, as far as the budget goes."""
        if count > self._left:
            self.drawing.is_whole = False
            count = self._left
        self._left -= count
        return segments_of(handle, count, matrix)

    def _colour(self, ask: Any, handle: Any) -> tuple[Colour, int]:
        """Colour and opacity (0 to 255) of an object."""
        if not ask(handle, *self._rgba):
            return (0, 0, 0), 255
        red, green, blue, opacity = (value.value for value in self._rgba)
        return (red, green, blue), opacity

    def picture(self, item: Drawn) -> None:
        """Note one picture."""
        across, down = ctypes.c_uint(), ctypes.c_uint()
        matrix = matrix_of(item.handle).then(item.to_flat)
        width, height = math.hypot(matrix.a, matrix.b), math.hypot(matrix.c, matrix.d)
        box = matrix.bounds(Rect(0, 0, 1, 1))
        known = raw.FPDFImageObj_GetImagePixelSize(item.handle, across, down)
        if not known or width <= 0 or height <= 0 or not box.overlaps(self._area):
            return
        pixels = (across.value, down.value)
        self.drawing.pictures.append(
            Picture(box, pixels, width, height, _is_line_art(item.handle, self._page))
        )


def least_scale(matrix: Affine) -> float:
    """The factor by which a map shrinks what it shrinks most: its smaller singular value."""
    a, b, c, d = matrix[:4]
    total = a * a + b * b + c * c + d * d
    area = a * d - b * c
    return math.sqrt(max(0.0, (total - math.sqrt(max(0.0, total * total - 4 * area * area))) / 2))


def _is_line_art(handle: Any, page: Any) -> bool:
    """True for a picture of one bit a pixel, by its filter or by its pixels."""
    buffer = ctypes.create_string_buffer(64)
    for index in range(raw.FPDFImageObj_GetImageFilterCount(handle)):
        raw.FPDFImageObj_GetImageFilter(handle, index, buffer, 64)
        if buffer.value in (b"CCITTFaxDecode", b"CCF", b"JBIG2Decode"):
            return True
        if buffer.value in (b"DCTDecode", b"DCT", b"JPXDecode"):
            return False
    data = raw.FPDF_IMAGEOBJ_METADATA()
    if not raw.FPDFImageObj_GetImageMetadata(handle, page, data):
        return False
    return bool(data.bits_per_pixel == 1)


def _around(points: tuple[Point, ...]) -> Rect:
    """The upright rectangle around points."""
    xs, ys = [point.x for point in points], [point.y for point in points]
    return Rect.between(min(xs), min(ys), max(xs), max(ys))
