"""Pick a tile or a seam of a plan by place, by direction or one after another. Pure."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from tiler.geometry import Point
from tiler.job import Job
from tiler.plan.request import Nudge, Pin
from tiler.plan.tile import Plan, Seam, Tile
from tiler.units import format_length, format_number

Way = Literal["left", "right", "up", "down"]

SAME_PLACE = 0.05
"""Pins closer than this to a seam hold that seam, mm."""

NEAR_CELLS = 1.2
"""A press within this many cells of a seam picks the seam."""

_STEPS: dict[Way, tuple[int, int]] = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


@dataclass(frozen=True)
class Picked:
    """What the user has picked; at most one of the two."""

    tile: str = ""
    """Label, empty when no tile is picked."""
    seam: str = ""
    """Name, empty when no seam is picked."""


NOTHING = Picked()


def seam_name(seam: Seam) -> str:
    """How a seam is called: its two tiles, the lower one first.

    >>> seam_name(Seam(Point(1, 0), Point(1, 9), "A2", "A1"))
    'A1|A2'
    """
    return f"{seam.lower}|{seam.upper}"


def find_seam(plan: Plan, name: str) -> Seam | None:
    """The seam of that name; None when the plan has it no more."""
    return next((seam for seam in plan.seams if seam_name(seam) == name), None)


def find_tile(plan: Plan, label: str) -> Tile | None:
    """The tile of that label; None when the plan has it no more."""
    return next((tile for tile in plan.tiles if tile.label == label), None)


def still_there(plan: Plan, picked: Picked) -> Picked:
    """What remains of a pick when the plan has changed."""
    return Picked(
        picked.tile if find_tile(plan, picked.tile) else "",
        picked.seam if find_seam(plan, picked.seam) else "",
    )


def tile_at(plan: Plan, at: Point) -> str:
    """Label of the tile whose face holds a place of the plan; empty where there is none."""
    return next((tile.label for tile in plan.tiles if tile.face.contains(at)), "")


def seam_at(plan: Plan, at: Point, reach: float) -> str:
    """Name of the nearest seam within ``reach`` mm; empty where there is none."""
    found = [(_distance(seam, at), seam_name(seam)) for seam in plan.seams]
    near = [entry for entry in found if entry[0] <= reach]
    return min(near)[1] if near else ""


def _distance(seam: Seam, at: Point) -> float:
    x = min(max(at.x, seam.start.x), seam.end.x)
    y = min(max(at.y, seam.start.y), seam.end.y)
    return math.hypot(at.x - x, at.y - y)


def next_tile(plan: Plan, label: str, way: Way) -> str:
    """The nearest tile in a direction; the same when there is none, the first when none is picked."""
    here = find_tile(plan, label)
    if here is None:
        return plan.tiles[0].label if plan.tiles else ""
    dx, dy = _STEPS[way]

    def cost(tile: Tile) -> tuple[float, float, str]:
        x, y = tile.face.centre.x - here.face.centre.x, tile.face.centre.y - here.face.centre.y
        ahead, aside = x * dx + y * dy, abs(x * dy) + abs(y * dx)
        return (ahead + 2 * aside, aside, tile.label) if ahead > 1 else (math.inf, 0.0, tile.label)

    best = min((tile for tile in plan.tiles if tile is not here), key=cost, default=here)
    return best.label if cost(best)[0] < math.inf and _is_ahead(here, best, way) else label


def _is_ahead(here: Tile, there: Tile, way: Way) -> bool:
    """True when the other face lies wholly beyond this one's edge."""
    a, b, slack = here.face, there.face, 1.0
    return {
        "left": b.right <= a.x + slack,
        "right": b.x >= a.right - slack,
        "up": b.bottom <= a.y + slack,
        "down": b.y >= a.bottom - slack,
    }[way]


def next_seam(plan: Plan, name: str, steps: int = 1) -> str:
    """The seam after (or before) this one; empty when the plan has none."""
    names = [seam_name(seam) for seam in plan.seams]
    if not names:
        return ""
    return names[(names.index(name) + steps) % len(names)] if name in names else names[0 if steps > 0 else -1]


