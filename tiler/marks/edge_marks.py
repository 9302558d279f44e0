"""Names of meeting edges on a sheet, in the waste beside the edge: what is cut off, nobody will see."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from tiler.geometry import Point, Rect
from tiler.marks.check_marks import Sign
from tiler.marks.facts import Facts, MeetingEdge
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.shapes import Words
from tiler.marks.style import HALO, NOTE
from tiler.plan.tile import Plan, Tile


def edge_signs(
    plan: Plan, tile: Tile, facts: Facts, taken: Sequence[Rect], measure: Measure
) -> tuple[Sign, ...]:
    """The names whose edges have waste beside them on this tile.

    Args:
        plan: All tiles, so that every name is printed once.
        tile: The sheet's tile.
        facts: Holds the edges.
        taken: Places of other things, sheet coordinates.
        measure: Width of a text.
    """
    if facts.fold is None:
        return ()
    signs: list[Sign] = []
    for edge in facts.fold.edges:
        others = [*taken, *(other.room for other in signs)]
        wishes = _wishes(plan, tile, edge, measure)
        free = (sign for sign in wishes if not any(sign.room.overlaps(rect) for rect in others))
        signs += itertools.islice(free, 1)
    return tuple(signs)


def _wishes(plan: Plan, tile: Tile, edge: MeetingEdge, measure: Measure) -> Iterator[Sign]:
    """The name at its spots on a face, best first; none where its best spot lies on another tile."""
    turn = reading_turn(edge)
    room = _room(measure(edge.text, NOTE, True), turn)
    places = [(spot, room.shifted(*spot)) for spot in edge.spots]
    holders = (other.label for _, place in places for other in plan.tiles if other.face.holds(place))
    if next(holders, None) != tile.label:
        return
    for spot, place in places:
        if tile.face.holds(place):
            yield _drawn(edge.text, spot, turn, place, tile)


def _drawn(text: str, spot: Point, turn: float, place: Rect, tile: Tile) -> Sign:
    middle, lower = spot.shifted(*tile.to_sheet), cap_height(NOTE) / 2
    angle = math.radians(turn)
    base = middle.shifted(-lower * math.sin(angle), lower * math.cos(angle))
    words = Words(base, text, NOTE, bold=True, align="middle", turn=turn, halo=2 * HALO)
    return Sign(tile.on_sheet(place), (words,))


def reading_turn(edge: MeetingEdge) -> float:
    """Degrees clockwise that let a name stand along its edge and be read from below or from the right."""
    turn = math.degrees(math.atan2(edge.end.y - edge.start.y, edge.end.x - edge.start.x))
    return (turn - 180 if turn >= 90 - 1e-6 else turn + 180 if turn < -90 - 1e-6 else turn) + 0.0


def _room(width: float, turn: float) -> Rect:
    """Round a turned name whose middle is at the origin, its white edge included."""
    angle, cap = math.radians(turn), cap_height(NOTE)
    across = width * abs(math.cos(angle)) + cap * abs(math.sin(angle)) + 4 * HALO
    down = width * abs(math.sin(angle)) + cap * abs(math.cos(angle)) + 4 * HALO
    return Rect(-across / 2, -down / 2, across, down)
