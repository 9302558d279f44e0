"""The virtual tape-up: cut each printed face out, lay it where the plan says, compare with the flat.

Sheets and flat are rendered by PDFium so that a face's top-left corner falls on the same part of a pixel
in both pictures: what differs then is the print, not the rounding.
"""

from __future__ import annotations

import ctypes
import io
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from tiler.geometry import Rect
from tiler.units import MM_PER_INCH, MM_PER_POINT, POINTS_PER_MM

DPI = 200
PIXELS_PER_MM = DPI / MM_PER_INCH
PHASE = 0.3
"""Pixels between a face's corner and the pixel corner: PDFium widens placed pictures to whole pixels, and an
edge that lay on a pixel corner could fall either way."""
SEARCH = 8
"""How far a shift is looked for, pixels (about 1 mm)."""

Pixels = np.ndarray[Any, np.dtype[np.int16]]
"""Rows × columns × three channels, 0 to 255."""

Greys = np.ndarray[Any, np.dtype[np.float32]]


@dataclass(frozen=True)
class Compared:
    """How one face differs from the flat beneath it."""

    label: str
    shift: float
    """Distance by which it would have to move to match best, mm; 0 where it has no detail to match."""
    foreign: float
    """Share of the face, marks left out, that differs visibly in solid spots rather than along an edge."""


@contextmanager
def opened(path: Path, page: int, password: str | None = None) -> Iterator[Any]:
    """One page, counted from 1."""
    document = pdfium.PdfDocument(path, password=password)
    shown = document[page - 1]
    try:
        yield shown
    finally:
        shown.close()
        document.close()


def rendered(page: Any, mm_per_unit: tuple[float, float], area: Rect) -> Pixels:
    """Part of a page in exactly placed pixels.

    Args:
        page: The PDFium page.
        mm_per_unit: How many millimetres one of PDFium's page units stands for, across and down.
        area: What to show, mm from the page's top left as seen.
    """
    width, height = max(1, round(area.width * PIXELS_PER_MM)), max(1, round(area.height * PIXELS_PER_MM))
    bitmap = pdfium.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGRx)
    bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
    matrix = raw.FS_MATRIX(
        mm_per_unit[0] * PIXELS_PER_MM,
        0,
        0,
        mm_per_unit[1] * PIXELS_PER_MM,
        PHASE - area.x * PIXELS_PER_MM,
        PHASE - area.y * PIXELS_PER_MM,
    )
    clip = raw.FS_RECTF(0, 0, width, height)
    raw.FPDF_RenderPageBitmapWithMatrix(
        bitmap.raw, page.raw, ctypes.byref(matrix), ctypes.byref(clip), raw.FPDF_PRINTING
    )
    picture = bitmap.to_pil().convert("RGB")
    bitmap.close()
    return np.asarray(picture, np.int16)


def flat_by_pdfium(
    path: Path,
    page: int,
    size: tuple[float, float],
    box: tuple[float, ...] | None,
    password: str | None = None,
) -> Callable[[Rect], Pixels]:
    """The flat as PDFium shows the original file.

    Args:
        path: The flat.
        page: Its page.
        size: Extent of the tiled box as seen, mm.
        box: Left, bottom, right, top of that box in page space; None leaves the page's own boxes.
        password: Opens the file.
    """
    document = pdfium.PdfDocument(path, password=password)
    if box is not None:
        first = document[page - 1]
        first.set_mediabox(*box)
        first.set_cropbox(*box)
        first.close()
    shown = document[page - 1]
    units = shown.get_size()
    return lambda area: rendered(shown, (size[0] / units[0], size[1] / units[1]), area)


def flat_by_reportlab(path: Path, size: tuple[float, float]) -> Callable[[Rect], Pixels]:
    """A picture flat, placed on a page of its size by reportlab.

    PDFium widens a placed picture to whole pixels; drawn by the same program, both sides are widened alike.
    """
    page = (size[0] * POINTS_PER_MM, size[1] * POINTS_PER_MM)
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=page)
    canvas.drawImage(ImageReader(str(path)), 0, 0, *page)
    canvas.save()
    document = pdfium.PdfDocument(out.getvalue())
    shown = document[0]
    units = shown.get_size()
    return lambda area: rendered(shown, (size[0] / units[0], size[1] / units[1]), area)


def tape_up(
    pack: Path,
    plan: dict[str, Any],
    flat: Callable[[Rect], Pixels],
    marks: Sequence[Rect] = (),
    displaced: tuple[str, float] | None = None,
) -> list[Compared]:
    """Compare every printed face with the flat.

    Args:
        pack: The written pack.
        plan: The JSON that was printed when it was written.
        flat: Shows a part of the flat.
        marks: Where marks stand on faces, flat coordinates, mm; left out of the comparison.
        displaced: A tile that a careless person lays this many mm too far to the right.
    """
    return [
        _compare(
            pack, tile, flat, marks, displaced[1] if displaced and displaced[0] == tile["label"] else 0.0
        )
        for tile in plan["tiles"]
        if tile["page"] is not None
    ]


