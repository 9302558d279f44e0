"""The steps of assembly in words, written for one plan."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from tiler.geometry import EPSILON, Point
from tiler.marks.crosses import snipped
from tiler.marks.facts import Facts, Show
from tiler.marks.names import listed, sheet_words, strip_tag
from tiler.pack.inside_notes import (
    TRIM_WORDS,
    light_words,
    mixed,
    tab_trim_groups,
    tab_trim_ticks,
    turn_words,
)
from tiler.pack.map_fold import point_words
from tiler.pack.map_notes import CAUTIONS, TOLERANCE
from tiler.plan.tile import Plan, Tile
from tiler.units import format_length

Sketch = Literal["", "trim", "strip", "strips"]
"""Which small drawing stands beside a step."""

DIAGONAL_TOLERANCE = 1.0
"""Diagonals may be off by this much, mm (common practice, no source)."""


_LAY: dict[Show, str] = {
    "full": "Bring the halves of every registration mark together and fix them there first, then the whole "
    "seam.",
    "tabs": "Lay the trimmed edge on the seam so that the artwork runs through; against a bright window the "
    "halves of the registration marks show through. Fix both ends first, then the whole seam.",
    "none": "Lay the trimmed edge on the seam so that the artwork runs through. Fix both ends first, then "
    "the whole seam.",
}
"""How two tiles are brought together, by the registration marks they carry."""


@dataclass(frozen=True)
class Step:
    """One numbered step."""

    title: str
    text: str = ""
    """Running text; may be empty."""
    ticks: tuple[str, ...] = ()
    """Single jobs, each with a box to tick."""
    caution: str = ""
    """Set apart below the rest."""
    sketch: Sketch = ""
    strip: int = 0
    """Index into the plan's strips, for a sketch of one."""


def steps(plan: Plan, facts: Facts) -> tuple[Step, ...]:
    """All steps, in the order of work."""
    found: list[Step] = [_print_step(plan, facts), _measure_step()]
    if plan.seams:
        found.append(_trim_step(plan, facts.inside is None))
        if facts.inside is not None:
            found.append(_tab_step(plan))
        corners = [tile.label for tile in plan.tiles if snipped(plan, tile)]
        if corners:
            found.append(_snip_step(corners))
        found += [
            _strip_step(plan, facts, index) for index, strip in enumerate(plan.strips) if len(strip) > 1
        ]
        if len(plan.strips) > 1:
            found.append(_strips_step(plan))
        found.append(_diagonal_step(plan))
    found += [_cut_step(bool(plan.seams)), _fold_step(facts)]
    return (*found, _points_step(plan, facts)) if facts.check_points else tuple(found)


def _strip(plan: Plan, index: int) -> str:
    return f"strip {strip_tag(plan, index)}"


def _print_step(plan: Plan, facts: Facts) -> Step:
    turn = " Portrait and landscape pages are meant to mix." if mixed(plan) else ""
    sides = turn_words(facts.inside.flip) if facts.inside else "one side"
    light = f" {light_words(plan)}." if facts.inside else ""
    return Step(
        "Print at true size",
        f"Paper {sheet_words(plan.sheet)}, {sides}, 100 % (actual size). Switch off fit, shrink and "
        f"borderless.{turn}{light} Let the ink dry.",
    )


def _measure_step() -> Step:
    return Step(
        "Measure before cutting",
        "Lay a steel rule on both scale bars of every sheet. A bar that is off by more than "
        f"{format_length(TOLERANCE)} means: stop, and print again without scaling.",
    )


