"""The inside print of a job: read it, hold it against the outside, and give every sheet its back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tiler.errors import FlatError, UsageError
from tiler.flat.read import Flat, Wanted, read_flat
from tiler.geometry import Affine, Margins, Point, Size
from tiler.job import Job
from tiler.marks.facts import Facts, Flip, InsidePrint
from tiler.plan.tile import Plan, Tile
from tiler.units import format_number

if TYPE_CHECKING:
    from tiler.flat.raster import Mask
    from tiler.marks.shapes import Page
    from tiler.printers.profile import Profile

SAME_SIZE = 0.5
"""Outside and inside may differ by this much in width and height, mm (house style: a careful cut)."""


def read_inside(job: Job, outside: Flat) -> Flat | None:
    """The inside print that the job names; None without one.

    Raises:
        TilerError: It cannot be read, is the outside itself, or has another size.
    """
    if job.inside is None:
        return None
    wanted = job.wanted
    if (job.inside, job.inside_page) == (job.flat, wanted.page):
        raise UsageError(
            f"{job.flat.name}, page {wanted.page} is the outside print itself",
            "name the page or file of the inside print, as in --inside 2",
        )
    inside = read_flat(job.inside, _same_kind(job, outside))
    gap = max(abs(a - b) for a, b in zip(inside.size, outside.size, strict=True))
    if gap > SAME_SIZE:
        raise FlatError(
            f"the inside print ({_described(inside)}) has another size than the outside "
            f"({_described(outside)})",
            f"both must have one size within {SAME_SIZE:g} mm; choose another page, file or --box",
        )
    return inside


def _same_kind(job: Job, outside: Flat) -> Wanted:
    """The page of the inside, through the box that was taken of the outside."""
    from dataclasses import replace

    box = outside.box if job.wanted.box == "auto" and job.inside == job.flat else job.wanted.box
    return replace(job.wanted, page=job.inside_page, box=box)


def _described(flat: Flat) -> str:
    """File, page, box and extent."""
    width, height = (format_number(side, 2) for side in flat.size)
    return f"{flat.path.name}, page {flat.page}, {flat.box} box: {width} × {height} mm"


def both_inks(outside: Mask, inside: Mask) -> Mask:
    """Where the outside has ink, or the inside behind it; the inside is seen from the other side."""
    import numpy as np

    behind = inside[:, ::-1]
    if behind.shape != outside.shape:  # sizes may differ by a cell
        rows, columns = (
            np.arange(count) * other // count
            for count, other in zip(outside.shape, behind.shape, strict=True)
        )
        behind = behind[np.ix_(rows, columns)]
    both: Mask = outside | behind
    return both


def inside_warnings(
    inside: Flat, tiles: Sequence[Tile], flip: Flip, profile: Profile | None
) -> tuple[str, ...]:
    """What the user should know of the inside print and of its place on the printed tiles."""
    found = [f"inside print: {warning}" for warning in inside.lasting_warnings]
    shift = _back_shift(profile)
    if shift != Point(0, 0) and any(tile.landscape for tile in tiles):
        x, y = (format_number(value, 2) for value in shift)
        found.append(
            f"the back offset of the printer profile ({x}, {y} mm) holds for portrait pages alone; backs of "
            "landscape tiles are not moved (--orientation portrait avoids them)"
        )
    return tuple(found)


def margins_with_backs(margins: Margins, flip: Flip, profile: Profile | None) -> Margins:
    """Margins within which a window can be printed on the front and, turned over, on the back.

    Opposite edges that change places are made equal; there is room for the offset of the back, and for the
    bleed and the trim line beyond the tabs.

    Args:
        margins: Unprintable edges of the upright sheet, mm.
        flip: The edge over which the sheet is turned.
        profile: Knows the offset of the back; None for none.
    """
    from tiler.marks.back import BLEED

    top, right, bottom, left = margins
    if flip == "long":
        left = right = max(left, right)
    else:
        top = bottom = max(top, bottom)
    shift = _back_shift(profile)
    across, along = abs(shift.x) + BLEED, abs(shift.y) + BLEED
    return Margins(top + along, right + across, bottom + along, left + across)


def _back_shift(profile: Profile | None) -> Point:
    """The offset of the back, mm."""
    return Point(0, 0) if profile is None else profile.back


def inside_facts(inside: Flat, flip: Flip) -> InsidePrint:
    """What the sheets say of the inside print."""
    return InsidePrint(f"{inside.path.name}, page {inside.page}", inside.size, flip)


def backed(
    fronts: Sequence[Page], tiles: Sequence[Tile], plan: Plan, facts: Facts, lighten: float
) -> tuple[Page, ...]:
    """Every front page followed by its back, so that each sheet has its own.

    Args:
        fronts: The map, other pages, and last the pages of the tiles.
        tiles: Printed tiles, in order.
        plan: All tiles.
        facts: With an inside print.
        lighten: Share of white laid over the art, 0 to 0.9.
    """
    from tiler.marks.back import back_page
    from tiler.marks.back_trims import with_tab_trims
    from tiler.pack.back_covers import map_back, plain_back
    from tiler.pack.ink import text_width

    inside = facts.inside
    assert inside is not None, "there is no inside print to put on backs"
    first, *others = fronts[: len(fronts) - len(tiles)]
    pages = [first, map_back(first, plan, inside, text_width)]
    for front in others:
        pages += [front, plain_back(front, plan, inside, text_width)]
    for front, tile in zip(fronts[len(fronts) - len(tiles) :], tiles, strict=True):
        pages.append(with_tab_trims(front, tile, text_width))
        pages.append(back_page(tile, facts, inside, lighten, text_width))
    return tuple(pages)


def back_correction_of(profile: Profile, page: Size, flip: Flip) -> Affine:
    """What makes a back come out true behind its front.

    The offset is known for sheets turned over the long edge. Over the short edge the back page stands on its
    head on the same paper, so it is turned, corrected and turned again.

    Args:
        profile: The printer.
        page: Size of the back as it is read, mm.
        flip: The edge over which the sheet is turned.
    """
    from tiler.printers.profile import back_correction

    known = back_correction(profile, page)
    if flip == "long":
        return known
    half_turn = Affine(-1, 0, 0, -1, page.width, page.height)
    return half_turn.then(known).then(half_turn)
