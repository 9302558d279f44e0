"""Paths as PDFium keeps them, cut into their closed parts."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import pypdfium2.raw as raw

from tiler.geometry import IDENTITY, Affine, Point, Rect

Segment = tuple[int, Point]
"""PDFium's kind of segment, and where it ends."""

WIDEST_BAR = 4.4
"""Widest bar of any symbol: four modules of 1.016 mm and some gain, mm (GS1 size guide, ITF-14)."""
LEAST_BAR = 3.0
"""Bars shorter than this belong to no symbol, mm."""
SLENDER = 2.5
"""A bar is this many times longer than wide, at least."""
_SEGMENT_CALLS = (raw.FPDFPath_GetPathSegment, raw.FPDFPathSegment_GetPoint, raw.FPDFPathSegment_GetType)
_SQUARE = 0.01
"""Corners this far off the box's are its corners, mm."""


@dataclass(frozen=True)
class Part:
    """One closed part of a path."""

    box: Rect
    corners: int
    """Segments, a curve counting as three."""
    is_rectangle: bool
    """True for an upright rectangle."""


def segments_of(handle: Any, count: int, matrix: Affine = IDENTITY) -> list[Segment]:
    """The first ``count`` segments of a path, in the space that ``matrix`` leads to from the path's own.

    Flats have them by the ten thousand, so nothing is looked up or made twice here.
    """
    x, y = ctypes.c_float(), ctypes.c_float()
    where_x, where_y = ctypes.byref(x), ctypes.byref(y)
    a, b, c, d, e, f = matrix
    segment_at, place_of, kind_of = _SEGMENT_CALLS
    found = []
    for index in range(count):
        segment = segment_at(handle, index)
        place_of(segment, where_x, where_y)
        u, v = x.value, y.value
        found.append((kind_of(segment), Point(a * u + c * v + e, b * u + d * v + f)))
    return found


def subpaths(segments: list[Segment]) -> list[Part]:
    """The parts of a path, each from one move to the next."""
    parts: list[list[Segment]] = []
    for segment in segments:
        if segment[0] == raw.FPDF_SEGMENT_MOVETO or not parts:
            parts.append([])
        parts[-1].append(segment)
    return [_part(part) for part in parts if len(part) >= 3]


def _part(segments: list[Segment]) -> Part:
    """Measure one part."""
    points = [point for _, point in segments]
    xs, ys = [point.x for point in points], [point.y for point in points]
    box = Rect.between(min(xs), min(ys), max(xs), max(ys))
    straight = all(kind != raw.FPDF_SEGMENT_BEZIERTO for kind, _ in segments)
    is_rectangle = straight and len(segments) in (4, 5) and _runs_round(points, box)
    return Part(box, len(segments), is_rectangle)


def _runs_round(points: list[Point], box: Rect) -> bool:
    """True when the points are the four corners of the box, in order round it."""
    found = []
    for point in points[:4]:
        near = [
            index
            for index, corner in enumerate(box.corners)
            if abs(point.x - corner.x) <= _SQUARE and abs(point.y - corner.y) <= _SQUARE
        ]
        if len(near) != 1:
            return False
        found.append(near[0])
    steps = {(b - a) % 4 for a, b in pairwise(found)}
    return steps in ({1}, {3})


def is_thin_bar(box: Rect) -> bool:
    """True for a rectangle shaped like a bar of a symbol or like a line."""
    short, long = min(box.size), max(box.size)
    return short <= WIDEST_BAR and long >= LEAST_BAR and long >= SLENDER * short
