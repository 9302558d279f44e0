"""Pictures: resolution at placed size along both axes, and pictures that are stretched."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.checks.drawing import Picture
from tiler.checks.finding import Finding
from tiler.checks.group import around, grouped
from tiler.checks.limits import Limit, Limits
from tiler.checks.sight import Sight
from tiler.units import format_number

LEAST_AREA = 4.0
"""Smaller pictures are scraps of a shading, mm²."""
LEAST_PIXELS = 3
"""A picture with fewer pixels along a side is a plain tint."""


def image_findings(sight: Sight, limits: Limits) -> Iterator[Finding]:
    """All findings on pictures."""
    pictures = [picture for picture in _pictures(sight) if _counts(picture)]
    short = [(picture, limit) for picture in pictures if (limit := _missed(picture, limits)) is not None]
    for same in grouped(short, lambda item: item[0].box, lambda item: (_ppi_key(item[0]), item[1].name), 0.5):
        yield _too_coarse([picture for picture, _ in same], same[0][1])
    coarse = {id(picture) for picture, _ in short}
    stretched = [p for p in pictures if id(p) not in coarse and _is_stretched(p, limits["image_stretch"])]
    for group in grouped(stretched, lambda picture: picture.box, _ppi_key, 0.5):
        yield _stretched(group, limits["image_stretch"])


def _pictures(sight: Sight) -> Iterator[Picture]:
    """The pictures that print."""
    for picture in sight.drawing.pictures:
        if sight.is_printed(picture.box):
            yield picture


def _counts(picture: Picture) -> bool:
    return picture.width * picture.height >= LEAST_AREA and min(picture.pixels) >= LEAST_PIXELS


def _missed(picture: Picture, limits: Limits) -> Limit | None:
    """The limit that a picture misses, the floor before the usual one."""
    ppi = min(picture.ppi)
    names = ("line_art_ppi",) if picture.is_line_art else ("image_floor_ppi", "image_ppi")
    return next((limits[name] for name in names if limits[name].is_below(ppi)), None)


def _ppi_key(picture: Picture) -> tuple[int, ...]:
    """Equal for pieces of one picture."""
    return tuple(round(value / 2) for value in picture.ppi)


def _stretch(picture: Picture) -> float:
    """By how much one axis is stretched against the other, %."""
    across, down = picture.ppi
    return (max(across, down) / min(across, down) - 1) * 100


def _is_stretched(picture: Picture, limit: Limit) -> bool:
    """True when the stretch is more than the rounding to whole pixels can make."""
    rounding = 100 * (0.5 / min(picture.pixels))
    return limit.severity is not None and _stretch(picture) > limit.value + rounding


def _too_coarse(pictures: list[Picture], limit: Limit) -> Finding:
    """A picture, or the strips of one, below its limit."""
    picture = min(pictures, key=lambda item: min(item.ppi))
    across, down = picture.ppi
    kind = "One-bit line art" if picture.is_line_art else "Picture"
    message = f"{kind} of {format_number(across, 0)} × {format_number(down, 0)} ppi at placed size"
    message += f", below {format_number(limit.value, 0)}"
    stretch = _stretch(picture)
    if stretch > 100 / min(picture.pixels) + 2:
        message += f", and stretched by {format_number(stretch)} %"
    message += f" ({len(pictures)} pieces)" if len(pictures) > 1 else ""
    rule = "image.line_art" if picture.is_line_art else "image.ppi"
    return limit.finding(rule, around([item.box for item in pictures]), message, min(picture.ppi))


def _stretched(pictures: list[Picture], limit: Limit) -> Finding:
    """A picture whose axes differ."""
    picture = pictures[0]
    across, down = picture.ppi
    message = (
        f"Picture stretched by {format_number(_stretch(picture))} %: {format_number(across, 0)} ppi along "
        f"its rows, {format_number(down, 0)} along its columns"
    )
    box = around([item.box for item in pictures])
    return limit.finding("image.stretched", box, message, _stretch(picture))
