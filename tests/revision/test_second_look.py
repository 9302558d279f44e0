"""The closer look: it dismisses threads between shapes, and keeps what is really there."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from PIL import Image, ImageDraw

from tests.revision.test_compare import Picture, pixels
from tiler.revision.compare import PIXELS_PER_MM, Mask
from tiler.revision.second_look import CLOSER, Look, grown, really_changed

SIDE = 200
"""Pixels of the comparison: 20 mm."""

FINER = 8
"""Pictures are drawn this many times larger and averaged."""

Box = tuple[float, float, float, float]


@cache
def drawn(boxes: tuple[tuple[Box, int], ...], enlarged: int) -> Picture:
    """Grey boxes (left, top, right, bottom in mm) on a pale ground, drawn in a given enlargement."""
    side = SIDE * enlarged
    picture = Image.new("RGB", (side * FINER, side * FINER), (230, 230, 230))
    scale = PIXELS_PER_MM * enlarged * FINER
    for box, grey in boxes:
        left, top, right, bottom = (round(edge * scale) for edge in box)
        ImageDraw.Draw(picture).rectangle((left, top, right - 1, bottom - 1), fill=(grey,) * 3)
    return pixels(picture.reduce(FINER))


def looked(before: tuple[tuple[Box, int], ...], after: tuple[tuple[Box, int], ...]) -> Mask:
    """The pixels that have really changed."""

    def look(top: int, left: int, bottom: int, right: int) -> tuple[Picture, Picture]:
        part = np.s_[top * CLOSER : bottom * CLOSER, left * CLOSER : right * CLOSER]
        return drawn(before, CLOSER)[part], drawn(after, CLOSER)[part]

    see: Look = look
    return really_changed(drawn(before, 1), drawn(after, 1), None, see)


LINE = ((2.0, 10.0, 18.0, 10.1), 40)


@pytest.mark.parametrize("phase", [0.0, 0.025, 0.05, 0.075])
def test_a_thin_line_that_moves_by_two_tenths_has_changed(phase: float) -> None:
    (left, top, right, bottom), grey = LINE
    before = (((left, top + phase, right, bottom + phase), grey),)
    after = (((left, top + phase + 0.2, right, bottom + phase + 0.2), grey),)
    assert looked(before, after)[95:110, 30:170].any()


@pytest.mark.parametrize("aside", [0.0, 0.025, 0.05, 0.1])
def test_a_thin_line_within_a_tenth_of_its_place_has_not(aside: float) -> None:
    (left, top, right, bottom), grey = LINE
    assert not looked((LINE,), (((left, top + aside, right, bottom + aside), grey),)).any()


def test_a_thin_line_that_is_gone_or_new_has_changed() -> None:
    assert looked((LINE,), ()).any()
    assert looked((), (LINE,)).any()


def test_a_thread_as_wide_as_a_pixel_at_any_size_is_drawing_noise() -> None:
    """Two boxes meet; where they do, one drawing shows the ground through, one pixel wide at either size."""
    boxes = (((2.0, 2.0, 10.0, 18.0), 90), ((10.0, 2.0, 18.0, 18.0), 60))

    def with_thread(enlarged: int) -> Picture:
        picture = drawn(boxes, enlarged).copy()
        picture[30 * enlarged : 170 * enlarged, 100 * enlarged] = 180
        return picture

    def look(top: int, left: int, bottom: int, right: int) -> tuple[Picture, Picture]:
        part = np.s_[top * CLOSER : bottom * CLOSER, left * CLOSER : right * CLOSER]
        return drawn(boxes, CLOSER)[part], with_thread(CLOSER)[part]

    assert really_changed(drawn(boxes, 1), with_thread(1), None, None).any()
    assert not really_changed(drawn(boxes, 1), with_thread(1), None, look).any()


def test_a_solid_change_needs_no_closer_look() -> None:
    def look(*_: int) -> tuple[Picture, Picture]:
        raise AssertionError("looked")

    block = (((5.0, 5.0, 9.0, 9.0), 90),)
    changed = really_changed(drawn(block, 1), drawn((), 1), None, look)
    assert changed[52:88, 52:88].all()


def test_a_mask_grows_by_so_many_pixels_and_no_further() -> None:
    mask = np.zeros((20, 20), dtype=bool)
    mask[10, 10] = mask[0, 19] = True
    wide = grown(mask, 3)
    assert wide[7:14, 7:14].all()
    assert wide[:4, 16:].all()
    assert wide.sum() == 49 + 16
