"""Why a seam lies where it does: its penalty and one sentence, for the map page and the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tiler.geometry import Rect
from tiler.plan.chain import TINY, Fees
from tiler.plan.penalties import CLEARANCE, CREASE_REACH, Hazards, matters, narrow
from tiler.plan.request import LEAST_FACE, Avoid, PlanRequest
from tiler.plan.tile import Plan, Seam, Tile
from tiler.units import format_length, format_number

_NEAR = 30.0
"""A crease within this is worth a word, mm."""


def judged(plan: Plan, request: PlanRequest) -> Plan:
    """The plan with a penalty and a reason for every seam."""
    avoid = [item for item in request.avoid if request.region.touches(item.rect.grown(0.1))]
    tiles = {tile.label: tile for tile in plan.tiles}
    seams = []
    for seam in plan.seams:
        lower, upper = tiles[seam.lower], tiles[seam.upper]
        penalty = _penalty(seam, avoid) + _narrow(seam, lower, upper)
        why = _why(seam, lower, upper, avoid, request)
        seams.append(replace(seam, penalty=round(penalty, 2), why=why))
    return replace(plan, seams=tuple(seams))


def _ends(seam: Seam) -> tuple[float, float, float]:
    """Place of the seam, and from and to along it, mm."""
    if seam.is_upright:
        return seam.start.x, seam.start.y, seam.end.y
    return seam.start.y, seam.start.x, seam.end.x


def _penalty(seam: Seam, avoid: Sequence[Avoid]) -> float:
    """The summed penalty of what the seam meets."""
    at, low, high = _ends(seam)
    hazards = Hazards.of(avoid, seam.is_upright)
    return float(hazards.at(np.array([at]), hazards.active(low, high))[0])


def _narrow(seam: Seam, lower: Tile, upper: Tile) -> float:
    """The penalty of too narrow faces beside the seam."""
    return max(narrow(_depth(tile.face, seam)) for tile in (lower, upper))


def _depth(face: Rect, seam: Seam) -> float:
    """Extent of a face across the seam, mm."""
    return face.width if seam.is_upright else face.height


def _why(seam: Seam, lower: Tile, upper: Tile, avoid: Sequence[Avoid], request: PlanRequest) -> str:
    """The reason in one sentence without full stop."""
    at = _ends(seam)[0]
    axis = "x" if seam.is_upright else "y"
    if any(pin.axis == axis and abs(pin.at - at) < 0.01 for pin in request.pins):
        return "; ".join(filter(None, (f"pinned at {axis} {format_length(at)}", _faults(seam, avoid))))
    faults = _faults(seam, avoid)
    if faults:
        return f"{faults} - {_excuse(seam, lower, upper, avoid, request)}"
    if _narrow(seam, lower, upper):
        return f"leaves a face under {format_length(LEAST_FACE)} wide, the fewest sheets allow no other place"
    crease = _nearest_crease(seam, avoid)
    if crease and crease[0] <= _NEAR:
        return f"{format_length(crease[0])} clear of the crease at {axis} {format_number(crease[1])}"
    return "clear of creases, texts and codes" if avoid else "placed for even tiles"


def _faults(seam: Seam, avoid: Sequence[Avoid]) -> str:
    """What the seam crosses or comes too near to, in words; empty when it is clean."""
    at, low, high = _ends(seam)
    words = []
    for item in avoid:
        if not matters(item, seam.is_upright):
            continue
        start, end, first, last = _extent(item, seam.is_upright)
        if min(last, high) - max(first, low) <= TINY:
            continue
        distance = max(start - at, at - end, 0.0)
        if item.kind == "crease" and distance < CREASE_REACH - TINY:
            words.append(
                f"runs {format_length(distance)} beside the crease at {_axis(seam)} {format_number(start)}"
                if distance >= 0.05
                else f"runs on the crease at {_axis(seam)} {format_number(start)}"
            )
        elif item.kind != "crease" and distance < CLEARANCE - TINY:
            words.append(f"{'crosses' if distance == 0 else 'touches'} {_named(item)}")
    return ", ".join(words[:3]) + (f" and {len(words) - 3} more" if len(words) > 3 else "")


def _excuse(seam: Seam, lower: Tile, upper: Tile, avoid: Sequence[Avoid], request: PlanRequest) -> str:
    """Why it lies there all the same: its slack holds no free place, or other seams gain more."""
    at, low, high = _ends(seam)
    back, forth = slack(seam, lower, upper, request)
    places = np.append(np.arange(at - back, at + forth, 1.0), at + forth)
    hazards = Hazards.of(avoid, seam.is_upright)
    if back + forth < 0.5:
        return "the fewest sheets leave it no slack"
    if float(hazards.at(places, hazards.active(low, high)).min()) > TINY:
        return f"no free place within {format_length(max(back, forth), 0)}"
    return "least harm for all seams together"


def slack(seam: Seam, lower: Tile, upper: Tile, request: PlanRequest) -> tuple[float, float]:
    """How far the seam could move back and forth before one of its tiles outgrows its sheet, mm."""
    fees = Fees.of(request.tab)
    if seam.is_upright:
        rooms = lower.printable.width, upper.printable.width
        spent = lower.left_allowance, fees.end_joined if upper.right else fees.end_free
    else:
        rooms = lower.printable.height, upper.printable.height
        spent = lower.top_allowance, fees.end_joined if upper.below else fees.end_free
    forth = rooms[0] - spent[0] - fees.end_joined - _depth(lower.face, seam)
    back = rooms[1] - spent[1] - fees.start_joined - _depth(upper.face, seam)
    limit = max(0.0, _depth(lower.face, seam) - 1.0), max(0.0, _depth(upper.face, seam) - 1.0)
    return min(max(0.0, back), limit[0]), min(max(0.0, forth), limit[1])


def _nearest_crease(seam: Seam, avoid: Sequence[Avoid]) -> tuple[float, float] | None:
    """Distance and place of the nearest crease along the seam."""
    at, low, high = _ends(seam)
    found = []
    for item in avoid:
        start, end, first, last = _extent(item, seam.is_upright)
        if item.kind == "crease" and matters(item, seam.is_upright) and min(last, high) > max(first, low):
            found.append((max(start - at, at - end, 0.0), start))
    return min(found, default=None)


def _extent(item: Avoid, upright: bool) -> tuple[float, float, float, float]:
    """Start and end across the seam, start and end along it, mm."""
    rect = item.rect
    if upright:
        return rect.x, rect.right, rect.y, rect.bottom
    return rect.y, rect.bottom, rect.x, rect.right


def _axis(seam: Seam) -> str:
    """The letter of the coordinate that the seam holds."""
    return "x" if seam.is_upright else "y"


def _named(item: Avoid) -> str:
    """The thing in words."""
    kind = {"code": "bar code"}.get(item.kind, item.kind)
    return f"the {kind} '{item.name}'" if item.name else f"a {kind}"
