"""The reprint: a map of the changes, pictures of them, and only the sheets that changed."""

from __future__ import annotations

import io
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.errors import PackError, PlanError
from tiler.job import Job
from tiler.load import Progress, quietly
from tiler.revision.areas import Area
from tiler.revision.changes import Changes
from tiler.revision.sides import hidden_layers
from tiler.revision.words import TextChange
from tiler.run import Prepared, corrections_of, date_of, facts_of, marks_of
from tiler.units import format_length

if TYPE_CHECKING:
    from tiler.flat.raster import Preview
    from tiler.geometry import Rect
    from tiler.marks.facts import Facts
    from tiler.marks.shapes import Page
    from tiler.pack.revision_facts import BeforeAfter, ChangedPlace, Reprint
    from tiler.pack.writer import Pack

QUALITY = 88
"""Of the pictures' JPEG, Pillow's scale (own choice, no source)."""


@dataclass(frozen=True)
class Reprinted:
    """What a reprint has written."""

    changes: Changes
    output: Path
    map_pages: tuple[int, ...]
    """Page numbers in the pack, counted from 1."""
    picture_pages: tuple[int, ...]
    """Page numbers in the pack, counted from 1."""
    tile_pages: dict[str, int]
    """Page number of each printed tile."""
    size: int
    """Length of the pack in bytes."""


def write_reprint(
    changes: Changes, output: Path, labels: tuple[str, ...] = (), progress: Progress = quietly
) -> Reprinted:
    """Write the sheets that changed.

    Args:
        changes: What ``find_changes`` has found.
        output: Where the pack goes.
        labels: Tiles to print; empty for all that have changed.
        progress: Told what is being done.

    Raises:
        PackError: There is nothing to print, or the output cannot be written; no file has changed.
        PlanError: A wanted tile is not in the plan.
    """
    from tiler.pack.target import check_target, replaced
    from tiler.pack.writer import write_pack

    check_target(output, sources_of(changes))
    progress("drawing the marks", 0.9)
    prepared, pack, counts = reprint_pack(changes, labels)
    progress("writing the pack", 0.95)
    with replaced(output) as stream:
        write_pack(pack, prepared.flat, stream, prepared.loaded.inside)
    progress("done", 1.0)
    numbers = range(1, len(pack.pages) + 1, prepared.sides)
    before = counts[0] + counts[1]
    return Reprinted(
        changes=changes,
        output=output,
        map_pages=tuple(numbers[: counts[0]]),
        picture_pages=tuple(numbers[counts[0] : before]),
        tile_pages={tile.label: numbers[before + i] for i, tile in enumerate(prepared.printed)},
        size=output.stat().st_size,
    )


def reprint_pack(
    changes: Changes, labels: tuple[str, ...] = ()
) -> tuple[Prepared, Pack, tuple[int, int, int]]:
    """The reprint before it is written.

    Returns:
        The later revision with the tiles that are printed; the pack; how many of its front pages are maps,
        pictures and tiles.

    Raises:
        PackError: There is nothing to print.
        PlanError: A wanted tile is not in the plan.
    """
    prepared = later_of(changes, labels)
    maps, pictures, tiles = _pages(changes, prepared)
    counts = len(maps), len(pictures), len(tiles)
    return prepared, _pack_of(prepared, changes, (*maps, *pictures, *tiles), counts), counts


def _pack_of(
    prepared: Prepared, changes: Changes, fronts: tuple[Page, ...], counts: tuple[int, int, int]
) -> Pack:
    """The pack of some front pages: maps, pictures and tiles, as many as counted; with backs if there are."""
    from tiler.inside import backed
    from tiler.pack.writer import Pack, Section

    job, sides, pages = prepared.job, prepared.sides, fronts
    if sides == 2:
        pages = backed(fronts, prepared.printed, prepared.plan, _facts(changes, prepared), job.lighten)
    if prepared.part:
        pages = tuple(replace(page, label=f"{prepared.part} {page.label}") for page in pages)
    sections, first = [], 0
    for title, count in zip(("Changes", "Before and after", "New sheets"), counts, strict=True):
        if count:
            sections.append(Section(title, first, count * sides))
            first += count * sides
    return Pack(
        title=f"{prepared.flat.path.name} · changed sheets",
        pages=pages,
        sections=tuple(sections),
        date=date_of(prepared.flat),
        hidden=hidden_layers(prepared, prepared.loaded),
        corrections=corrections_of(prepared.profile, pages, job.flip if sides == 2 else None),
        duplex=job.flip if sides == 2 else "none",
    )


def _facts(changes: Changes, prepared: Prepared) -> Facts:
    """What the sheets say: which revision they replace as well."""
    return replace(facts_of(prepared), replaces=changes.old.flat.revision)


def sources_of(changes: Changes) -> list[Path]:
    """Files that must not be overwritten."""
    return [*changes.old.job.inputs, *later_job(changes.old.job, changes.new.flat.path).inputs]


