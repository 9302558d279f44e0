"""The front pages of a pack, in their order: map, assembly, proof list, corner strips, tiles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.load import Progress, quietly
from tiler.outline import sections_of
from tiler.run import Outcome, Prepared, corrections_of, date_of, facts_of, marks_of

if TYPE_CHECKING:
    from tiler.marks.facts import Facts
    from tiler.marks.shapes import Page
    from tiler.pack.writer import Pack


FRONTS = (0.4, 0.6)
"""Shares of the whole work between which front pages are drawn."""


@dataclass(frozen=True)
class Fronts:
    """Front pages of a pack as shapes."""

    facts: Facts
    """What they say about the job."""
    maps: tuple[Page, ...]
    steps: tuple[Page, ...]
    """How the tiles are put together."""
    proof: tuple[Page, ...]
    """The proof list; empty where it was not asked for."""
    corners: tuple[Page, ...]
    """The corner strips; empty where they were not asked for, or no art meets."""
    tiles: tuple[Page, ...]
    notes: tuple[str, ...] = ()
    """Sentences on what was asked for and is not there."""

    @property
    def pages(self) -> tuple[Page, ...]:
        """All of them, in their order."""
        return (*self.maps, *self.steps, *self.proof, *self.corners, *self.tiles)


def fronts_of(prepared: Prepared, progress: Progress = quietly) -> Fronts:
    """Draw the front pages.

    Args:
        prepared: The job.
        progress: Told what is looked at, within the share ``FRONTS`` of the whole.

    Raises:
        TilerError: The checks need a file that cannot be read, or the sheet is too small for corner strips.
    """
    from tiler.marks.sheet import tile_page
    from tiler.pack.assembly_page import assembly_pages
    from tiler.pack.ink import text_width
    from tiler.pack.map_page import map_pages

    facts, options, plan = facts_of(prepared), marks_of(prepared), prepared.plan
    proof: tuple[Page, ...] = ()
    corners: tuple[Page, ...] = ()
    notes: tuple[str, ...] = ()
    if prepared.job.proof:
        from tiler.proofing import proof_list

        proof, numbers, notes = proof_list(prepared, facts, _between(progress, FRONTS[0], 0.5))
        facts = replace(facts, numbers=numbers)
    if prepared.job.corners:
        from tiler.proofing import corner_strips

        corners, more = corner_strips(prepared, facts, _between(progress, 0.5, FRONTS[1]))
        notes = (*notes, *more)
    return Fronts(
        facts=facts,
        maps=map_pages(plan, facts, text_width),
        steps=assembly_pages(plan, facts, text_width),
        proof=proof,
        corners=corners,
        tiles=tuple(tile_page(plan, tile, facts, options, text_width) for tile in prepared.printed),
        notes=notes,
    )


def _between(progress: Progress, begin: float, end: float) -> Progress:
    """The progress of a part of the work, as a stretch of the whole."""
    return lambda stage, share: progress(stage, begin + share * (end - begin))


def pack_of(prepared: Prepared, fronts: Fronts) -> Pack:
    """The pack of these front pages, with backs where there is an inside print."""
    from tiler.inside import backed
    from tiler.pack.writer import Pack

    job, inside = prepared.job, prepared.loaded.inside
    pages = fronts.pages
    if inside is not None:
        pages = backed(pages, prepared.printed, prepared.plan, fronts.facts, job.lighten)
    groups = [
        ("Map", len(fronts.maps)),
        ("Assembly", len(fronts.steps)),
        ("Proof list", len(fronts.proof)),
        ("Corner strips", len(fronts.corners)),
    ]
    return Pack(
        title=f"{prepared.flat.path.name} · true-size mock",
        pages=pages,
        sections=sections_of(prepared.plan, prepared.printed, groups, prepared.sides),
        date=date_of(prepared.flat),
        hidden=prepared.loaded.structure_layers if job.guides == "full" else (),
        corrections=corrections_of(prepared.profile, pages, None if inside is None else job.flip),
        duplex="none" if inside is None else job.flip,
    )


def outcome_of(prepared: Prepared, fronts: Fronts, output: Path, numbers: Sequence[int]) -> Outcome:
    """Where the front pages have come to lie; size and sides are those of a single pack not yet written.

    Args:
        prepared: The job.
        fronts: Its pages.
        output: The pack.
        numbers: Of the front pages in the pack, counted from 1.
    """
    kinds, first = [], 0
    for pages in (fronts.maps, fronts.steps, fronts.proof, fronts.corners, fronts.tiles):
        kinds.append(tuple(numbers[first : first + len(pages)]))
        first += len(pages)
    maps, steps, proof, corners, tiles = kinds
    labels = (tile.label for tile in prepared.printed)
    return Outcome(
        prepared=prepared,
        output=output,
        map_pages=maps,
        assembly_pages=steps,
        tile_pages=dict(zip(labels, tiles, strict=True)),
        size=0,
        sides=prepared.sides,
        proof_pages=proof,
        corner_pages=corners,
        notes=fronts.notes,
    )