def trim_groups(plan: Plan) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Which edges are trimmed, each with its tiles, in printing order."""
    groups: dict[str, list[str]] = {"left edge": [], "top edge": [], "left and top edges": []}
    for tile in plan.tiles:
        left, top = tile.left_allowance > EPSILON, tile.top_allowance > EPSILON
        if left or top:
            name = "left and top edges" if left and top else "left edge" if left else "top edge"
            groups[name].append(tile.label)
    return tuple((name, tuple(labels)) for name, labels in groups.items() if labels)


def _trim_step(plan: Plan, others_stay: bool) -> Step:
    ticks = tuple(f"Trim the {edge} of {listed(labels)}" for edge, labels in trim_groups(plan))
    return Step(
        "Trim",
        "Cut along the line, so that the line itself falls away."
        + (" All other edges keep their paper." if others_stay else ""),
        ticks,
        CAUTIONS[0],
        "trim",
    )


def _tab_step(plan: Plan) -> Step:
    groups = [(edge, listed(labels)) for edge, labels in tab_trim_groups(plan)]
    return Step(
        "Trim the tabs",
        f"{TRIM_WORDS} Then join with glue: tape would be seen inside.",
        tab_trim_ticks(groups),
    )


def _snip_step(corners: Sequence[str]) -> Step:
    return Step(
        "Snip",
        f"Cut off the lower right tab corner of {listed(corners)} along its slanting line. "
        "Without it, four layers would meet there.",
    )


def _strip_step(plan: Plan, facts: Facts, index: int) -> Step:
    strip = plan.strips[index]
    way = "left to right" if plan.direction == "across" else "top to bottom"
    ticks = tuple(f"{upper.label} over the tab of {lower.label}" for lower, upper in pairwise(strip))
    return Step(
        f"Join {_strip(plan, index)}, {way}",
        _LAY[facts.marks],
        ticks,
        sketch="strip",
        strip=index,
    )


def _strips_step(plan: Plan) -> Step:
    way = "top to bottom" if plan.direction == "across" else "left to right"
    edge = "bottom" if plan.direction == "across" else "right"
    names = [_strip(plan, index) for index in range(len(plan.strips))]
    ticks = tuple(
        f"{after[0].upper()}{after[1:]} over the {edge} tabs of {before}" for before, after in pairwise(names)
    )
    return Step(f"Join the strips, {way}", "", ticks, CAUTIONS[1], "strips")


def diagonals(plan: Plan) -> tuple[tuple[str, float], ...]:
    """Two distances between far corners of the joined faces, each with words for its ends, mm."""
    first, last = plan.strips[0], plan.strips[-1]
    start, end = first[0], last[-1]
    pairs = [_distance("top left", start, "bottom right", end)]
    if plan.direction == "across":
        pairs.append(_distance("top right", first[-1], "bottom left", last[0]))
    else:
        pairs.append(_distance("top right", last[0], "bottom left", first[-1]))
    return tuple(pairs)


def _distance(corner: str, tile: Tile, other: str, end: Tile) -> tuple[str, float]:
    words = f"{corner} corner of {tile.label} to {other} corner of {end.label}"
    return words, math.dist(_corner(tile, corner), _corner(end, other))


def _corner(tile: Tile, name: str) -> Point:
    face = tile.face
    return Point(
        face.right if name.endswith("right") else face.x, face.y if name.startswith("top") else face.bottom
    )


def _diagonal_step(plan: Plan) -> Step:
    ticks = tuple(f"{words}: {format_length(length)}" for words, length in diagonals(plan))
    return Step(
        "Check both diagonals",
        "Measure over the artwork before the glue is dry. More than "
        f"{format_length(DIAGONAL_TOLERANCE)} off: find the seam that turned.",
        ticks,
    )


def _cut_step(joined: bool) -> Step:
    return Step(
        "Cut out",
        "Cut along the outline of the box, short inner cuts first, the outside last.",
        caution="" if joined else CAUTIONS[0],
    )


def _fold_step(facts: Facts) -> Step:
    creased = any(guide.kind == "crease" for guide in facts.guides)
    where = "every crease guide" if creased else "every crease"
    close = "Fold, and close the box."
    if facts.fold is not None and facts.fold.edges:
        names = list(dict.fromkeys(edge.text for edge in facts.fold.edges))
        close = (
            f"Fold, and close the box: edges of one name on the map ({names[0]} to {names[-1]}) meet."
            if len(names) > 1
            else f"Fold, and close the box: the two edges {names[0]} on the map meet."
        )
    return Step(
        "Score and fold",
        f"Score along {where} with a bone folder or an empty ballpoint and a rule. {close}",
        caution=CAUTIONS[1] if creased else "",
    )


def _points_step(plan: Plan, facts: Facts) -> Step:
    return Step(
        "Look at the check points",
        "The map shows where each one is; beside the faces small arrows aim at it.",
        tuple(point_words(plan, spot) for spot in facts.check_points),
    )