def nudge(job: Job, seam: Seam, way: Way, by: float = 1.0) -> Job | None:
    """The job with a seam moved; None when it cannot move that way."""
    if seam.is_upright != (way in ("left", "right")):
        return None
    step = by if way in ("right", "down") else -by
    pin = pin_of(job, seam)
    if pin is not None:
        moved = replace(pin, at=round(pin.at + step, 3))
        return replace(job, pins=tuple(moved if old == pin else old for old in job.pins))
    name = seam_name(seam)
    before = next((old.by for old in job.nudges if old.seam == name), 0.0)
    kept = tuple(old for old in job.nudges if old.seam != name)
    after = round(before + step, 3)
    return replace(job, nudges=(*kept, Nudge(name, after)) if after else kept)


def pin_of(job: Job, seam: Seam) -> Pin | None:
    """The pin that holds a seam; None when it is free."""
    at, low, high = _lies(seam)
    for pin in job.pins:
        is_in_line = pin.axis == _axis(seam) and abs(pin.at - at) < SAME_PLACE
        if is_in_line and (pin.through is None or low - SAME_PLACE <= pin.through <= high + SAME_PLACE):
            return pin
    return None


def _axis(seam: Seam) -> Literal["x", "y"]:
    return "x" if seam.is_upright else "y"


def _lies(seam: Seam) -> tuple[float, float, float]:
    """Where a seam lies across its direction, and from where to where along it."""
    if seam.is_upright:
        return seam.start.x, seam.start.y, seam.end.y
    return seam.start.y, seam.start.x, seam.end.x


def is_nudged(job: Job, seam: Seam) -> bool:
    """True when the seam was moved by hand."""
    return any(old.seam == seam_name(seam) for old in job.nudges)


def pinned(job: Job, seam: Seam) -> Job:
    """The job with the seam held where it lies now; a nudge becomes part of the pin."""
    if pin_of(job, seam) is not None:
        return job
    at, low, high = _lies(seam)
    kept = tuple(old for old in job.nudges if old.seam != seam_name(seam))
    pin = Pin(_axis(seam), round(at, 3), round((low + high) / 2, 3))
    return replace(job, nudges=kept, pins=(*job.pins, pin))


def released(job: Job, seam: Seam) -> Job:
    """The job with the seam free again: no pin and no nudge."""
    pin = pin_of(job, seam)
    name = seam_name(seam)
    return replace(
        job,
        pins=tuple(old for old in job.pins if old != pin),
        nudges=tuple(old for old in job.nudges if old.seam != name),
    )


def toggled(job: Job, plan: Plan, label: str) -> Job:
    """The job with a tile printed or left out; all printed is the same as none named.

    The last printed tile cannot be left out.
    """
    labels = [tile.label for tile in plan.tiles]
    printed = set(job.tiles) or set(labels)
    after = printed ^ {label}
    if not after:
        return job
    return replace(job, tiles=() if after >= set(labels) else tuple(x for x in labels if x in after))


def tile_words(tile: Tile, is_printed: bool) -> str:
    """A tile in one line."""
    lies = "landscape" if tile.landscape else "portrait"
    joins = [f"{', '.join(tile.right)} to the right"] if tile.right else []
    joins += [f"{', '.join(tile.below)} below"] if tile.below else []
    size = f"face {format_number(tile.face.width)} × {format_number(tile.face.height)} mm"
    words = [tile.label, lies, size]
    if joins:
        words.append(f"joins {' and '.join(joins)}")
    if not is_printed:
        words.append("not printed")
    return " · ".join(words)


def seam_words(job: Job, seam: Seam) -> str:
    """A seam in one line."""
    at = f"x {format_length(seam.start.x)}" if seam.is_upright else f"y {format_length(seam.start.y)}"
    words = [f"Seam {seam.lower} | {seam.upper}", f"at {at}"]
    moved = next((old.by for old in job.nudges if old.seam == seam_name(seam)), 0.0)
    if moved:
        words.append(f"moved by {format_length(moved)}")
    words.append(seam.why or "on clean ground")
    return " · ".join(words)


def sheet_words(plan: Plan) -> str:
    """How the sheets of a plan are joined, in one line."""
    strips = len(plan.strips)
    if len(plan.tiles) == 1:
        return "All of it on one sheet"
    if strips == 1:
        return f"{len(plan.tiles)} tiles joined to one strip"
    return f"{strips} strips, joined {'side by side' if plan.direction == 'down' else 'one below the other'}"