def _compare(
    pack: Path, tile: dict[str, Any], flat: Callable[[Rect], Pixels], marks: Sequence[Rect], off: float
) -> Compared:
    """One face against the flat."""
    face = Rect(**tile["face"])
    dx = tile["place"]["x"] - tile["window"]["x"]
    dy = tile["place"]["y"] - tile["window"]["y"]
    with opened(pack, tile["page"]) as page:
        printed = rendered(page, (MM_PER_POINT, MM_PER_POINT), face.shifted(dx - off, dy))
    wanted = flat(face)
    seen = np.ones(wanted.shape[:2], bool)
    for mark in marks:
        cut = mark.intersection(face).grown(0.3).shifted(-face.x, -face.y).scaled(PIXELS_PER_MM)
        if mark.overlaps(face):
            seen[max(0, int(cut.y)) : int(cut.bottom) + 2, max(0, int(cut.x)) : int(cut.right) + 2] = False
    return Compared(tile["label"], shift_between(printed, wanted, seen), _foreign(printed, wanted, seen))


def _foreign(printed: Pixels, wanted: Pixels, seen: np.ndarray[Any, np.dtype[np.bool_]]) -> float:
    """Share of pixels in 3 × 3 spots that are wrong all over; a shifted edge is thinner than that."""
    gaps = np.abs(printed - wanted)
    wrong = (np.maximum(np.maximum(gaps[..., 0], gaps[..., 1]), gaps[..., 2]) > 40) & seen
    if not wrong.any():
        return 0.0
    solid = wrong.copy()
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            solid &= np.roll(wrong, (dy, dx), axis=(0, 1))
    return float(solid[2:-2, 2:-2].mean())


def shift_between(
    printed: Pixels, wanted: Pixels, seen: np.ndarray[Any, np.dtype[np.bool_]] | None = None
) -> float:
    """How far the print is from its best match, mm; 0 where there is no detail to match.

    A shift below half a pixel comes from the gradients at once; a larger one is looked for first.

    Args:
        printed: What came out.
        wanted: What it should be, of the same size.
        seen: Pixels that count; None for all.
    """
    if seen is None:
        seen = np.ones(wanted.shape[:2], bool)
    ours, theirs = _grey(printed), _grey(wanted)
    near = _fine_shift(ours, theirs, seen, 0, 0)
    if near is None:
        return 0.0
    if np.hypot(*near) < 0.5:
        return float(np.hypot(*near) / PIXELS_PER_MM)
    dx, dy = min(
        ((x, y) for y in range(-SEARCH, SEARCH + 1) for x in range(-SEARCH, SEARCH + 1)),
        key=lambda place: float(
            ((_moved(ours, *place) - _inner(theirs))[::3, ::3] ** 2 * _inner(seen)[::3, ::3]).sum()
        ),
    )
    fine = _fine_shift(ours, theirs, seen, dx, dy) or (0.0, 0.0)
    return float(np.hypot(dx + fine[0], dy + fine[1]) / PIXELS_PER_MM)


def _grey(picture: Pixels) -> Greys:
    """One channel."""
    grey: Greys = (picture[..., 0] + picture[..., 1] + picture[..., 2]).astype(np.float32) / np.float32(3)
    return grey


def _inner(picture: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """The picture without the border that a shift may leave."""
    return picture[SEARCH:-SEARCH, SEARCH:-SEARCH]


def _moved(picture: Greys, dx: int, dy: int) -> Greys:
    """The inner part of the picture, looked at ``dx``, ``dy`` pixels further on."""
    height, width = picture.shape
    return picture[SEARCH + dy : height - SEARCH + dy, SEARCH + dx : width - SEARCH + dx]


def _fine_shift(
    ours: Greys, theirs: Greys, seen: np.ndarray[Any, np.dtype[np.bool_]], dx: int, dy: int
) -> tuple[float, float] | None:
    """The rest of the shift by normal equations on the gradients (Lucas and Kanade 1981), pixels.

    None where the picture has no detail to match.
    """
    weight = _inner(seen)
    gy, gx = (slope * weight for slope in np.gradient(_inner(theirs)))
    gap = (_inner(theirs) - _moved(ours, dx, dy)) * weight
    system = np.array([[(gx * gx).sum(), (gx * gy).sum()], [(gx * gy).sum(), (gy * gy).sum()]])
    if np.linalg.det(system / weight.size) < 1e-2:
        return None
    fine = np.linalg.solve(system, np.array([(gx * gap).sum(), (gy * gap).sum()]))
    return float(fine[0]), float(fine[1])
