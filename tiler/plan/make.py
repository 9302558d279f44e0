"""The one way in: a request becomes a plan."""

from __future__ import annotations

from tiler.plan.grid import plan_grid
from tiler.plan.request import PlanRequest
from tiler.plan.tile import Plan


def make_plan(request: PlanRequest) -> Plan:
    """Divide the flat into the fewest strong sheets.

    Raises:
        PlanError: No plan fulfils the request.
    """
    return plan_grid(request)
