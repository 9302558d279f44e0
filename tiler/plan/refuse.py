"""Why the user's pins and forbidden stretches cannot be respected, in numbers."""

from __future__ import annotations

from tiler.errors import PlanError
from tiler.plan.chain import TINY, Fees
from tiler.plan.request import Axis, PlanRequest
from tiler.plan.tile import Plan
from tiler.units import format_length, format_number


def check_rules(request: PlanRequest) -> None:
    """Refuse pins that lie outside the flat or in a forbidden stretch, and stretches that run backwards.

    Raises:
        PlanError: Names the pin or stretch.
    """
    for pin in request.pins:
        far = request.flat.width if pin.axis == "x" else request.flat.height
        if not 0 < pin.at < far:
            raise PlanError(
                f"the seam pinned at {pin.axis} {format_length(pin.at)} lies outside the flat, which ends at"
                f" {format_length(far)}",
                "pin it inside",
            )
        for stretch in request.forbidden:
            if stretch.axis == pin.axis and stretch.start + TINY < pin.at < stretch.end - TINY:
                raise PlanError(
                    f"the seam pinned at {pin.axis} {format_length(pin.at)} lies where seams are"
                    f" forbidden, from {format_number(stretch.start)} to {format_length(stretch.end)}",
                    "drop one of the two",
                )
    for stretch in request.forbidden:
        if not stretch.end > stretch.start:
            raise PlanError(
                f"the forbidden stretch from {stretch.axis} {format_number(stretch.start)} to"
                f" {format_length(stretch.end)} has no length",
                "give the smaller number first",
            )


def check_pins(request: PlanRequest, plan: Plan) -> None:
    """Refuse pins at which the plan has no seam, because there is nothing to divide.

    Raises:
        PlanError: Names the pin.
    """
    for pin in request.pins:
        upright = pin.axis == "x"
        seams = [seam for seam in plan.seams if seam.is_upright == upright]
        if not any(abs((seam.start.x if upright else seam.start.y) - pin.at) < 0.01 for seam in seams):
            raise PlanError(
                f"no seam can lie at {pin.axis} {format_length(pin.at)}:"
                " nothing is to be covered on both sides of it",
                "pin the seam elsewhere",
            )


def no_plan(request: PlanRequest) -> PlanError:
    """The error for rules that together allow no plan."""
    for axis in ("x", "y"):
        face = _largest_face(request, axis)
        for start, end in _blocked(request, axis):
            if end - start > face + TINY:
                return PlanError(
                    f"no seam may lie from {axis} {format_number(start)} to {format_length(end)}, which is"
                    f" {format_length(end - start)},"
                    f" but the largest face with neighbours is {format_length(face)}",
                    "forbid less, or use a larger sheet or a smaller overlap",
                )
    width, height = _largest_face(request, "x"), _largest_face(request, "y")
    return PlanError(
        f"the {len(request.pins)} pinned seams and {len(request.forbidden)} forbidden stretches together"
        f" leave no way to cover the flat with faces of at most"
        f" {format_length(width)} by {format_length(height)}",
        "drop one of them",
    )


def _largest_face(request: PlanRequest, axis: Axis) -> float:
    """The largest face with neighbours on both sides, mm."""
    fees = Fees.of(request.tab)
    rooms = [request.printable(landscape).size[0 if axis == "x" else 1] for landscape in request.orientations]
    return max(rooms) - fees.start_joined - fees.end_joined


def _blocked(request: PlanRequest, axis: Axis) -> list[tuple[float, float]]:
    """Forbidden stretches of one axis, merged where they overlap."""
    merged: list[tuple[float, float]] = []
    for start, end in sorted((f.start, f.end) for f in request.forbidden if f.axis == axis):
        if merged and start < merged[-1][1] - TINY:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged
