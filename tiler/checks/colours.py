"""Colours and fonts: RGB, spot colours, fonts that are not in the file, white that overprints.

Total ink is not told: a picture on a screen does not hold the separations, and a guess would be worse than
nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from tiler.checks.finding import Finding, Ink
from tiler.checks.group import around
from tiler.checks.inventory import Inventory
from tiler.checks.limits import Limits
from tiler.checks.overprint import WhiteSpot
from tiler.checks.sight import Sight
from tiler.checks.text import quoted
from tiler.geometry import Rect

NEAR = 0.5
"""A text whose base line begins this near to a place is the text that is meant, mm."""


def inks_of(inventory: Inventory, structure_spots: Collection[str]) -> tuple[Ink, ...]:
    """All colours that the file speaks of.

    Args:
        inventory: What was found.
        structure_spots: Spot colours that draw cuts and creases.
    """
    inks = [Ink("CMYK", "process")] if inventory.process else []
    inks += [Ink("RGB", "RGB")] if inventory.rgb else []
    return (*inks, *(Ink(name, "spot", name in structure_spots) for name in inventory.spots))


def fonts_of(sight: Sight) -> tuple[tuple[str, bool], ...]:
    """Fonts of the text, and whether each is in the file."""
    return tuple(sorted({(run.font, run.embedded) for run in sight.runs}))


def colour_findings(
    sight: Sight, limits: Limits, inventory: Inventory, structure_spots: Collection[str]
) -> Iterator[Finding]:
    """All findings on colours and fonts."""
    whole = Rect(0, 0, *sight.size)
    rgb, spot = limits["rgb"], limits["spot"]
    if inventory.rgb and rgb.severity is not None:
        uses = ", ".join(f"{count} × {use}" for use, count in inventory.rgb.items())
        yield rgb.finding(
            "colour.rgb", whole, f"RGB colour in a file for print ({uses}); convert it before production"
        )
    for name in inventory.spots:
        if name not in structure_spots and spot.severity is not None:
            message = f"Spot colour '{name}' needs a plate of its own; is it meant?"
            yield spot.finding("colour.spot", whole, message)
    yield from _fonts(sight, limits)
    yield from _white(sight, limits, inventory.white_overprints)


def _fonts(sight: Sight, limits: Limits) -> Iterator[Finding]:
    """One finding for each font that is not in the file."""
    limit = limits["font_not_embedded"]
    missing = sorted({run.font for run in sight.runs if not run.embedded and sight.is_printed(run.box)})
    for font in missing if limit.severity is not None else ():
        runs = [run for run in sight.runs if run.font == font and not run.embedded]
        message = f"Font {font} is not in the file: {quoted(runs[0].text)} may print in another one"
        yield limit.finding("colour.font", around([run.box for run in runs]), message)


def _white(sight: Sight, limits: Limits, spots: list[WhiteSpot]) -> Iterator[Finding]:
    """White text and shapes that overprint; shapes only by their number, at the first."""
    limit = limits["white_overprint"]
    if limit.severity is None:
        return
    told = set()
    for spot in spots:
        if not spot.is_text:
            continue
        for run in sight.runs:
            near = abs(run.origin.x - spot.at.x) <= NEAR and abs(run.origin.y - spot.at.y) <= NEAR
            if near and run.box not in told and sight.is_printed(run.box):
                told.add(run.box)
                message = f"White text overprints and will vanish: {quoted(run.text)}; set it to knock out"
                yield limit.finding("colour.white_overprint", run.box, message)
    shapes = [spot for spot in spots if not spot.is_text and _is_here(sight, spot)]
    if shapes:
        place = Rect(shapes[0].at.x, shapes[0].at.y, 0, 0).grown(1)
        number = f"{len(shapes)} white shapes overprint" if len(shapes) > 1 else "White shape overprints"
        message = f"{number} and will vanish; set to knock out"
        yield limit.finding("colour.white_overprint", place, message)


def _is_here(sight: Sight, spot: WhiteSpot) -> bool:
    return sight.is_printed(Rect(spot.at.x, spot.at.y, 0, 0))
