"""Strips with their own heights, ways and seams: often fewer sheets than a plain grid.

::

        across                      down
         +----+                +----+----+----+
         | A1 |                | A1 |    |    |
    +----+-+--+---+            +----+ A2 | A3 |
    |  B1  |  B2  |            | B1 |    +----+
    +------+------+            +----+----+
"""

from __future__ import annotations

from tiler.geometry import Rect
from tiler.plan.build import Face
from tiler.plan.penalties import flipped
from tiler.plan.request import PlanRequest
from tiler.plan.settle import Settled, settle
from tiler.plan.space import Space
from tiler.plan.sweep import View, sweep
from tiler.plan.tile import tile_label


def best_strips(request: PlanRequest) -> tuple[list[Face], str] | None:
    """The faces of the best strip plan and its direction.

    Fewest sheets first, then the least harm, then evenness; strips across where all are equal.

    Returns:
        None when the user's rules allow no plan.
    """
    found: list[tuple[int, float, bool, Settled]] = []
    fewest: int | None = None
    sweeps = []
    for down in (False, True):
        space = Space.of(request, down)
        ahead, back = sweep(View.ahead(space)), sweep(View.back(space))
        if ahead and back:
            sweeps.append((down, space, ahead, back))
            fewest = min(len(ahead), fewest or len(ahead))
    for down, space, ahead, back in sweeps:
        if len(ahead) == fewest:
            plan = settle(space, ahead, back)
            if plan.strips:
                found.append((plan.sheets, round(plan.cost, 9), down, plan))
    if not found:
        return None
    *_, down, plan = min(found, key=lambda entry: entry[:3])
    return _faces(plan, down), "down" if down else "across"


def _faces(plan: Settled, down: bool) -> list[Face]:
    """Name the faces and turn them back from the planning space."""
    faces = []
    for number, strip in enumerate(plan.strips):
        for order, (left, right) in enumerate(strip.faces):
            rect = Rect.between(left, strip.top, right, strip.bottom)
            label = tile_label(order, number) if down else tile_label(number, order)
            faces.append(Face(label, number, order, flipped(rect) if down else rect, strip.landscape))
    return faces
