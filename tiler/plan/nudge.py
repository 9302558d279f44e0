"""Move a seam by hand, and see whether the plan still holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.errors import PlanError
from tiler.geometry import Rect
from tiler.plan.build import Face
from tiler.plan.chain import TINY
from tiler.plan.cover import uncovered
from tiler.plan.request import Nudge, PlanRequest
from tiler.plan.tile import Plan, Seam
from tiler.units import format_length, format_number


def nudged(plan: Plan, request: PlanRequest) -> list[Face]:
    """The faces of a plan after all nudges of the request.

    A seam within a strip moves for its two tiles alone; a seam between strips, and any seam of a plain grid,
    moves as one line from end to end.

    Raises:
        PlanError: There is no such seam, or it cannot move so far.
    """
    faces = [Face(t.label, t.strip, t.order, t.face, t.landscape) for t in plan.tiles]
    for nudge in request.nudges:
        seam = find_seam(plan, nudge.seam)
        faces = _moved(plan, faces, seam, nudge)
        hole = uncovered(request.region, faces, plan.direction == "down")
        if hole:
            raise PlanError(
                f"seam {nudge.seam} cannot move {_way(seam, nudge.by)}: the part at"
                f" x {format_number(hole.x)}, y {format_number(hole.y)} would lie on no tile",
                "move it less",
            )
    return faces


def find_seam(plan: Plan, name: str) -> Seam:
    """The seam between the two tiles named, in either order.

    Raises:
        PlanError: These tiles do not meet.
    """
    labels = {label.strip().upper() for label in name.split("|")}
    for seam in plan.seams:
        if labels == {seam.lower, seam.upper}:
            return seam
    known = ", ".join(f"{seam.lower}|{seam.upper}" for seam in plan.seams)
    raise PlanError(
        f"there is no seam '{name}' in this plan", f"its seams are {known}" if known else "it has one tile"
    )


def _moved(plan: Plan, faces: Sequence[Face], seam: Seam, nudge: Nudge) -> list[Face]:
    """All faces after one line has moved."""
    by_label = {face.label: face for face in faces}
    lower, upper = by_label[seam.lower], by_label[seam.upper]
    strips = {lower.strip, upper.strip}
    alone = plan.layout == "strips" and len(strips) == 1
    at = upper.rect.x if seam.is_upright else upper.rect.y
    after = []
    for face in faces:
        concerned = face in (lower, upper) if alone else plan.layout == "grid" or face.strip in strips
        rect = _shifted(face.rect, seam.is_upright, at, nudge.by) if concerned else face.rect
        if rect.is_empty:
            raise PlanError(
                f"seam {nudge.seam} cannot move {_way(seam, nudge.by)}:"
                f" nothing would be left of tile {face.label}",
                "move it less",
            )
        after.append(replace(face, rect=rect))
    return after


def _shifted(rect: Rect, upright: bool, at: float, by: float) -> Rect:
    """The rectangle with its edge on the line moved along."""
    left, top, right, bottom = rect.x, rect.y, rect.right, rect.bottom
    if upright:
        left, right = (edge + by if abs(edge - at) < TINY else edge for edge in (left, right))
    else:
        top, bottom = (edge + by if abs(edge - at) < TINY else edge for edge in (top, bottom))
    return Rect.between(left, top, right, bottom)


def _way(seam: Seam, by: float) -> str:
    """A move in words."""
    ways = ("left", "right") if seam.is_upright else ("up", "down")
    return f"{format_length(abs(by))} {ways[by > 0]}"