def later_job(job: Job, flat: Path) -> Job:
    """The job with a later revision of its flat, and of the inside print where that is in the same file."""
    return replace(job, flat=flat, inside=flat if job.inside == job.flat else job.inside)


def later_of(changes: Changes, labels: tuple[str, ...] = ()) -> Prepared:
    """The later revision on the earlier one's plan.

    Raises:
        PackError: There is no tile to print.
        PlanError: A wanted tile is not in the plan.
    """
    wanted = labels or changes.changed
    known = [tile.label for tile in changes.plan.tiles]
    unknown = [label for label in wanted if label not in known]
    if unknown:
        raise PlanError(f"there is no tile {', '.join(unknown)} in this plan", f"it has {', '.join(known)}")
    printed = tuple(tile for tile in changes.plan.tiles if tile.label in wanted)
    if not printed:
        raise PackError("no tile has changed, so there is nothing to print")
    job = later_job(changes.old.job, changes.new.flat.path)
    return replace(changes.old, job=job, loaded=changes.new, printed=printed)


def text_words(change: TextChange) -> str:
    """A change of text in one line."""
    if not change.old:
        return f"new: “{change.new}”"
    if not change.new:
        return f"gone: “{change.old}”"
    if change.old == change.new:
        return f"“{change.old}” is {format_length(change.distance, 2)} from where it was"
    return f"“{change.old}” → “{change.new}”"


def _pages(
    changes: Changes, prepared: Prepared
) -> tuple[tuple[Page, ...], tuple[Page, ...], tuple[Page, ...]]:
    """Map pages, picture pages and tile pages as shapes."""
    from tiler.marks.sheet import tile_page
    from tiler.pack.ink import text_width
    from tiler.pack.revision_page import change_pages
    from tiler.pack.revision_pictures import picture_pages

    facts = _facts(changes, prepared)
    reprint = _reprint(changes, prepared)
    marks = marks_of(prepared)
    maps = change_pages(prepared.plan, facts, reprint, text_width)
    pictures = picture_pages(prepared.plan, facts, reprint, text_width)
    tiles = tuple(tile_page(prepared.plan, tile, facts, marks, text_width) for tile in prepared.printed)
    return maps, pictures, tiles


def _reprint(changes: Changes, prepared: Prepared) -> Reprint:
    """What the pages say; the largest place is number 1."""
    from tiler.pack.revision_facts import ChangedPlace, Reprint

    printed = tuple(tile.label for tile in prepared.printed)
    ranked = sorted(changes.areas, key=_rank)
    places = tuple(
        ChangedPlace(number, area.rect, changes.labels_at(area.rect), area.inside)
        for number, area in enumerate(ranked, start=1)
    )
    return Reprint(
        old_name=changes.old.flat.path.name,
        old_revision=changes.old.flat.revision,
        printed=printed,
        left_out=tuple(label for label in changes.changed if label not in printed),
        places=places,
        words=tuple(text_words(change) for change in changes.texts),
        pictures=_pictures(changes, places),
    )


def _rank(area: Area) -> tuple[float, float, float]:
    """Largest first."""
    return -area.changed, area.rect.y, area.rect.x


def _pictures(changes: Changes, places: tuple[ChangedPlace, ...]) -> tuple[BeforeAfter, ...]:
    """The largest places before and after."""
    from tiler.pack.revision_facts import BeforeAfter
    from tiler.pack.revision_pictures import MOST_PICTURES, picture_window, pixels_per_mm

    previews = {side.inside: (side, side.previews()) for side in changes.sides}
    lighten = changes.old.job.lighten
    pairs = []
    with ExitStack() as opened:
        for _, both in previews.values():
            for view in both:
                opened.enter_context(view.kept_open())
        for place in places[:MOST_PICTURES]:
            side, both = previews[place.inside]
            shown = picture_window(place.rect)
            density = pixels_per_mm(changes.plan, shown) * side.scale
            window = side.window(shown)
            before, after = (_jpeg(view, window, density, lighten) for view in both)
            pairs.append(BeforeAfter(place, _share(side.window(place.rect), window), before, after))
    return tuple(pairs)


def _share(rect: Rect, window: Rect) -> Rect:
    """Where a rectangle lies in a window, as shares of its sides."""
    from tiler.geometry import Rect

    x, y = (rect.x - window.x) / window.width, (rect.y - window.y) / window.height
    return Rect(x, y, rect.width / window.width, rect.height / window.height)


def _jpeg(side: Preview, window: Rect, density: float, lighten: float) -> bytes:
    """A part of a flat as a JPEG file, lightened as the sheets are."""
    from PIL import Image

    picture = side.render(window, density)
    if lighten:
        picture = Image.blend(picture, Image.new("RGB", picture.size, "white"), lighten)
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()
