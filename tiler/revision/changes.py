"""What a later revision changes on the tiles of an earlier one.

Only what stays visible counts. From outside that is the face: what shows on a glue tab alone will be covered
by the next tile, which shows it on its own face, and a cut allowance is cut off. From inside the tabs lie on
top, so with an inside print they count as well.
"""

from __future__ import annotations

from contextlib import ExitStack
from dataclasses import dataclass, replace
from importlib import import_module

from tiler.flat.read import Flat
from tiler.geometry import Point, Rect
from tiler.load import Loaded, Progress, quietly
from tiler.plan.tile import Plan
from tiler.revision.areas import Area
from tiler.revision.sides import Side, sides_of
from tiler.revision.words import TextChange
from tiler.run import Prepared, load_pens
from tiler.units import format_length, format_number

SAME_SIZE = 0.1
"""Boxes whose sides differ by more than this are of different sizes, mm: half the smallest visible change."""

MOSTLY = 0.75
"""From this share of changed tiles on, a shift of the whole art is looked for."""

SHIFT_PIXELS = 3_000_000
"""Pixels in which it is looked for."""


@dataclass(frozen=True)
class Changes:
    """The difference between two revisions, seen through the old one's plan. All places are on paper, mm."""

    old: Prepared
    """The job of the old revision with its plan."""
    new: Loaded
    tiles: dict[str, float]
    """Changed area in mm² of every tile whose face has changed, in printing order."""
    areas: tuple[Area, ...] = ()
    """From top to bottom."""
    texts: tuple[TextChange, ...] = ()
    """From top to bottom."""
    moved: str = ""
    """Why the old sheets do not fit the new art at all, in words; empty when they do."""
    resized: bool = False
    """True when ``moved`` is about the size of the flat, so that nothing was compared."""
    shift: Point | None = None
    """How far the whole art has moved, mm; None when it has not, or not as one."""

    @property
    def plan(self) -> Plan:
        """The plan that both share."""
        return self.old.plan

    @property
    def changed(self) -> tuple[str, ...]:
        """Labels of the tiles to print again."""
        return tuple(self.tiles)

    @property
    def unchanged(self) -> tuple[str, ...]:
        """Labels of the tiles that stay; none when the old sheets do not fit."""
        if self.moved:
            return ()
        return tuple(tile.label for tile in self.plan.tiles if tile.label not in self.tiles)

    def labels_at(self, rect: Rect) -> tuple[str, ...]:
        """The changed tiles that a place lies on."""
        return tuple(
            tile.label for tile in self.plan.tiles if tile.label in self.tiles and tile.face.overlaps(rect)
        )

    @property
    def sides(self) -> tuple[Side, ...]:
        """Outside and, where there is one, inside print."""
        return sides_of(self.old, self.new)


def find_changes(old: Prepared, new: Loaded, progress: Progress = quietly) -> Changes:
    """Compare a revision with the one that was planned.

    Args:
        old: The earlier revision, planned with the choices its sheets were printed with.
        new: The later revision, loaded with the same choices.
        progress: Told about each tile.

    Raises:
        FlatError: One of them cannot be drawn.
    """
    whole = Changes(old, new, {})
    resized = _resized(old.flat, new.flat)
    if resized:
        return replace(whole, moved=resized, resized=True)
    if all(side.is_same_file for side in whole.sides):
        return whole
    found = _compared(whole, progress)
    if found.tiles:
        found = replace(found, texts=_texts(found))
    rebuilt = _rebuilt(old.loaded, new)
    if rebuilt:
        return replace(found, moved=rebuilt)
    if found.tiles and len(found.tiles) >= MOSTLY * len(old.plan.tiles):
        progress("looking for a shift", 0.9)
        found = _shifted(found)
    return found if found.moved else replace(found, moved=_uncovered(old, new))


def _resized(old: Flat, new: Flat) -> str:
    """The change of size in words, empty for none."""
    sides = zip(old.size, new.size, strict=True)
    if all(abs(before - after) <= SAME_SIZE for before, after in sides):
        return ""
    return f"the flat measured {_extent(old)} and now measures {_extent(new)}"


def _extent(flat: Flat) -> str:
    """Width and height in words."""
    return " × ".join(format_number(side, 2) for side in flat.size) + " mm"


