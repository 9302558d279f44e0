"""Does every bit of the region lie on a face?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tiler.geometry import Rect
from tiler.plan.build import Face
from tiler.plan.chain import TINY
from tiler.plan.penalties import flipped
from tiler.plan.region import Region, Span


def uncovered(region: Region, faces: Sequence[Face], down: bool) -> Rect | None:
    """A part of the region without a face, or None.

    Args:
        region: What must be covered.
        faces: All faces; those of one strip share its band.
        down: True when strips are columns.
    """
    if down:
        turned = [Face(f.label, f.strip, f.order, flipped(f.rect), f.landscape) for f in faces]
        hole = uncovered(region.flipped, turned, down=False)
        return flipped(hole) if hole else None
    bands = {(face.rect.y, face.rect.bottom) for face in faces}
    for top, bottom in _holes(region.spans_down(0, region.size.width), bands):
        return Rect.between(0, top, region.size.width, bottom)
    for top, bottom in sorted(bands):
        held = [(f.rect.x, f.rect.right) for f in faces if (f.rect.y, f.rect.bottom) == (top, bottom)]
        for left, right in _holes(region.spans_across(top, bottom), held):
            return Rect.between(left, top, right, bottom)
    return None


def _holes(stretches: Iterable[Span], covers: Iterable[Span]) -> list[Span]:
    """The parts of the stretches that no cover reaches."""
    holes, ordered = [], sorted(covers)
    for start, end in stretches:
        at = start
        for left, right in ordered:
            if left > end - TINY:
                break
            if left > at + TINY:
                holes.append((at, left))
            at = max(at, right)
        if at < end - TINY:
            holes.append((at, end))
    return holes
