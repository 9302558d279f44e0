"""The boxes of a PDF page (ISO 32000-2, 14.11.2) and what a person sees through one.

Page space has its origin anywhere and y upwards; ``Seen`` maps it to millimetres from the top left, after
/Rotate and UserUnit.
"""

from __future__ import annotations

from dataclasses import dataclass

from pypdf import PageObject
from pypdf.generic import ArrayObject

from tiler.errors import FlatError, UsageError
from tiler.geometry import Affine, Rect, Size
from tiler.units import MM_PER_POINT, POINTS_PER_MM, format_number

KEYS = {"media": "/MediaBox", "crop": "/CropBox", "bleed": "/BleedBox", "trim": "/TrimBox", "art": "/ArtBox"}
BOX_NAMES = ("auto", *("trim", "bleed", "crop", "media", "art"))
SMALLEST, LARGEST = 5.0, 5080.0
"""Sides that are taken, mm; 5,080 mm is the 14,400 unit limit that viewers keep (200 inch)."""


@dataclass(frozen=True)
class Seen:
    """One box of a page, as a person sees it."""

    name: str
    """``media``, ``crop``, ``bleed``, ``trim`` or ``art``."""
    box: tuple[float, float, float, float]
    """Left, bottom, right, top in page space."""
    rotate: int
    """Clockwise degrees: 0, 90, 180 or 270."""
    unit: float
    """UserUnit: size of a page unit in points."""

    @property
    def size(self) -> Size:
        """Extent in mm after turning."""
        left, bottom, right, top = self.box
        scale = self.unit * MM_PER_POINT
        size = Size((right - left) * scale, (top - bottom) * scale)
        return size.turned() if self.rotate in (90, 270) else size

    @property
    def to_flat(self) -> Affine:
        """From page space to flat millimetres (origin top-left, y down)."""
        left, bottom, right, top = self.box
        k = self.unit * MM_PER_POINT
        return {
            0: Affine(k, 0, 0, -k, -left * k, top * k),
            90: Affine(0, k, k, 0, -bottom * k, -left * k),
            180: Affine(-k, 0, 0, k, right * k, -bottom * k),
            270: Affine(0, -k, -k, 0, top * k, right * k),
        }[self.rotate]

    @property
    def to_form(self) -> Affine:
        """From page space to points with the origin at the seen box's bottom left, y up."""
        flip = Affine(POINTS_PER_MM, 0, 0, -POINTS_PER_MM, 0, self.size.height * POINTS_PER_MM)
        return self.to_flat.then(flip)


def seen(page: PageObject, wanted: str, where: str) -> Seen:
    """Look at a page through one of its boxes.

    ``auto`` takes the BleedBox where it differs from the MediaBox, else the TrimBox, else the CropBox.

    Args:
        page: The page.
        wanted: One of ``BOX_NAMES``.
        where: File and page for messages.

    Raises:
        FlatError: The page has no usable box, or its size is absurd.
        UsageError: ``wanted`` is no box.
    """
    if wanted not in BOX_NAMES:
        raise UsageError(f"'{wanted}' is not a page box", f"choose one of {', '.join(BOX_NAMES)}")
    media = _box(page, "media")
    if media is None:
        raise FlatError(f"{where}: the page has no MediaBox, so its size is unknown", "save it anew as PDF")
    name, box = _choose(page, wanted, media)
    result = Seen(name, box, _rotation(page), _user_unit(page))
    if not all(SMALLEST <= side <= LARGEST for side in result.size):
        width, height = (format_number(side, 2) for side in result.size)
        raise FlatError(
            f"{where}: its {name} box is {width} × {height} mm",
            f"a flat has sides from {SMALLEST:g} to {LARGEST:g} mm; choose another --box or correct the file",
        )
    return result


def _choose(
    page: PageObject, wanted: str, media: tuple[float, float, float, float]
) -> tuple[str, tuple[float, float, float, float]]:
    """Name and extent of the box to tile."""
    boxes = {name: _within(_box(page, name), media) for name in KEYS}
    crop = boxes["crop"] or media
    if wanted == "auto":
        bleed, trim = boxes["bleed"], boxes["trim"]
        if bleed is not None and bleed != media:
            return "bleed", bleed
        if trim is not None:
            return "trim", trim
        return ("crop", crop) if boxes["crop"] is not None else ("media", media)
    if wanted == "media":
        return wanted, media
    return wanted, boxes[wanted] or crop


def _box(page: PageObject, name: str) -> tuple[float, float, float, float] | None:
    """A box of the page with its corners in order; None when absent, empty or malformed."""
    value: object = inherited(page, KEYS[name]) if name in ("media", "crop") else page.get(KEYS[name])
    value = value.get_object() if value is not None else None  # type: ignore[attr-defined]
    if not isinstance(value, ArrayObject) or len(value) != 4:
        return None
    try:
        x0, y0, x1, y1 = (float(number.get_object()) for number in value)
    except (TypeError, ValueError, AttributeError):
        return None
    left, right = sorted((x0, x1))
    bottom, top = sorted((y0, y1))
    return (left, bottom, right, top) if right - left > 0 and top - bottom > 0 else None


def _within(
    box: tuple[float, float, float, float] | None, media: tuple[float, float, float, float]
) -> tuple[float, float, float, float] | None:
    """The part of a box that lies on the medium; None when there is none."""
    if box is None:
        return None
    cut = Rect.between(*box).intersection(Rect.between(*media))
    return None if cut.is_empty else (cut.x, cut.y, cut.right, cut.bottom)


def inherited(page: PageObject, key: str) -> object | None:
    """A page attribute that may stand on an ancestor; a page tree can be cyclic, so the climb is bounded."""
    node: object = page
    for _ in range(100):
        if not hasattr(node, "get"):
            return None
        value = node.get(key)
        if value is not None:
            return value  # type: ignore[no-any-return]
        parent = node.get("/Parent")
        node = parent.get_object() if parent is not None else None
    return None


def _rotation(page: PageObject) -> int:
    """/Rotate as 0, 90, 180 or 270."""
    value = inherited(page, "/Rotate")
    try:
        degrees = float(value.get_object()) if value is not None else 0.0  # type: ignore[attr-defined]
    except (TypeError, ValueError, AttributeError):
        degrees = 0.0
    return round(degrees / 90) * 90 % 360


def _user_unit(page: PageObject) -> float:
    """UserUnit, 1 when absent or senseless."""
    try:
        unit = float(page.get("/UserUnit", 1.0))
    except (TypeError, ValueError):
        return 1.0
    return unit if unit > 0 else 1.0
