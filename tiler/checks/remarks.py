"""What was not checked, cannot be checked, and whose matter it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tiler.checks.finding import Finding
from tiler.checks.inventory import Inventory
from tiler.checks.sight import Sight
from tiler.checks.text import quoted
from tiler.checks.waiver import Waiver

LAW = (
    "Limits of law are told as notes. Which of them binds a product, and what local rules add, is a matter "
    "for the person responsible for it; this list takes nobody's place."
)
INK = "Total ink is not measured: the flat is looked at as a screen shows it, not plate by plate."
CODES = (
    "Bar codes are held against size and surroundings only; a desktop print proves no scan grade. Symbols "
    "that lie at a slant are not found."
)
CALIPER = (
    "Sizes of panels run from crease to crease, for board of no thickness: inside measures shrink and "
    "outside measures grow by about one caliper a wall."
)
GENERAL = (CALIPER, CODES, INK, LAW)
"""What is said of every flat alike."""


def remarks_on(
    sight: Sight, inventory: Inventory, findings: Sequence[Finding], waivers: Sequence[Waiver]
) -> tuple[str, ...]:
    """Sentences for the end of the report."""
    cut = () if inventory.is_whole else ("The page is too long to look for white overprints to its end.",)
    return (*cut, *_remarks(sight, findings, waivers))


def _remarks(sight: Sight, findings: Sequence[Finding], waivers: Sequence[Waiver]) -> Iterator[str]:
    yield from _on_text(sight)
    if not sight.drawing.is_whole:
        yield "The flat has more paths than are read closely; some thin lines and bars may be missed."
    if sight.blank is None:
        yield "No cuts are known, so bleed and the distance to the edge were not checked."
    elif not sight.structure.panels:
        yield "No cuts are known, so bleed was held against the TrimBox alone."
    else:
        yield CALIPER
    for waiver in waivers:
        if not any(waiver.covers(finding) for finding in findings):
            x, y = waiver.near
            yield f"The waiver of {waiver.rule} at ({x:g}, {y:g}) mm covers nothing any more."
    yield CODES
    yield INK
    yield LAW


def _on_text(sight: Sight) -> Iterator[str]:
    """What cannot be read."""
    if sight.is_picture:
        yield "The flat is one picture: its type, lines and colours cannot be read; measure them on the mock."
    elif not sight.runs:
        yield "No live text: outlined type and type in pictures cannot be read; measure it on the mock."
    elif sight.drawing.pictures:
        yield "Type inside pictures cannot be read; measure it on the mock."
    lost = [run for run in sight.runs if "\ufffd" in run.text]
    if lost:
        example = quoted(lost[0].text)
        yield f"{len(lost)} texts have letters whose meaning the font does not tell, such as {example}."
    unknown = [run for run in sight.runs if run.x_height is None and any(c.islower() for c in run.text)]
    if unknown:
        yield (
            f"The height of small letters cannot be told for {len(unknown)} texts, such as "
            f"{quoted(unknown[0].text)}: the font has no outlines to measure."
        )
