"""Run all checks on a flat."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace

from tiler.checks.bleed import bleed_findings, safe_zone_findings
from tiler.checks.codes import code_findings, with_room
from tiler.checks.colours import colour_findings, fonts_of, inks_of
from tiler.checks.finding import Finding, Report
from tiler.checks.images import image_findings
from tiler.checks.inventory import Inventory, take_inventory
from tiler.checks.limits import Limits, default_limits
from tiler.checks.lines import line_findings, widest_of_interest
from tiler.checks.remarks import remarks_on
from tiler.checks.sight import Sight, looking_at
from tiler.checks.structure import structure_findings
from tiler.checks.symbols import find_symbols
from tiler.checks.text import text_findings
from tiler.checks.texts import text_entries
from tiler.checks.waiver import Waiver
from tiler.checks.waiving import with_waivers
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Flat
from tiler.geometry import Rect, Size
from tiler.plan.tile import Plan
from tiler.structure.model import Structure

Progress = Callable[[str, float], None]
"""Told what is being looked at and the share of the whole that is done; may raise to end the checks."""


def _quietly(stage: str, share: float) -> None:
    """A ``Progress`` that tells nobody."""


def run_checks(
    flat: Flat,
    structure: Structure | None = None,
    plan: Plan | None = None,
    limits: Limits | None = None,
    waivers: Sequence[Waiver] = (),
    words: Collection[str] | None = None,
    progress: Progress = _quietly,
) -> Report:
    """Look at a flat as a careful prepress person would.

    Args:
        flat: The flat.
        structure: Its cuts and creases; without them bleed is held against the TrimBox alone.
        plan: Ties each finding to a tile; its flat may be scaled.
        limits: What is measured against; the defaults when None.
        waivers: False alarms, which stay in the report as waived.
        words: Small-letter words that are spelt right; None marks no spelling.
        progress: Told what is looked at; may raise to end the checks.

    Raises:
        FlatError: The flat cannot be read.
    """
    progress("looking at the colours", 0.0)
    limits = limits or default_limits()
    structure = structure or Structure()
    inventory = Inventory()
    if isinstance(flat.source, PdfFlat):
        inventory = take_inventory(flat.source, flat.path.name)
    progress("drawing the flat", 0.1)
    spots = {item.name for item in structure.candidates if item.kind is not None}
    with looking_at(flat, structure, limits["bleed"].value, widest_of_interest(limits)) as sight:
        findings = _all_findings(sight, limits, inventory, spots, progress)
        progress("listing the texts", 0.9)
        texts = text_entries(sight, words)
        tiles = _Tiles(plan, flat.size)
        return Report(
            findings=with_waivers(_placed(findings, tiles), waivers),
            texts=tuple(replace(entry, tile=tiles.at(entry.box)) for entry in texts),
            inks=inks_of(inventory, spots),
            fonts=fonts_of(sight),
            remarks=remarks_on(sight, inventory, findings, waivers),
        )


def _all_findings(
    sight: Sight, limits: Limits, inventory: Inventory, spots: set[str], progress: Progress
) -> list[Finding]:
    """What every family of rules finds."""
    progress("looking for codes", 0.3)
    symbols = find_symbols(sight)
    codes = list(code_findings(sight, limits, symbols))
    families: tuple[tuple[str, Callable[[], Iterable[Finding]]], ...] = (
        ("measuring text", lambda: text_findings(sight, limits)),
        ("measuring pictures", lambda: image_findings(sight, limits)),
        ("measuring lines", lambda: line_findings(sight, limits)),
        ("looking at the bleed", lambda: bleed_findings(sight, limits)),
        ("holding codes against their limits", lambda: codes),
        ("measuring to the edge", lambda: safe_zone_findings(sight, limits, with_room(symbols, codes))),
        ("looking at the colours", lambda: colour_findings(sight, limits, inventory, spots)),
        ("looking at cuts and creases", lambda: structure_findings(sight, limits)),
    )
    found: list[Finding] = []
    for index, (stage, look) in enumerate(families):
        progress(stage, 0.5 + 0.05 * index)
        found += look()
    return found


class _Tiles:
    """Finds the tile of a place.

    Args:
        plan: None gives no tile at all.
        flat: True size of the flat, mm.
    """

    def __init__(self, plan: Plan | None, flat: Size) -> None:
        self._tiles = plan.tiles if plan is not None else ()
        self._scale = plan.flat.width / flat.width if plan is not None else 1.0
        self.whole = Rect(0, 0, *flat)
        """Box of what has no place of its own."""

    def at(self, box: Rect) -> str:
        """The tile that shows the middle of a box, or the most of it; empty for the whole flat."""
        if box == self.whole:
            return ""
        here = box.scaled(self._scale)
        for tile in self._tiles:
            if tile.face.contains(here.centre):
                return tile.label
        best, label = 0.0, ""
        for tile in self._tiles:
            shared = tile.window.intersection(here.grown(0.1))
            if shared.width * shared.height > best:
                best, label = shared.width * shared.height, tile.label
        return label


def _placed(findings: Iterable[Finding], tiles: _Tiles) -> list[Finding]:
    """Each finding once, with its tile."""
    unique = {(f.rule, f.box, f.message): f for f in findings}
    return [
        replace(finding, tile=tiles.at(finding.box), is_of_whole=finding.box == tiles.whole)
        for finding in unique.values()
    ]
