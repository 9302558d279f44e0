"""Bleed along the real outline, and important matter that stands too near to a cut or crease.

Rays are cast outwards from the outline over the rendered flat::

         inside   | cut           wanted bleed
    ##############|################|          long enough
    ##############|#######         |          short: measured where the ink ends
    ##########    |                |          the art ends before the cut: nothing to ask for
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from tiler.checks.finding import Finding
from tiler.checks.group import around, grouped
from tiler.checks.limits import Limit, Limits
from tiler.checks.pixels import Pixels, is_inked
from tiler.checks.sight import Sight
from tiler.checks.symbol import Symbol
from tiler.checks.text import LINE_PITCH, more_lines, quoted
from tiler.flat.text import TextRun
from tiler.geometry import Point, Rect
from tiler.units import MM_PER_POINT, format_number

STEP = 0.5
"""Distance between two rays, mm."""
INSIDE = (0.35, 0.6, 0.9)
"""Art that is inked this far within the cut reaches the cut, mm."""
START = 0.2
"""Rays start this far beyond the cut, so that a printed cut line is no art, mm."""
SHORT = 0.1
"""The last part of the wanted bleed, which the coarse picture cannot tell, mm."""
FINE = 80.0
"""Pixels per mm of the close look at the shortest place."""
MOST_LOOKS = 40
"""Stretches that are looked at closely on one flat."""
SIDEWAYS = 2.0
"""Art must go on along the cut this far to both sides, mm: beside its own edge a slanting ray leaves it."""
LEAST_STRETCH = 1.0
"""Shorter stretches without bleed are specks, mm."""

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class _Ring:
    """Places along one outline."""

    places: Floats
    """(n, 2): mm."""
    outwards: Floats
    """(n, 2): unit vectors away from the board."""


def bleed_findings(sight: Sight, limits: Limits) -> Iterator[Finding]:
    """Stretches of the outline where art stops short beyond the cut."""
    limit = limits["bleed"]
    if limit.severity is None or sight.blank is None:
        return
    looks = 0
    for ring in _rings(sight):
        reach = _reach(sight.pixels, ring, limit.value)
        for stretch in _stretches(reach < limit.value - SHORT):
            if len(stretch) * STEP < LEAST_STRETCH or looks >= MOST_LOOKS:
                continue
            looks += 1
            worst = stretch[int(reach[stretch].argmin())]
            measured = _closely(sight, ring.places[worst], ring.outwards[worst], limit.value)
            if measured is None or not limit.is_below(measured):
                continue
            box = _box(ring.places[stretch])
            message = (
                f"Art reaches {format_number(measured, 2)} mm beyond the cut along some "
                f"{format_number(len(stretch) * STEP, 0)} mm; extend it to {format_number(limit.value)} mm"
            )
            yield limit.finding("bleed.short", box, message, measured)


def _rings(sight: Sight) -> Iterator[_Ring]:
    """Outer and inner edges of the board."""
    for polygon in shapely.get_parts(sight.blank):
        for ring, side in ((polygon.exterior, 1.0), *((hole, -1.0) for hole in polygon.interiors)):
            places = _ring(ring, side)
            if places is not None:
                yield places


def _ring(ring: Any, side: float) -> _Ring | None:
    """Places along a ring; ``side`` is 1 when the board lies within it, -1 when without."""
    corners = shapely.get_coordinates(ring)
    places, outwards = [], []
    turn = side if shapely.is_ccw(ring) else -side
    for (x0, y0), (x1, y1) in pairwise(corners.tolist()):
        length = math.hypot(x1 - x0, y1 - y0)
        count = int(length / STEP)
        if length <= 0 or (count < 1 and length < STEP / 5):
            continue
        along = np.array([(x1 - x0) / length, (y1 - y0) / length])
        normal = np.array([along[1], -along[0]]) * turn
        steps = (np.arange(max(count, 1)) + 0.5) * (length / max(count, 1))
        places.append(np.array([x0, y0]) + steps[:, None] * along)
        outwards.append(np.repeat(normal[None], len(steps), axis=0))
    if not places:
        return None
    return _Ring(np.concatenate(places), np.concatenate(outwards))


def _reach(pixels: Pixels, ring: _Ring, wanted: float) -> Floats:
    """(n,): how far ink goes on beyond the cut, mm; infinite where there is none at the cut."""
    inside = np.array([-distance for distance in INSIDE])
    step = 0.5 / pixels.pixels_per_mm
    outside = np.append(np.arange(START, wanted - SHORT, step), wanted - SHORT / 2)
    distances = np.concatenate([inside, outside])
    places = ring.places[:, None] + distances[None, :, None] * ring.outwards[:, None]
    inked = is_inked(pixels.at(places))
    has_art = _goes_on(np.asarray(inked[:, : len(inside)].all(axis=1), dtype=np.bool_))
    beyond = inked[:, len(inside) :]
    first = np.where(beyond.all(axis=1), len(outside), beyond.argmin(axis=1))
    reach = np.concatenate([outside, [np.inf]])[first]
    return np.where(has_art, reach, np.inf)


def _goes_on(flags: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """True for places of a ring whose neighbours within ``SIDEWAYS`` are all true as well."""
    result = flags.copy()
    for step in range(1, round(SIDEWAYS / STEP) + 1):
        result &= np.roll(flags, step) & np.roll(flags, -step)
    return result


def _stretches(flags: npt.NDArray[np.bool_]) -> list[npt.NDArray[np.int64]]:
    """Runs of true flags; gaps of up to two places do not part them."""
    found = np.flatnonzero(flags)
    if not len(found):
        return []
    return [part.astype(np.int64) for part in np.split(found, np.flatnonzero(np.diff(found) > 3) + 1)]


def _closely(sight: Sight, place: Floats, outwards: Floats, wanted: float) -> float | None:
    """The reach at one place, measured on a picture of its own; None when no art reaches the cut there."""
    side = 2 * (wanted + 1.2)
    window = Rect(place[0] - side / 2, place[1] - side / 2, side, side)
    pixels = Pixels(sight.zoom(window, FINE), window, FINE)
    distances = np.arange(START, wanted + 1.0, 0.5 / FINE)
    inside = np.array([-distance for distance in INSIDE])
    inked = is_inked(pixels.at(place + np.concatenate([inside, distances])[:, None] * outwards))
    if not inked[: len(inside)].all():
        return None
    beyond = inked[len(inside) :]
    if beyond.all():
        return wanted + 1.0
    first = int(beyond.argmin())
    return 0.0 if first == 0 else float(distances[first])


def _box(places: Floats) -> Rect:
    """The upright rectangle around places, a little wider so that it has an area."""
    left, top = places.min(axis=0)
    right, bottom = places.max(axis=0)
    return Rect.between(float(left), float(top), float(right), float(bottom)).grown(0.5)


def safe_zone_findings(sight: Sight, limits: Limits, symbols: Sequence[Symbol]) -> Iterator[Finding]:
    """Text and bar codes too near to a cut or crease.

    Args:
        sight: The flat.
        limits: What it is held against.
        symbols: Bar codes that have no finding on creases and quiet zones yet.
    """
    limit = limits["safe_zone"]
    near = []
    for run in sight.runs:
        if sight.is_printed(run.box):
            distance, line = _nearest(sight, _hull(run))
            if limit.is_below(distance):
                near.append((run, distance, line))
    for same in grouped(near, lambda item: item[0].box.grown(_line_gap(item[0])), lambda item: item[2], 0.0):
        run, distance, line = min(same, key=lambda item: item[1])
        message = f"Text {_how_near(distance, line, limit)}: {quoted(run.text)}{more_lines(len(same) - 1)}"
        yield limit.finding("bleed.safe_zone", around([item[0].box for item in same]), message, distance)
    for symbol in symbols:
        box = symbol.box
        distance, line = _nearest(sight, shapely.box(box.x, box.y, box.right, box.bottom))
        if limit.is_below(distance):
            message = f"{symbol.name} {_how_near(distance, line, limit)}"
            yield limit.finding("bleed.safe_zone", box, message, distance)


def _line_gap(run: TextRun) -> float:
    return run.size * MM_PER_POINT * LINE_PITCH / 4


def _how_near(distance: float, line: str, limit: Limit) -> str:
    """Where important matter stands, and how far away it should."""
    if distance < 0.01:
        return f"crosses a {line}"
    return f"is {format_number(distance, 2)} mm from a {line}, below {format_number(limit.value)} mm"


def _nearest(sight: Sight, shape: Any) -> tuple[float, str]:
    """Distance to the nearest cut or crease, mm, and which it is; infinite when none is known."""
    best, name = math.inf, ""
    for lines, kind in ((sight.cuts, "cut"), (sight.folds, "crease")):
        if not shapely.is_empty(lines):
            distance = float(shapely.distance(lines, shape))
            if distance < best:
                best, name = distance, kind
    if math.isinf(best) and sight.blank is not None:
        return float(shapely.distance(sight.blank.boundary, shape)), "cut"
    return best, name


def _hull(run: TextRun) -> Any:
    """The run's outline: its box, or for a slanting run a rectangle along its base line."""
    box = run.box
    turn = math.radians(run.angle)
    sine, cosine = abs(math.sin(turn)), abs(math.cos(turn))
    if min(sine, cosine) < 0.02:
        return shapely.box(box.x, box.y, box.right, box.bottom)
    height = (run.cap_height or 0.7 * run.size * MM_PER_POINT) * 1.3
    width = max((box.width - height * sine) / cosine, (box.height - height * cosine) / sine, height)
    along = Point(math.cos(turn) * width / 2, math.sin(turn) * width / 2)
    down = Point(-math.sin(turn) * height / 2, math.cos(turn) * height / 2)
    x, y = box.centre
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return shapely.polygons([(x + i * along.x + j * down.x, y + i * along.y + j * down.y) for i, j in signs])
