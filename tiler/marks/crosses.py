"""Which tab corners are snipped off, because four tiles meet there and would make four layers."""

from __future__ import annotations

from dataclasses import replace

from tiler.plan.joints import crosses
from tiler.plan.tile import Plan, Tile


def snipped(plan: Plan, tile: Tile) -> bool:
    """True when the lower right tab corner of ``tile`` would make a fourth layer."""
    if tile.right_tab <= 0 or tile.bottom_tab <= 0:
        return False
    near = tuple(
        other
        for other in plan.tiles
        if abs(other.face.x - tile.face.right) < tile.right_tab
        and abs(other.face.y - tile.face.bottom) < tile.bottom_tab
    )
    return any(label == tile.label for label, _ in crosses(replace(plan, tiles=(tile, *near))))
