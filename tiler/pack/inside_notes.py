"""What map and assembly pages say of the inside print on the backs."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.geometry import EPSILON
from tiler.marks.facts import Flip, InsidePrint
from tiler.pack.layout import Block, Column
from tiler.plan.tile import Plan
from tiler.units import format_length

BACK_TOLERANCE = 1.0
"""Front and back may lie this far apart, mm: inside art runs as far beyond a tab's trimmed edge."""

TRIM_WORDS = (
    "From inside, the tabs lie on top: trim their outer edges too, so that no white paper covers the inside "
    "print."
)


def turn_words(flip: Flip) -> str:
    """How the sheets are printed.

    >>> turn_words("long")
    'on both sides, turned over the long edge'
    """
    return f"on both sides, turned over the {flip} edge"


def mixed(plan: Plan) -> bool:
    """True when portrait and landscape sheets meet in the plan."""
    return len({tile.landscape for tile in plan.tiles}) > 1


def light_words(plan: Plan) -> str:
    """The test with one sheet before all are printed."""
    which = "one portrait and one landscape tile sheet" if mixed(plan) else "one tile sheet"
    return f"Hold {which} to the light before you print the rest: both prints must meet"


def inside_block(plan: Plan, inside: InsidePrint) -> Block:
    """The checks of a pack printed on both sides, with boxes to tick."""

    def block(column: Column) -> None:
        column.heading("Inside print on the backs")
        column.tick(f"Printed {turn_words(inside.flip)}")
        column.tick("To the light, the bars on the back of this sheet lie on those of its front")
        column.tick(light_words(plan))

    return block


def back_check_block(plan: Plan, inside: InsidePrint) -> Block:
    """What the back of the map is for."""
    other = "short" if inside.flip == "long" else "long"

    def block(column: Column) -> None:
        column.heading("Back of the map")
        column.paragraph(
            f"Turn the sheet over its {inside.flip} edge. This text must stand upright. Hold it to the "
            "light: the lines of the two bars must lie on those of the front."
        )
        column.paragraph(
            f"If they lie at another corner, or this text stands on its head: let the printer turn over the "
            f"{inside.flip} edge, or write the pack anew with --flip {other}."
        )
        column.paragraph(
            f"If they are more than {format_length(BACK_TOLERANCE)} off: measure the offset of the back with "
            "the calibration sheet (tiler printer calibrate)."
        )
        column.paragraph(f"{light_words(plan)}.")

    return block


def blank_block(title: str) -> Block:
    """The back of a page that has nothing to say there; a blank page might be left out by a driver."""

    def block(column: Column) -> None:
        column.paragraph(f"Back of: {title}. Nothing else belongs here.")

    return block


def tab_trim_groups(plan: Plan) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Which outer edges of tabs are trimmed, each with its tiles, in printing order."""
    groups: dict[str, list[str]] = {"right": [], "bottom": [], "right and bottom": []}
    for tile in plan.tiles:
        right, below = tile.right_tab > EPSILON, tile.bottom_tab > EPSILON
        if right or below:
            name = "right and bottom" if right and below else "right" if right else "bottom"
            groups[name].append(tile.label)
    return tuple((name, tuple(labels)) for name, labels in groups.items() if labels)


def tab_trim_ticks(groups: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """The jobs of trimming tabs; each group is an edge and its tiles in words."""
    return tuple(
        f"Trim the outer edge{'s' if ' and ' in edge else ''} of the {edge} "
        f"tab{'s' if ' and ' in edge else ''} of {labels}"
        for edge, labels in groups
    )
