"""From a job to its pack: load the flat, plan the sheets, write the PDF.

Loading is slow and depends on the file alone; planning is quick and depends on the choices. A screen loads
once and plans again with every change.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from importlib import import_module
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
    from tiler.marks.facts import Facts, Flip, MarkOptions
    from tiler.marks.shapes import Page
    from tiler.plan.region import Region
    from tiler.printers.profile import Profile

PENS = (
    "tiler.plan.make",
    "tiler.marks.sheet",
    "tiler.pack.map_page",
    "tiler.pack.assembly_page",
    "tiler.pack.writer",
)
"""Modules that plan, draw and write a pack."""


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
    part: str = ""
    """What the flat is called in a job with several parts."""

    @property
    def flat(self) -> Flat:
        """The flat itself."""
        return self.loaded.flat

    @property
    def sides(self) -> int:
        """Printed sides of each sheet."""
        return 1 if self.loaded.inside is None else 2


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
    sides: int = 1
    """Printed sides of each sheet; with 2, the page after each front page is its back."""
    proof_pages: tuple[int, ...] = ()
    """Page numbers in the pack, counted from 1; empty without a proof list."""
    corner_pages: tuple[int, ...] = ()
    """Page numbers in the pack, counted from 1; empty without corner strips."""
    notes: tuple[str, ...] = ()
    """Sentences on what was asked for and is not in the pack."""

    @property
    def first_pages(self) -> tuple[int, ...]:
        """The map with its backs, which is printed and checked before all others."""
        return tuple(page + side for page in self.map_pages for side in range(self.sides))

    @property
    def rest_pages(self) -> tuple[int, ...]:
        """All pages but those of the map."""
        fronts = (*self.assembly_pages, *self.proof_pages, *self.corner_pages, *self.tile_pages.values())
        return tuple(page + side for page in fronts for side in range(self.sides))


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
    from tiler.check_spots import spot_warnings
    from tiler.findings import avoided, structure_warnings
    from tiler.folding import fold_warnings
    from tiler.inside import inside_warnings, margins_with_backs
    from tiler.plan.make import make_plan
    from tiler.plan.request import PlanRequest

    profile = _profile(job)
    margins = job.margins or (profile and profile.margins_for(job.sheet)) or UNKNOWN_PRINTER
    if loaded.inside is not None:
        margins = margins_with_backs(margins, job.flip, profile)
    plan = make_plan(
        PlanRequest(
            flat=loaded.flat.size.scaled(job.scale),
            region=_region(job, loaded),
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
    printed = _chosen(job, plan)
    odd = fold_warnings(job, loaded)
    told = (*structure_warnings(loaded), *spot_warnings(job, loaded.flat.size))
    flat = loaded.flat
    own = flat.lasting_warnings if job.inside == job.flat else flat.warnings
    warnings = (*own, *told, *odd, *plan.warnings)
    if loaded.inside is not None:
        warnings = (*warnings, *inside_warnings(loaded.inside, printed, job.flip, profile))
    return Prepared(job, loaded, plan, printed, warnings, profile)


def _region(job: Job, loaded: Loaded) -> Region:
    """What must be covered.

    Raises:
        PlanError: There is nothing.
    """
    from tiler.findings import region_of

    region = region_of(job, loaded)
    if region.is_empty:
        raise PlanError(
            f"{loaded.flat.path.name}: nothing on page {loaded.flat.page} is to be covered",
            "check the page, the box and the hidden layers",
        )
    return region


def run(job: Job, output: Path, progress: Progress = quietly) -> Outcome:
    """Read, plan and write the pack.

    Raises:
        TilerError: Something is wrong with the flat, the choices or the output; no file has changed.
    """
    from tiler.pack.target import check_target

    check_target(output, job.inputs)
    loaded = load(job, progress)
    if not loaded.structure.panels:
        loaded.look_for_ink(meanwhile=load_pens)
    progress("planning the sheets", 0.3)
    return write(plan_sheets(job, loaded), output, progress)


def load_pens() -> None:
    """Load what plans, draws and writes, which takes a moment and is needed soon."""
    for module in PENS:
        import_module(module)
    from tiler.pack.ink import load_fonts

    load_fonts()


def write(prepared: Prepared, output: Path, progress: Progress = quietly) -> Outcome:
    """Write the pack of a prepared job.

    Raises:
        TilerError: The output, or what the job asks for in it, cannot be made; no file has changed.
    """
    from tiler.fronts import fronts_of, outcome_of, pack_of
    from tiler.pack.target import check_target, replaced
    from tiler.pack.writer import write_pack

    check_target(output, prepared.job.inputs)
    progress("drawing the marks", 0.4)
    fronts = fronts_of(prepared, progress)
    pack = pack_of(prepared, fronts)
    progress("writing the pack", 0.6)
    with replaced(output) as stream:
        write_pack(pack, prepared.flat, stream, prepared.loaded.inside)
        progress("writing the pack", 0.95)
    progress("done", 1.0)
    numbers = range(1, len(pack.pages) + 1, prepared.sides)
    return replace(outcome_of(prepared, fronts, output, numbers), size=output.stat().st_size)


def marks_of(prepared: Prepared) -> MarkOptions:
    """Which marks the sheets carry."""
    from tiler.findings import keep_clear
    from tiler.marks.facts import MarkOptions

    job = prepared.job
    avoid = keep_clear(job, prepared.loaded)
    return MarkOptions(marks=job.marks, guides=job.guides, lighten=job.lighten, avoid=avoid)


def facts_of(prepared: Prepared) -> Facts:
    """What the sheets say about the job."""
    from tiler.check_spots import check_spots
    from tiler.findings import folded_extent, guide_lines, panel_names
    from tiler.folding import fold_facts
    from tiler.inside import inside_facts
    from tiler.marks.facts import Facts

    flat, job, inside = prepared.flat, prepared.job, prepared.loaded.inside
    fold = fold_facts(job, prepared.loaded)
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
        folded=folded_extent(job, prepared.loaded) or (fold.size if fold is not None else None),
        guides=guide_lines(job, prepared.loaded) if job.guides != "none" else (),
        panels=panel_names(job, prepared.loaded),
        marks=job.marks,
        part=prepared.part,
        inside=inside_facts(inside, job.flip) if inside is not None else None,
        fold=fold,
        check_points=check_spots(job, prepared.loaded),
    )


def _profile(job: Job) -> Profile | None:
    """The printer profile that the job names.

    Raises:
        PrinterError: It is missing or broken.
    """
    if job.printer is None:
        return None
    from tiler.printers.in_use import profiles_folder
    from tiler.printers.profile_files import load_profile

    return load_profile(profiles_folder(), job.printer)


def corrections_of(
    profile: Profile | None, pages: Sequence[Page], flip: Flip | None = None
) -> tuple[Affine, ...]:
    """What makes each page come out true on the profile's printer; with ``flip`` every second is a back."""
    from tiler.inside import back_correction_of

    if profile is None:
        return ()
    from tiler.printers.profile import correction

    return tuple(
        correction(profile, page.size)
        if flip is None or index % 2 == 0
        else back_correction_of(profile, page.size, flip)
        for index, page in enumerate(pages)
    )


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


def date_of(flat: Flat) -> str | None:
    """The day printed on the pack: of the build where one is set, else of the flat's last change."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit():
        from datetime import UTC, datetime

        return datetime.fromtimestamp(min(int(epoch), 253402300799), UTC).strftime("%Y-%m-%d")
    return flat.date