def _rebuilt(old: Loaded, new: Loaded) -> str:
    """The change of structure in words, empty for none."""
    from tiler.revision.structure import moved_length

    length = moved_length(old.structure.lines, new.structure.lines)
    return f"{format_length(length, 0)} of cuts and creases are not where they were" if length else ""


def _uncovered(old: Prepared, new: Loaded) -> str:
    """Where new art lies on no sheet of the old plan, in words; empty when all is covered."""
    from tiler.findings import region_of

    region, before = region_of(old.job, new), region_of(old.job, old.loaded)
    rows, columns = (min(sides) for sides in zip(region.mask.shape, before.mask.shape, strict=True))
    bare = region.mask[:rows, :columns] & ~before.mask[:rows, :columns]
    for tile in old.plan.tiles:
        cell = region.cell
        left, right = (round(edge / cell.width) for edge in (tile.face.x, tile.face.right))
        top, bottom = (round(edge / cell.height) for edge in (tile.face.y, tile.face.bottom))
        bare[max(0, top - 1) : bottom + 1, max(0, left - 1) : right + 1] = False
    area = float(bare.sum()) * region.cell.width * region.cell.height
    return f"{format_number(area, 0)} mm² of new art lie where the old plan has no sheet" if area else ""


def _compared(whole: Changes, progress: Progress) -> Changes:
    """The changed tiles and areas."""
    from tiler.revision.areas import Gathered
    from tiler.revision.compare import PIXELS_PER_MM
    from tiler.revision.pieces import View, drawn_ahead, pieces_of

    plan = whole.plan
    sides = [side for side in whole.sides if not side.is_same_file]
    views = [View(side, side.previews(), Gathered(plan.flat, side.inside)) for side in sides]
    views = [view for view in views if not view.previews[0].draws_the_same_as(view.previews[1])]
    tiles: dict[str, float] = {}
    labels = [tile.label for tile in plan.tiles]
    with ExitStack() as opened:
        for preview in (preview for view in views for preview in view.previews):
            opened.enter_context(preview.kept_open())
        for piece, before, after in drawn_ahead(pieces_of(plan, views), _load_pens):
            progress(f"comparing {piece.label}", 0.4 + 0.45 * labels.index(piece.label) / len(labels))
            mask = piece.changed(before, after)
            changed = piece.view.gathered.add(mask, piece.corner, 1 / PIXELS_PER_MM)
            if changed:
                tiles[piece.label] = tiles.get(piece.label, 0.0) + changed
    areas = tuple(area for view in views for area in view.gathered.areas())
    return replace(whole, tiles=tiles, areas=areas)


def _load_pens() -> None:
    """Load what draws the reprint, which takes a moment and is likely to be needed."""
    load_pens()
    import_module("tiler.pack.revision_page")


def _texts(found: Changes) -> tuple[TextChange, ...]:
    """The changes of text, on paper."""
    from tiler.revision.words import text_changes

    scale = found.old.job.scale
    changes = text_changes(found.old.loaded.texts, found.new.texts)
    return tuple(
        replace(change, box=change.box.scaled(scale), distance=change.distance * scale) for change in changes
    )


def _shifted(found: Changes) -> Changes:
    """The same, with the shift of the whole art if that is what has happened."""
    import numpy as np

    from tiler.flat.raster import render
    from tiler.revision.shift import whole_shift

    size = found.old.flat.size
    density = min(4.0, (SHIFT_PIXELS / (size.width * size.height)) ** 0.5)
    window = Rect(0, 0, *size)
    old, new = (
        np.asarray(render(flat, window, density).convert("L"), np.float64)
        for flat in (found.old.flat, found.new.flat)
    )
    pixels = whole_shift(old, new)
    if pixels is None:
        return found
    shift = Point(*(step / density * found.old.job.scale for step in pixels))
    words = f"the whole art has moved by {_toward(shift)}"
    return replace(found, moved=words, shift=shift)


def _toward(shift: Point) -> str:
    """A shift in words."""
    parts = [
        f"{format_length(abs(step))} {ways[step > 0]}"
        for step, ways in ((shift.x, ("to the left", "to the right")), (shift.y, ("up", "down")))
        if step
    ]
    return " and ".join(parts)
