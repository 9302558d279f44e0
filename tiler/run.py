"""From a job to its pack: load the flat, plan the sheets, write the PDF.

Loading is slow and depends on the file alone; planning is quick and depends on the choices. A screen loads
once and plans again with every change.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.errors import PlanError
from tiler.flat.read import Flat
from tiler.geometry import Affine
from tiler.job import Job
from tiler.load import Loaded, Progress, load, quietly
from tiler.plan.sheet import UNKNOWN_PRINTER
from tiler.plan.tile import Plan, Tile

if TYPE_CHECKING:
    from tiler.marks.facts import Facts, MarkOptions
    from tiler.marks.shapes import Page
    from tiler.printers.profile import Profile


@dataclass(frozen=True)
class Prepared:
    """A job whose flat has been read and divided."""

    job: Job
    loaded: Loaded
    plan: Plan
    printed: tuple[Tile, ...]
    """The tiles that this job prints, in printing order."""
    warnings: tuple[str, ...]
    """Sentences the user should read, of flat and plan together."""
    profile: Profile | None = None
    """The printer profile that holds."""

    @property
    def flat(self) -> Flat:
        """The flat itself."""
        return self.loaded.flat


@dataclass(frozen=True)
class Outcome:
    """What a run has written."""

    prepared: Prepared
    output: Path
    map_pages: tuple[int, ...]
    """Page numbers in the pack, counted from 1."""
    assembly_pages: tuple[int, ...]
    """Page numbers in the pack, counted from 1."""
    tile_pages: dict[str, int]
    """Page number of each printed tile."""
    size: int
    """Length of the pack in bytes."""


def prepare(job: Job, progress: Progress = quietly) -> Prepared:
    """Load the flat and plan its sheets.

    Raises:
        TilerError: The flat cannot be read, or no plan fulfils the choices.
    """
    loaded = load(job, progress)
    progress("planning the sheets", 0.3)
    return plan_sheets(job, loaded)


def plan_sheets(job: Job, loaded: Loaded) -> Prepared:
    """Plan the sheets of a loaded flat.

    Raises:
        TilerError: No plan fulfils the choices.
    """
    from tiler.findings import avoided, region_of, structure_warnings
    from tiler.plan.make import make_plan
    from tiler.plan.request import PlanRequest

    profile = _profile(job)
    margins = job.margins or (profile and profile.margins_for(job.sheet)) or UNKNOWN_PRINTER
    plan = make_plan(
        PlanRequest(
            flat=loaded.flat.size.scaled(job.scale),
            region=region_of(job, loaded),
            sheet=job.sheet,
            margins=margins,
            overlap=job.overlap,
            orientation=job.orientation,
            layout=job.layout,
            avoid=avoided(job, loaded),
            pins=job.pins,
            forbidden=job.forbidden,
            nudges=job.nudges,
        )
    )
    warnings = (*loaded.flat.warnings, *structure_warnings(loaded), *plan.warnings)
    return Prepared(job, loaded, plan, _chosen(job, plan), warnings, profile)


def run(job: Job, output: Path, progress: Progress = quietly) -> Outcome:
    """Read, plan and write the pack.

    Raises:
        TilerError: Something is wrong with the flat, the choices or the output; no file has changed.
    """
    from tiler.pack.target import check_target

    check_target(output, [job.flat])
    return write(prepare(job, progress), output, progress)


def write(prepared: Prepared, output: Path, progress: Progress = quietly) -> Outcome:
    """Write the pack of a prepared job.

    Raises:
        TilerError: The output cannot be written; no file has changed.
    """
    from tiler.pack.target import check_target, replaced
    from tiler.pack.writer import Pack, Section, write_pack

    check_target(output, [prepared.job.flat])
    progress("drawing the marks", 0.4)
    maps, steps, tiles = _pages(prepared)
    sections = [Section("Map", 0, len(maps)), Section("Assembly", len(maps), len(steps))]
    first = len(maps) + len(steps)
    for strip in prepared.plan.strips:
        count = sum(1 for tile in strip if tile in prepared.printed)
        if count:
            sections.append(Section(_strip_title(prepared.plan, strip), first, count))
            first += count
    pages = (*maps, *steps, *tiles)
    pack = Pack(
        title=f"{prepared.flat.path.name} · true-size mock",
        pages=pages,
        sections=tuple(sections),
        date=date_of(prepared.flat),
        hidden=prepared.loaded.structure_layers if prepared.job.guides == "full" else (),
        corrections=corrections_of(prepared.profile, pages),
    )
    progress("writing the pack", 0.6)
    with replaced(output) as stream:
        write_pack(pack, prepared.flat, stream)
        progress("writing the pack", 0.95)
    progress("done", 1.0)
    before = len(maps) + len(steps)
    return Outcome(
        prepared=prepared,
        output=output,
        map_pages=tuple(range(1, len(maps) + 1)),
        assembly_pages=tuple(range(len(maps) + 1, before + 1)),
        tile_pages={tile.label: before + i for i, tile in enumerate(prepared.printed, start=1)},
        size=output.stat().st_size,
    )


def _pages(prepared: Prepared) -> tuple[tuple[Page, ...], tuple[Page, ...], tuple[Page, ...]]:
    """Map pages, assembly pages and tile pages as shapes."""
    from tiler.marks.sheet import tile_page
    from tiler.pack.assembly_page import assembly_pages
    from tiler.pack.ink import text_width
    from tiler.pack.map_page import map_pages

    facts, options = facts_of(prepared), marks_of(prepared)
    maps = map_pages(prepared.plan, facts, text_width)
    steps = assembly_pages(prepared.plan, facts, text_width)
    tiles = tuple(tile_page(prepared.plan, tile, facts, options, text_width) for tile in prepared.printed)
    return maps, steps, tiles


def marks_of(prepared: Prepared) -> MarkOptions:
    """Which marks the sheets carry."""
    from tiler.findings import keep_clear
    from tiler.marks.facts import MarkOptions

    job = prepared.job
    avoid = keep_clear(job, prepared.loaded)
    return MarkOptions(marks=job.marks, guides=job.guides, lighten=job.lighten, avoid=avoid)


def facts_of(prepared: Prepared) -> Facts:
    """What the sheets say about the job."""
    from tiler.findings import folded_extent, guide_lines, panel_names
    from tiler.marks.facts import Facts

    flat, job = prepared.flat, prepared.job
    return Facts(
        file_name=flat.path.name,
        page=flat.page,
        box=flat.box,
        revision=flat.revision,
        date=date_of(flat) or "",
        scale=job.scale,
        flat=flat.size,
        sheet_count=len(prepared.plan.tiles),
        printer=prepared.profile.name if prepared.profile else None,
        correction=_correction_words(prepared.profile),
        folded=folded_extent(job, prepared.loaded),
        guides=guide_lines(job, prepared.loaded) if job.guides != "none" else (),
        panels=panel_names(job, prepared.loaded),
        marks=job.marks,
    )


def _profile(job: Job) -> Profile | None:
    """The printer profile that the job names.

    Raises:
        PrinterError: It is missing or broken.
    """
    if job.printer is None:
        return None
    from tiler.printers.profile_files import load_profile, profiles_folder

    return load_profile(profiles_folder(), job.printer)


def corrections_of(profile: Profile | None, pages: tuple[Page, ...]) -> tuple[Affine, ...]:
    """What makes each page come out true on the profile's printer."""
    if profile is None:
        return ()
    from tiler.printers.profile import correction

    return tuple(correction(profile, page.size) for page in pages)


