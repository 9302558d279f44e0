"""Colours of the art along both edges of a meeting."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from PIL import Image

from tiler.fold.colour import lab_of
from tiler.fold.meetings import Meeting, Side
from tiler.fold.rigid import Array
from tiler.geometry import Rect

STEP = 0.1
"""Samples lie this far apart along an edge, mm."""
SHARP = 20.0
"""Pixels for each mm in which art is looked at."""
MOST_PIXELS = 6_000_000
"""A long slanted edge is looked at more coarsely, so that its picture stays below this."""
NEAR_HIDDEN, NEAR_DRAWN = 0.15, 0.3
"""Distance from the edge at which art is sampled when the structure lines are hidden, and when they are part
of the art and cover the edge themselves, mm."""
DEEPER = 0.5
"""Second samples lie this much deeper; the slope between both tells what happens at the edge itself, mm."""
_SPREAD = 0.05
"""Each sample is the mean over this much to both sides, across the edge, mm."""


class Painter(Protocol):
    """Whatever shows parts of a flat."""

    def render(self, window: Rect, pixels_per_mm: float) -> Image.Image:
        """A part of the flat, true-size millimetres, as RGB picture on white."""


@dataclass(frozen=True, eq=False)
class Profile:
    """Lab colours along one edge, a sample each ``STEP``."""

    near: Array
    """n × 3, close to the edge."""
    deep: Array
    """n × 3, ``DEEPER`` farther in."""


@dataclass(frozen=True, eq=False)
class Sampled:
    """Both edges of a meeting; sample i of one meets sample i of the other."""

    a: Profile
    b: Profile
    depth: float
    """Distance of the near samples from the edge, mm."""


def sampled(meeting: Meeting, painter: Painter, lines_hidden: bool) -> Sampled:
    """Look at the art on both sides of a meeting.

    Args:
        meeting: The edges.
        painter: Shows the flat, without structure lines where that is possible.
        lines_hidden: True when no structure line is shown.
    """
    depth = NEAR_HIDDEN if lines_hidden else NEAR_DRAWN
    count = max(2, round(meeting.length / STEP) + 1)
    a, b = (_profile(side, painter, depth, count) for side in (meeting.a, meeting.b))
    return Sampled(a, b, depth)


def _profile(side: Side, painter: Painter, depth: float, count: int) -> Profile:
    """The colours along one edge."""
    along = np.linspace(0, side.length, count)
    line = np.array(side.start) + np.outer(along, np.array(side.along))
    inward = np.array(side.inward)
    spots = [line + (depth + add) * inward for add in (-_SPREAD, 0, _SPREAD)]
    spots += [line + (depth + DEEPER + add) * inward for add in (-_SPREAD, 0, _SPREAD)]
    every = np.concatenate(spots)
    window, scale = _window(every)
    pixels = np.asarray(painter.render(window, scale), dtype=np.float64)
    kx, ky = pixels.shape[1] / window.width, pixels.shape[0] / window.height
    colours = [_between(pixels, (s - (window.x, window.y)) * (kx, ky) - 0.5) for s in spots]
    near, deep = (sum(colours[i : i + 3], np.zeros_like(colours[0])) / 3 for i in (0, 3))
    return Profile(lab_of(near), lab_of(deep))


def _window(places: Array) -> tuple[Rect, float]:
    """What to render round places, and at how many pixels for each mm.

    Its edges lie on whole pixels of the flat, for a renderer moves art to whole pixels.
    """
    left, top = (places.min(axis=0) - 1).tolist()
    right, bottom = (places.max(axis=0) + 1).tolist()
    scale = min(SHARP, math.sqrt(MOST_PIXELS / ((right - left) * (bottom - top))))
    edges = [
        math.floor(left * scale),
        math.floor(top * scale),
        math.ceil(right * scale),
        math.ceil(bottom * scale),
    ]
    return Rect.between(*(edge / scale for edge in edges)), scale


def _between(pixels: Array, places: Array) -> Array:
    """Colours between pixels, mixed from the four round each place; n × 2 (x, y) in, n × 3 out."""
    height, width = pixels.shape[:2]
    x = np.clip(places[:, 0], 0, width - 1.001)
    y = np.clip(places[:, 1], 0, height - 1.001)
    i, j = x.astype(int), y.astype(int)
    u, v = (x - i)[:, None], (y - j)[:, None]
    i2, j2 = np.minimum(i + 1, width - 1), np.minimum(j + 1, height - 1)
    upper = pixels[j, i] * (1 - u) + pixels[j, i2] * u
    lower = pixels[j2, i] * (1 - u) + pixels[j2, i2] * u
    result: Array = upper * (1 - v) + lower * v
    return result
