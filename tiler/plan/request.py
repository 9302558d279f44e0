"""What a plan is asked for, and whether paper and choices leave room for one."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from tiler.errors import PlanError
from tiler.geometry import Margins, Rect, Size
from tiler.plan.sheet import Sheet
from tiler.plan.tile import ALLOWANCE, EDGE_BAND
from tiler.units import format_length, format_number

if TYPE_CHECKING:
    from tiler.plan.region import Region

Axis = Literal["x", "y"]
"""``x``: an upright seam at that x; ``y``: a level seam at that y."""

LEAST_OVERLAP = 5.0
"""A narrower glue tab holds nothing, mm (common practice, no source)."""

LEAST_FACE = 30.0
"""A face or a joint below this is weak, mm (common practice, no source)."""

DEFAULT_OVERLAP = 12.0
"""Width of a glue tab: 10 to 15 mm are usual (common practice, no source)."""


@dataclass(frozen=True)
class Avoid:
    """Something a seam should keep away from."""

    kind: Literal["crease", "text", "code", "check point"]
    """A crease matters only to seams that run along it; all others must not be crossed."""
    rect: Rect
    """Where it lies on the flat, mm; a crease is a thin rectangle (either side may be 0)."""
    name: str = ""
    """What people call it: the words of a text, the number of a code."""
    direction: Literal["", "across", "down"] = ""
    """Of a crease: ``across`` runs along x, ``down`` along y; empty takes the longer side of ``rect``."""

    @property
    def runs_across(self) -> bool:
        """True for a crease along x."""
        if self.direction:
            return self.direction == "across"
        return self.rect.width >= self.rect.height


@dataclass(frozen=True)
class Pin:
    """Where a seam must lie."""

    axis: Axis
    at: float
    """mm."""
    through: float | None = None
    """The other coordinate of a point that the seam must pass, mm; other strips are then free.

    None asks for a seam wherever something is to be covered on both sides of the line.
    """


@dataclass(frozen=True)
class Forbidden:
    """A stretch in which no seam may lie."""

    axis: Axis
    start: float
    """mm; a seam exactly here is allowed."""
    end: float
    """mm; a seam exactly here is allowed."""


@dataclass(frozen=True)
class Nudge:
    """A seam moved by hand after planning."""

    seam: str
    """The two tiles, as in ``A1|A2``."""
    by: float
    """mm to the right or down; negative to the left or up."""


@dataclass(frozen=True)
class PlanRequest:
    """Everything a plan depends on."""

    flat: Size
    """Size of the tiled box after scaling, mm."""
    region: Region
    """What must be covered."""
    sheet: Sheet
    margins: Margins
    """Unprintable edges of the upright sheet, mm."""
    overlap: float = DEFAULT_OVERLAP
    """Width of a glue tab, mm."""
    orientation: Literal["auto", "portrait", "landscape"] = "auto"
    layout: Literal["strips", "grid"] = "strips"
    avoid: tuple[Avoid, ...] = ()
    pins: tuple[Pin, ...] = ()
    forbidden: tuple[Forbidden, ...] = ()
    nudges: tuple[Nudge, ...] = ()

    @property
    def orientations(self) -> tuple[bool, ...]:
        """The ways a sheet may lie; True is landscape."""
        return {"auto": (False, True), "portrait": (False,), "landscape": (True,)}[self.orientation]

    @property
    def tab(self) -> float:
        """Paper needed beyond an edge with a glue tab, mm."""
        return max(self.overlap, EDGE_BAND)

    def printable(self, landscape: bool) -> Rect:
        """The printable area of the sheet as it lies, mm."""
        return self.sheet.printable(self.margins, landscape)


def check_request(request: PlanRequest) -> None:
    """Hold the choices against the paper.

    Raises:
        PlanError: They leave no room for a plan; the sentence says which one and why.
    """
    numbers = (*request.flat, *request.sheet.size, *request.margins, request.overlap)
    if not all(math.isfinite(number) for number in numbers):
        raise PlanError("a size, margin or overlap is not a number", "give lengths in mm")
    if min(request.flat) <= 0:
        raise PlanError("the flat has no area", "choose another box or scale")
    if any(abs(a - b) > 0.01 for a, b in zip(request.flat, request.region.size, strict=True)):
        raise PlanError("the region was made for a flat of another size", "read the flat again")
    if request.region.is_empty:
        raise PlanError(
            "nothing on this flat is to be covered", "check the page, the box and the hidden layers"
        )
    if min(request.margins) < 0:
        raise PlanError("a printer margin is below 0 mm", "give margins of 0 mm or more")
    if request.overlap < LEAST_OVERLAP:
        raise PlanError(
            f"an overlap of {format_length(request.overlap)} makes glue tabs that hold nothing",
            f"use at least {format_length(LEAST_OVERLAP)}",
        )
    for landscape in request.orientations:
        _check_room(request, landscape)


def _check_room(request: PlanRequest, landscape: bool) -> None:
    """Raise when a tile with neighbours all round would have too small a face."""
    area = request.printable(landscape)
    face = Size(area.width - ALLOWANCE - request.tab, area.height - ALLOWANCE - request.tab)
    if min(face) >= LEAST_FACE:
        return
    sheet = f"{request.sheet.name} ({_measure(request.sheet.oriented(landscape))} mm)"
    if min(area.size) <= ALLOWANCE + EDGE_BAND + LEAST_FACE:
        raise PlanError(
            f"the margins leave {_measure(area.size)} mm of {sheet}, too little for a tile",
            "use smaller margins or a larger sheet",
        )
    raise PlanError(
        f"an overlap of {format_length(request.overlap)} leaves faces of {_measure(face)} mm on {sheet}",
        f"use a smaller overlap or a larger sheet, so that faces keep {format_length(LEAST_FACE)}",
    )


def _measure(size: Size) -> str:
    """Width and height for a sentence."""
    return f"{format_number(max(0.0, size.width))} × {format_number(max(0.0, size.height))}"