def _correction_words(profile: Profile | None) -> str:
    """What the profile makes up for, in words; empty when it was never measured."""
    if profile is None or profile.measured is None:
        return ""
    across, along = (f"{(1 / scale - 1) * 100:+.2f} %" for scale in (profile.scale_x, profile.scale_y))
    return f"across {across}, along {along}, skew {-profile.skew:+.2f}°, measured {profile.measured}"


def _chosen(job: Job, plan: Plan) -> tuple[Tile, ...]:
    """The tiles that the job prints.

    Raises:
        PlanError: A wanted tile is not in the plan.
    """
    if not job.tiles:
        return plan.tiles
    labels = [tile.label for tile in plan.tiles]
    unknown = [label for label in job.tiles if label not in labels]
    if unknown:
        raise PlanError(
            f"there is no tile {', '.join(unknown)} in this plan", f"it has {_list_labels(labels)}"
        )
    return tuple(tile for tile in plan.tiles if tile.label in job.tiles)


def _list_labels(labels: list[str]) -> str:
    """Some labels in words."""
    return ", ".join(labels) if len(labels) <= 12 else f"{labels[0]} to {labels[-1]}"


def _strip_title(plan: Plan, strip: tuple[Tile, ...]) -> str:
    """What the outline calls a strip."""
    if len(plan.strips) == len(plan.tiles):
        return f"Sheet {strip[0].label}"
    ends = strip[0].label if len(strip) == 1 else f"{strip[0].label} to {strip[-1].label}"
    return f"Strip {strip[0].strip + 1}: {ends}"


def date_of(flat: Flat) -> str | None:
    """The day printed on the pack: of the build where one is set, else of the flat's last change."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit():
        from datetime import UTC, datetime

        return datetime.fromtimestamp(min(int(epoch), 253402300799), UTC).strftime("%Y-%m-%d")
    return flat.date
