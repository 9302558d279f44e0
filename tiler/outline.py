"""The outline of a pack: its map and what else stands before the tiles, and one section for each strip."""

from __future__ import annotations

from collections.abc import Iterable

from tiler.pack.writer import Section
from tiler.plan.tile import Plan, Tile


def sections_of(
    plan: Plan, printed: tuple[Tile, ...], before: Iterable[tuple[str, int]], sides: int
) -> tuple[Section, ...]:
    """The sections of a pack in the order of its pages.

    Args:
        plan: All tiles.
        printed: Those that are printed.
        before: Title and sheets of each group of pages before the tiles; those without sheets are left out.
        sides: Pages for each sheet, 1 or 2.
    """
    groups = [(title, sheets) for title, sheets in before if sheets]
    for strip in plan.strips:
        count = sum(1 for tile in strip if tile in printed)
        if count:
            groups.append((strip_title(plan, strip), count))
    sections, first = [], 0
    for title, sheets in groups:
        sections.append(Section(title, first, sheets * sides))
        first += sheets * sides
    return tuple(sections)


def strip_title(plan: Plan, strip: tuple[Tile, ...]) -> str:
    """What the outline calls a strip."""
    if len(plan.strips) == len(plan.tiles):
        return f"Sheet {strip[0].label}"
    ends = strip[0].label if len(strip) == 1 else f"{strip[0].label} to {strip[-1].label}"
    return f"Strip {strip[0].strip + 1}: {ends}"
