"""Going on with the later revision of a flat on the seams of the earlier one."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from tiler.errors import PlanError
from tiler.geometry import Rect
from tiler.job import Job
from tiler.plan.request import Pin
from tiler.plan.tile import Plan, Seam
from tiler.revision.changes import Changes
from tiler.run import plan_sheets

SAME_FACE = 0.05
"""Faces whose edges differ by less than this are the same, mm: less than any printer can show."""


def carried_on(later: Job, changes: Changes) -> Job | None:
    """The job of the later flat, whose plan has the earlier one's faces; None where there is no such job.

    Args:
        later: The earlier job with the later flat.
        changes: The comparison; the sheets of the earlier flat fit the later one.
    """
    for job in (later, _pinned(later, changes.plan)):
        try:
            plan = plan_sheets(job, changes.new).plan
        except PlanError:
            continue
        if has_same_faces(plan, changes.plan):
            return job
    return None


def has_same_faces(plan: Plan, other: Plan) -> bool:
    """True when both have the same tiles at the same places."""
    first, second = ({tile.label: tile.face for tile in one.tiles} for one in (plan, other))
    return first.keys() == second.keys() and all(_is_same(first[label], second[label]) for label in first)


def _is_same(a: Rect, b: Rect) -> bool:
    ends = zip((a.x, a.y, a.right, a.bottom), (b.x, b.y, b.right, b.bottom), strict=True)
    return all(abs(first - second) < SAME_FACE for first, second in ends)


def _pinned(job: Job, plan: Plan) -> Job:
    """The job with every seam of the plan held where it lies."""
    pins = dict.fromkeys(_pin(seam) for seam in plan.seams)
    return replace(job, pins=tuple(pins), nudges=())


def _pin(seam: Seam) -> Pin:
    axis: Literal["x", "y"] = "x" if seam.is_upright else "y"
    start, end = (seam.start.y, seam.end.y) if seam.is_upright else (seam.start.x, seam.end.x)
    at = seam.start.x if seam.is_upright else seam.start.y
    return Pin(axis, round(at, 3), round((start + end) / 2, 3))
