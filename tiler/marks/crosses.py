"""Corners where four tiles meet, and whose tab is snipped there.

::

            A1 | A2            Without a snip A1's tab corner would lie under the tabs of A2 and B1
          -----+-----          and under B2: four layers. Cut off at 45 degrees through the corner
            B1 | B2            of A1's face, three are left.
"""

from __future__ import annotations

from tiler.geometry import EPSILON
from tiler.plan.tile import Plan, Tile


def snipped(plan: Plan, tile: Tile) -> bool:
    """True when the lower right tab corner of ``tile`` would make a fourth layer."""
    if tile.right_tab <= EPSILON or tile.bottom_tab <= EPSILON:
        return False
    x, y = tile.face.right, tile.face.bottom
    return any(
        seam.is_upright
        and abs(seam.start.x - x) < tile.right_tab - EPSILON
        and seam.start.y - EPSILON <= y + tile.bottom_tab / 2 <= seam.end.y
        and seam.lower != tile.label
        for seam in plan.seams
    )
