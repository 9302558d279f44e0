"""All that the checks look at, read from the flat once."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import shapely
from PIL import Image

from tiler.checks.pixels import Pixels
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Flat
from tiler.flat.text import TextRun, runs_of
from tiler.geometry import Rect, Size
from tiler.structure.kinds import LineKind
from tiler.structure.model import Structure
from tiler.structure.panels import Panel

if TYPE_CHECKING:
    from tiler.checks.drawing import Drawing

SAMPLE = 4.0
"""Pixels per mm of the picture that samples are taken from; a ring round small type is two of them wide."""

MOST_PIXELS = 12_000_000
"""Of that picture; a larger flat is sampled more coarsely."""

Zoom = Callable[[Rect, float], Image.Image]
"""Renders a part of the flat (mm) at a resolution (pixels per mm), structure layers switched off."""


@dataclass(frozen=True)
class Sight:
    """A flat as the checks see it; alive within ``looking_at``."""

    size: Size
    """mm."""
    is_picture: bool
    """True for a flat that is one picture, in which nothing but pixels can be read."""
    runs: tuple[TextRun, ...]
    drawing: Drawing
    zoom: Zoom
    structure: Structure
    trim: Rect | None
    """The TrimBox, when it lies within the flat; flat millimetres."""
    bleed: float
    """How far art is meant to reach beyond the cut, mm."""

    @cached_property
    def pixels(self) -> Pixels:
        """The whole flat at about ``SAMPLE``; rendered when a check first asks for it."""
        area = Rect(0, 0, *self.size)
        sample = min(SAMPLE, math.sqrt(MOST_PIXELS / (area.width * area.height)))
        return Pixels(self.zoom(area, sample), area, sample)

    @cached_property
    def cuts(self) -> Any:
        """All cuts as one shapely geometry; empty when none is known."""
        return _lines(self.structure, lambda kind: kind.is_cut)

    @cached_property
    def folds(self) -> Any:
        """All creases as one shapely geometry."""
        return _lines(self.structure, lambda kind: kind.is_fold)

    @cached_property
    def blank(self) -> Any:
        """What remains after cutting, as a shapely polygon; None when it is not known."""
        if self.structure.panels:
            return shapely.unary_union([panel.shape for panel in self.structure.panels])
        if self.trim is not None:
            return shapely.box(self.trim.x, self.trim.y, self.trim.right, self.trim.bottom)
        return None

    @cached_property
    def _printed(self) -> Any:
        """The blank with its bleed."""
        if self.blank is None:
            return None
        grown = self.blank.buffer(self.bleed, join_style="mitre")
        shapely.prepare(grown)
        return grown

    def is_printed(self, box: Rect) -> bool:
        """True for what lies on the blank or its bleed, and not just in the waste."""
        if self._printed is None:
            return True
        x, y = box.centre
        return bool(shapely.intersects_xy(self._printed, x, y))

    def panel_at(self, box: Rect) -> Panel | None:
        """The panel under the middle of a box; None in the waste."""
        x, y = box.centre
        for panel in self.structure.panels:
            if panel.box.contains(box.centre) and shapely.intersects_xy(panel.shape, x, y):
                return panel
        return None


@contextmanager
def looking_at(flat: Flat, structure: Structure, bleed: float, widest: float) -> Iterator[Sight]:
    """Read the flat for the checks and hold PDFium meanwhile.

    Args:
        flat: The flat.
        structure: Its cuts, creases and panels; empty when not known.
        bleed: How far art is meant to reach beyond the cut, mm.
        widest: Lines wider than this are of no interest, pt.

    Raises:
        FlatError: The flat cannot be read.
    """
    from tiler.checks.drawing import Drawing, read_drawing

    if not isinstance(flat.source, PdfFlat):
        from tiler.flat.raster import Preview

        yield Sight(flat.size, True, (), Drawing(), Preview(flat).render, structure, None, bleed)
        return
    from tiler.flat.objects import opened

    hidden = [layer.key for layer in structure.layers if layer.key != (0, 0)]
    with opened(flat, hidden) as objects:
        yield Sight(
            size=flat.size,
            is_picture=False,
            runs=runs_of(objects),
            drawing=read_drawing(objects, widest),
            zoom=objects.picture,
            structure=structure,
            trim=_trim(flat.source),
            bleed=bleed,
        )


def _lines(structure: Structure, wanted: Callable[[LineKind], bool]) -> Any:
    """Structure lines of some kinds as one geometry."""
    lines = [line.points for line in structure.lines if wanted(line.kind) and line.length > 0]
    if not lines:
        return shapely.MultiLineString()
    geometry = shapely.multilinestrings([shapely.linestrings(points) for points in lines])
    shapely.prepare(geometry)
    return geometry


def _trim(source: PdfFlat) -> Rect | None:
    """The page's TrimBox in flat millimetres, when it lies within the seen box with room on all sides."""
    from pypdf.generic import ArrayObject

    value = source.page.get("/TrimBox")
    value = value.get_object() if value is not None else None
    if not isinstance(value, ArrayObject) or len(value) != 4:
        return None
    try:
        x0, y0, x1, y1 = (float(number.get_object()) for number in value)
    except (TypeError, ValueError, AttributeError):
        return None
    corners = (source.seen.to_flat.apply(x0, y0), source.seen.to_flat.apply(x1, y1))
    xs, ys = sorted(c.x for c in corners), sorted(c.y for c in corners)
    trim = Rect.between(xs[0], ys[0], xs[1], ys[1])
    whole = Rect(0, 0, *source.seen.size)
    return trim if not trim.is_empty and whole.inset(0.5, 0.5, 0.5, 0.5).holds(trim) else None
