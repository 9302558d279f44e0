"""From where a meeting is seen best: whole, and with the outside of both its panels."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from tiler.fold.box import FoldedBox
from tiler.fold.camera import CORNERS, Corner
from tiler.fold.framing import steady_extent
from tiler.fold.meetings import Meeting
from tiler.fold.quick_view import QuickView, quick_view
from tiler.fold.rigid import Rigid
from tiler.fold.spotlight import visible_meeting
from tiler.fold.view import Textures

_SIZE = (120, 120)
"""Points of the pictures that are compared."""
_BEHIND = (Corner(148, -24), Corner(-148, -24))
"""Corners below the back, which the named ones lack."""
_FACING = 0.15
"""Cosine to the viewer from which a panel's outside is seen well."""
_FROM_INSIDE = 0.2
"""What a meeting counts for when its art is not seen."""
_BETTER = 1.15
"""The present corner is kept unless another shows so many times as much."""


def best_corner(
    box: FoldedBox,
    meeting: Meeting,
    opening: float,
    now: Corner,
    is_off: Callable[[], bool] = lambda: False,
) -> Corner | None:
    """The present corner, or one that shows much more of a meeting.

    Args:
        box: The folded flat.
        meeting: What is to be seen.
        opening: 0 is closed, 1 is flat.
        now: The present corner.
        is_off: True when the answer is no longer wanted; then there is none.
    """
    places = box.folding.places(opening)
    best, most = now, 0.0
    for corner in (now, *CORNERS.values(), *_BEHIND):
        if is_off():
            return None
        extent = steady_extent(box, places, corner)
        view = quick_view(box, places, corner, extent, Textures(), _SIZE)
        seen = sum(math.dist(*stretch) for stretch in visible_meeting(view, places, meeting))
        seen *= 1.0 if _shows_art(view, places, meeting) else _FROM_INSIDE
        if seen > _BETTER * most:
            best, most = corner, seen
    return best


def _shows_art(view: QuickView, places: Mapping[str, Rigid], meeting: Meeting) -> bool:
    """True when the outside of both panels is turned to the viewer."""
    return all(float(places[panel].outside @ view.matrix[2]) > _FACING for panel in meeting.panels)
