"""The one way in: a request becomes a plan."""

from __future__ import annotations

from dataclasses import replace

from tiler.plan.build import build_plan
from tiler.plan.grid import best_grid, grid_faces
from tiler.plan.joints import joint_warnings
from tiler.plan.judge import judged
from tiler.plan.nudge import nudged
from tiler.plan.refuse import check_pins, check_rules, no_plan
from tiler.plan.request import PlanRequest, check_request
from tiler.plan.strips import best_strips
from tiler.plan.tile import Plan


def make_plan(request: PlanRequest) -> Plan:
    """Divide the flat into the fewest strong sheets.

    Raises:
        PlanError: No plan fulfils the request; the sentence says which choice stands in the way.
    """
    check_request(request)
    check_rules(request)
    grid = best_grid(request)
    if request.layout == "grid":
        if grid is None:
            raise no_plan(request)
        faces, direction = grid_faces(grid), "across"
    else:
        strips = best_strips(request)
        if strips is None:
            raise no_plan(request)
        faces, direction = strips
    honest = grid or best_grid(replace(request, pins=(), forbidden=()))
    count = len(honest.cells) if honest else len(faces)
    plan = build_plan(request, faces, request.layout, direction, count)
    check_pins(request, plan)
    if request.nudges:
        plan = build_plan(request, nudged(plan, request), request.layout, direction, count)
    plan = judged(plan, request)
    return replace(plan, warnings=joint_warnings(plan))
