"""How tiles hold together: joints, loose tiles and crosses where four tiles meet."""

from __future__ import annotations

from tiler.geometry import Point
from tiler.plan.request import LEAST_FACE
from tiler.plan.tile import Plan, Tile
from tiler.units import format_length


def joint(plan: Plan, label: str) -> float:
    """The longest glue tab that joins the tile to one other, mm; 0 for a tile on its own."""
    return max((seam.length for seam in plan.seams if label in (seam.upper, seam.lower)), default=0.0)


def groups(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """The tiles that hang together, directly or through others."""
    group = {tile.label: tile.label for tile in plan.tiles}

    def root(label: str) -> str:
        while group[label] != label:
            label = group[label]
        return label

    for seam in plan.seams:
        group[root(seam.upper)] = root(seam.lower)
    roots = list(dict.fromkeys(root(tile.label) for tile in plan.tiles))
    return tuple(tuple(t.label for t in plan.tiles if root(t.label) == r) for r in roots)


def joint_warnings(plan: Plan) -> tuple[str, ...]:
    """Say which tiles are held too weakly, and whether the mock falls into pieces."""
    if len(plan.tiles) < 2:
        return ()
    found = []
    for tile in plan.tiles:
        length = joint(plan, tile.label)
        if length < LEAST_FACE - 1e-6:
            held = f"only by {format_length(length)} of glue tab" if length else "by no glue tab"
            found.append(f"Tile {tile.label} is joined {held}: back it with a piece of card.")
    pieces = groups(plan)
    if len(pieces) > 1:
        names = " / ".join(", ".join(piece) for piece in pieces)
        found.append(f"The tiles make {len(pieces)} separate pieces: {names}.")
    return tuple(found)


def crosses(plan: Plan) -> tuple[tuple[str, Point], ...]:
    """The tiles whose bottom-right face corner lies under three others, and that corner.

    ::

             A1    |   A2          A1's tab corner would lie under A2's tab, B1's tab and B2:
        -----------+---------      four layers, unless the corner is snipped off
             B1  |   B2
                 |<->| less than a tab
    """
    return tuple(
        (tile.label, Point(tile.face.right, tile.face.bottom))
        for tile in plan.tiles
        if tile.right_tab > 0 and tile.bottom_tab > 0 and any(_crosses(tile, t) for t in plan.tiles)
    )


def _crosses(tile: Tile, diagonal: Tile) -> bool:
    """True when ``diagonal`` has tiles left and above, and begins within a tab of the corner of ``tile``."""
    if not (diagonal.left and diagonal.above) or diagonal.label in (*tile.right, *tile.left):
        return False
    across, down = diagonal.face.x - tile.face.right, diagonal.face.y - tile.face.bottom
    return abs(across) < tile.right_tab - 1e-6 and abs(down) < tile.bottom_tab - 1e-6
