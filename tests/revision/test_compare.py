"""The comparison of two drawings: what it must see, and what it must not."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageDraw

from tiler.revision.compare import PIXELS_PER_MM, Mask, told_apart

SIDE = 400
"""Pixels; 40 mm at the resolution of the comparison."""

FINER = 8
"""Pictures are drawn this many times larger and averaged, so that edges fall between pixels."""

Picture = np.ndarray[Any, np.dtype[np.uint8]]


@cache  # drawn large, which takes long
def shapes(shift: tuple[float, float] = (0.0, 0.0), ink: tuple[int, int, int] = (20, 40, 90)) -> Picture:
    """A disc, a thin line and a bar on a cream ground, moved by so many mm."""
    large = Image.new("RGB", (SIDE * FINER, SIDE * FINER), (240, 230, 200))
    draw = ImageDraw.Draw(large)
    scale = PIXELS_PER_MM * FINER
    dx, dy = (round(step * scale) for step in shift)
    draw.ellipse((100 * FINER + dx, 100 * FINER + dy, 180 * FINER + dx, 180 * FINER + dy), fill=ink)
    draw.rectangle((230 * FINER + dx, 60 * FINER + dy, 300 * FINER + dx, 130 * FINER + dy), fill=ink)
    line = (60 * FINER + dx, 300 * FINER + dy, 340 * FINER + dx, 310 * FINER + dy)
    draw.line(line, fill=ink, width=2 * FINER)
    return pixels(large.reduce(FINER))


def pixels(picture: Image.Image) -> Picture:
    """A picture as the comparison takes it."""
    found: Picture = np.asarray(picture, dtype=np.uint8)
    return found


def changed_pixels(old: Picture, new: Picture, loose: Mask | None = None) -> Mask:
    """All that differs by more than the noise of drawing."""
    moved, recoloured = told_apart(old, new, loose)
    changed: Mask = moved | recoloured
    return changed


def textured(seed: int, tint: tuple[int, int, int] = (0, 0, 0)) -> Picture:
    """Grain as of a photograph, coloured a little."""
    random = np.random.default_rng(seed)
    grain = random.normal(120, 25, (SIDE, SIDE, 1)) + np.array(tint)
    found: Picture = np.clip(grain, 0, 255).astype(np.uint8)
    return found


def test_the_same_drawing_has_not_changed() -> None:
    assert not changed_pixels(shapes(), shapes()).any()


@pytest.mark.parametrize("shift", [(0.0125, 0), (0, 0.0375), (0.05, 0.05), (0.1, 0), (0, -0.1)])
def test_a_shift_of_a_tenth_of_a_millimetre_is_drawing_noise(shift: tuple[float, float]) -> None:
    assert not changed_pixels(shapes(), shapes(shift)).any()


@pytest.mark.parametrize("phase", [0.0, 0.0125, 0.025, 0.05, 0.0625, 0.0875])
@pytest.mark.parametrize("direction", [(0.2, 0), (0, 0.2), (-0.2, 0)])
def test_a_shift_of_two_tenths_is_seen_wherever_the_edges_fall(
    phase: float, direction: tuple[float, float]
) -> None:
    moved = changed_pixels(shapes((phase, phase)), shapes((phase + direction[0], phase + direction[1])))
    assert moved[90:190, 90:190].any()


@pytest.mark.parametrize("phase", range(FINER))
def test_a_dot_of_two_tenths_of_a_millimetre_is_seen(phase: int) -> None:
    large = Image.fromarray(shapes()).resize((SIDE * FINER, SIDE * FINER), Image.Resampling.NEAREST)
    x, side = 200 * FINER + phase, round(0.2 * PIXELS_PER_MM * FINER)
    ImageDraw.Draw(large).ellipse((x, x, x + side, x + side), fill=(20, 40, 90))
    changed = changed_pixels(shapes(), pixels(large.reduce(FINER)))
    rows, columns = np.nonzero(changed)
    assert len(rows) >= 2
    assert {*rows, *columns} <= set(range(199, 205))


def test_a_thin_line_that_is_gone_is_seen() -> None:
    without = shapes()
    with_line = without.copy()
    with_line[200, 50:150] = (20, 40, 90)
    assert changed_pixels(with_line, without)[200].any()
    assert changed_pixels(without, with_line)[200].any()


@pytest.mark.parametrize("channel", [0, 1, 2])
@pytest.mark.parametrize("step", [-3, 3, 12])
def test_a_slight_change_of_colour_alone_is_seen(channel: int, step: int) -> None:
    tinted = shapes().astype(np.int16)
    tinted[100:180, 100:180, channel] += step
    changed = changed_pixels(shapes(), np.clip(tinted, 0, 255).astype(np.uint8))
    assert changed[120:160, 120:160].all()
    assert changed[110:170, 110:170].mean() > 0.8
    assert not changed[:95].any()


def test_a_slight_change_of_colour_is_seen_in_grain_coarser_than_it() -> None:
    assert changed_pixels(textured(1), textured(1, (3, 0, -3))).mean() > 0.9


def test_rounding_by_one_level_is_no_change() -> None:
    up = (shapes().astype(np.int16) + 1).clip(0, 255).astype(np.uint8)
    assert not changed_pixels(shapes(), up).any()
    random = np.random.default_rng(3)
    jitter = shapes().astype(np.int16) + random.integers(-2, 3, (SIDE, SIDE, 3))
    assert not changed_pixels(shapes(), jitter.clip(0, 255).astype(np.uint8)).any()


def test_other_grain_of_the_same_colour_is_a_change_of_the_picture() -> None:
    assert changed_pixels(textured(1), textured(2)).any()


def test_a_change_across_the_border_of_two_blocks_has_no_gap() -> None:
    changed_art = shapes()
    changed_art = changed_art.copy()
    changed_art[195:205, 10:60] = 0
    changed = changed_pixels(shapes(), changed_art)
    assert changed[195:205, 10:60].all()
    assert changed.sum() == 10 * 50


def test_two_pixels_are_forgiven_only_where_that_is_asked_for() -> None:
    loose = np.zeros((SIDE, SIDE), dtype=bool)
    loose[:, :200] = True
    changed = changed_pixels(shapes(), shapes((0.2, 0)), loose)
    assert not changed[:, :200].any()
    assert changed[:, 200:].any()
