"""What a late change comes to, as lines of a list. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Rect
from tiler.revision.areas import Area
from tiler.revision.changes import Changes
from tiler.revision.reprint import text_words
from tiler.units import format_number

LISTED = 60
"""Places and words that are listed one by one."""


@dataclass(frozen=True)
class Line:
    """One line of the list."""

    key: str
    text: str
    tile: str = ""
    """The tile that the line is about; empty for several, or none."""
    area: int = 0
    """Number of the place, counted from 1; 0 for none."""
    rect: Rect | None = None
    """Where to look, mm on paper."""
    is_heading: bool = False


@dataclass(frozen=True)
class Spot:
    """A changed place on the picture."""

    number: int
    rect: Rect
    """mm on paper."""


def ranked(changes: Changes) -> tuple[Area, ...]:
    """The places, the largest first: as they are numbered on the map of the reprint."""
    return tuple(sorted(changes.areas, key=lambda area: (-area.changed, area.rect.y, area.rect.x)))


def spots(changes: Changes) -> tuple[Spot, ...]:
    """The places with their numbers."""
    return tuple(Spot(number, area.rect) for number, area in enumerate(ranked(changes), start=1))


def lines(changes: Changes, chosen: frozenset[str]) -> tuple[Line, ...]:
    """Sheets with what is to be printed, then places, then words."""
    found = [Line("sheets", "Sheets", is_heading=True)]
    for tile in changes.plan.tiles:
        area = changes.tiles.get(tile.label, 0.0)
        what = f"{_square(area)} changed" if area else "as it was"
        sign = "[x]" if tile.label in chosen else "[ ]"
        found.append(
            Line(f"tile {tile.label}", f"{sign} {tile.label:<4} {what}", tile=tile.label, rect=tile.face)
        )
    areas = ranked(changes)
    if areas:
        found.append(Line("places", "Places", is_heading=True))
    for number, one in enumerate(areas[:LISTED], start=1):
        found.append(_place(changes, number, one))
    if len(areas) > LISTED:
        found.append(Line("more places", f"and {len(areas) - LISTED} more", is_heading=True))
    if changes.texts:
        found.append(Line("words", "Words", is_heading=True))
    for number, text in enumerate(changes.texts[:LISTED]):
        labels = ", ".join(changes.labels_at(text.box))
        words = f"{labels}: {text_words(text)}" if labels else text_words(text)
        found.append(Line(f"text {number}", words, tile=labels if "," not in labels else "", rect=text.box))
    if len(changes.texts) > LISTED:
        found.append(Line("more words", f"and {len(changes.texts) - LISTED} more", is_heading=True))
    return tuple(found)


def _place(changes: Changes, number: int, area: Area) -> Line:
    """A place: number, tiles, size, where."""
    width, height = (format_number(max(side, 0.1), 0 if side >= 10 else 1) for side in area.rect.size)
    x, y = (format_number(value, 0) for value in (area.rect.x, area.rect.y))
    labels = changes.labels_at(area.rect)
    inside = " inside" if area.inside else ""
    return Line(
        f"place {number}",
        f"{number:>2}  {', '.join(labels)}{inside}  {width} × {height} mm at {x}, {y}",
        tile=labels[0] if len(labels) == 1 else "",
        area=number,
        rect=area.rect,
    )


def _square(area: float) -> str:
    """An area in words."""
    return f"{format_number(area, 0)} mm²" if area >= 10 else f"{format_number(max(area, 0.1), 1)} mm²"


def verdict(changes: Changes, chosen: frozenset[str]) -> str:
    """What it comes to, in one or two sentences."""
    old, new = changes.old.flat, changes.new.flat
    count, whole = len(changes.tiles), len(changes.plan.tiles)
    if changes.resized:
        return f"{_begun(changes.moved)}. No old sheet fits it; W writes the whole pack of {new.path.name}."
    if changes.moved:
        return (
            f"{_begun(changes.moved)}, so the old sheets do not fit. W writes the whole pack of "
            f"{new.path.name}; w the {count} changed sheets all the same."
        )
    if not changes.tiles:
        if old.sha256 == new.sha256 and old.page == new.page:
            return f"{new.path.name} is {old.path.name}, byte for byte. Nothing to print."
        return f"{new.path.name} was saved anew, but shows the same on every sheet. Nothing to print."
    printed = f"{len(chosen)} sheet{'s' if len(chosen) != 1 else ''} to print"
    return f"{count} of {whole} sheets changed · {printed}"


def _begun(sentence: str) -> str:
    return f"{sentence[:1].upper()}{sentence[1:]}"


def is_same(changes: Changes) -> bool:
    """True when there is nothing to print."""
    return not changes.tiles and not changes.moved
