"""Find bar codes in the pixels of the rendered flat: in pictures, and where a font of bars was used."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt
from PIL import Image

from tiler.checks.decode import decode
from tiler.checks.group import around, clusters
from tiler.checks.sight import Sight
from tiler.checks.symbol import LENGTHS, MARGIN, Symbol, symbol_of, turned, widths_of
from tiler.geometry import Rect

_FONT_OF_BARS = re.compile(r"ean|upc|itf|i2of5|2of5|bar\s?code|code\s?\d", re.IGNORECASE)

BLOCK = 3.0
"""Side of the blocks in which the rendered flat is searched for stripes, mm."""
STRIPED = 0.10
"""Mean step of lightness between neighbouring pixels across the stripes of a symbol, at least."""
ONE_WAY = 3.0
"""Steps across the stripes are this many times those along them."""
DARKEST, LIGHTEST = 0.5, 0.6
"""Among the pixels of a symbol the dark ones are below the first, the light ones above the second."""
LIGHT_SHARE = (0.25, 0.8)
"""Share of light pixels in a symbol; half of EAN-13 is space."""
FILLED = 0.6
"""Share of a place's blocks that are striped."""
MOST_PLACES = 12
"""Striped places that are looked at closely on one flat."""
FINE = 24.0
"""Pixels per mm of that look: six within the narrowest bar of any retail symbol (0.264 mm)."""
SCANS = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where scan lines cross a striped place, shares of its height."""
WIDEST_PLACE = 200.0
"""Longest symbol at any magnification with room, mm."""


def rendered_symbols(sight: Sight, taken: Sequence[Rect]) -> Iterator[Symbol]:
    """Symbols in pictures, and those set in a font of bars."""
    looks = 0
    for area in _areas(sight):
        rows, columns = sight.pixels.span(area)
        grey = sight.pixels.grey[rows, columns].astype(np.int16)
        for across in (False, True):
            for place in _striped(grey.T if across else grey, sight.pixels.pixels_per_mm):
                box = (turned(place) if across else place).shifted(area.x, area.y)
                if looks >= MOST_PLACES or any(known.overlaps(box) for known in taken):
                    continue
                looks += 1
                window = box.grown(MARGIN)
                symbol = _scan(sight.zoom(window, FINE), window, across)
                if symbol is not None:
                    yield symbol


def _areas(sight: Sight) -> list[Rect]:
    """Where bars may stand that are no rectangles, mm."""
    whole = Rect(0, 0, *sight.size)
    if sight.is_picture:
        return [whole]
    boxes = [picture.box.intersection(whole) for picture in sight.drawing.pictures]
    boxes += [run.box for run in sight.runs if _FONT_OF_BARS.search(run.font)]
    large = [box for box in boxes if min(box.size) >= 2 * BLOCK]
    return [around([large[index] for index in cluster]) for cluster in clusters(large, 1.0)]


def _striped(grey: npt.NDArray[np.int16], pixels_per_mm: float) -> list[Rect]:
    """Places with upright stripes, mm, the largest first."""
    side = max(2, round(BLOCK * pixels_per_mm))
    steps_x = _blocks(np.abs(np.diff(grey, axis=1))[:-1], side) / 255
    steps_y = _blocks(np.abs(np.diff(grey, axis=0))[:, :-1], side) / 255
    striped = (steps_x > STRIPED) & (steps_x > ONE_WAY * steps_y)
    rows, columns = np.nonzero(striped)
    scale = side / pixels_per_mm
    cells = [
        Rect(x * scale, y * scale, scale, scale) for y, x in zip(rows.tolist(), columns.tolist(), strict=True)
    ]
    found = []
    for cluster in clusters(cells, scale / 2):
        place = around([cells[index] for index in cluster])
        blocks = place.width * place.height / scale**2
        fits = 4 * scale <= place.width <= WIDEST_PLACE and place.height >= 2 * scale
        if fits and len(cluster) >= FILLED * blocks and _is_two_toned(grey, place, pixels_per_mm):
            found.append(place)
    return sorted(found, key=lambda place: -place.width * place.height)


def _is_two_toned(grey: npt.NDArray[np.int16], place: Rect, pixels_per_mm: float) -> bool:
    """True for a place of dark and light in about equal parts."""
    top, bottom, left, right = (
        round(v * pixels_per_mm) for v in (place.y, place.bottom, place.x, place.right)
    )
    part = grey[top:bottom, left:right] / 255
    dark, light = np.percentile(part, (10, 90))
    share = float((part > (dark + light) / 2).mean())
    return bool(dark < DARKEST and light > LIGHTEST and LIGHT_SHARE[0] <= share <= LIGHT_SHARE[1])


def _blocks(values: npt.NDArray[np.int16], side: int) -> npt.NDArray[np.float64]:
    """Means of square blocks; what is left over at the right and bottom is dropped."""
    rows, columns = values.shape[0] // side, values.shape[1] // side
    cut = values[: rows * side, : columns * side]
    means: npt.NDArray[np.float64] = cut.reshape(rows, side, columns, side).mean(axis=(1, 3))
    return means


def _scan(picture: Image.Image, window: Rect, across: bool) -> Symbol | None:
    """Read a symbol in a close look at a striped place."""
    grey = np.asarray(picture.convert("L")).astype(np.float64)
    grey = grey.T if across else grey
    for share in SCANS:
        row = int(share * (grey.shape[0] - 1))
        line = grey[max(0, row - 1) : row + 2].mean(axis=0)
        edges = _bar_edges(line)
        for length in LENGTHS:
            count = (length + 1) // 2
            for start in range(len(edges) - count + 1):
                part = edges[start : start + count]
                found = decode(widths_of(part))
                if found is not None and found.has_right_check_digit:
                    top, bottom = _bar_reach(grey, row, part)
                    box = Rect.between(part[0][0] / FINE, top / FINE, part[-1][1] / FINE, bottom / FINE)
                    place = (turned(box) if across else box).shifted(window.x, window.y)
                    found = found._replace(module=found.module / FINE)
                    return symbol_of(found, place, box.height, across, in_pixels=True)
    return None


def _bar_edges(line: npt.NDArray[np.float64]) -> list[tuple[float, float]]:
    """Left and right edges of the dark stretches along a scan line, pixels, between the pixels' steps."""
    dark, light = np.percentile(line, (5, 95))
    if light - dark < 40:
        return []
    middle = (dark + light) / 2
    below = line < middle
    change = np.flatnonzero(below[1:] != below[:-1])
    places = change + (middle - line[change]) / (line[change + 1] - line[change]) + 0.5
    begins = bool(below[0])
    places = places[1:] if begins else places
    pairs = places[: len(places) // 2 * 2].reshape(-1, 2)
    return [(float(a), float(b)) for a, b in pairs]


def _bar_reach(
    grey: npt.NDArray[np.float64], row: int, bars: Sequence[tuple[float, float]]
) -> tuple[float, float]:
    """Upper and lower end of the shorter bars, pixels."""
    tops, bottoms = [], []
    middle = (grey[row].min() + grey[row].max()) / 2
    for left, right in bars[3:-3]:
        column = grey[:, int((left + right) / 2)] < middle
        light_above = np.flatnonzero(~column[:row])
        light_below = np.flatnonzero(~column[row:])
        tops.append(light_above[-1] + 1 if len(light_above) else 0)
        bottoms.append(row + light_below[0] if len(light_below) else len(column))
    return float(np.median(tops)), float(np.median(bottoms))
