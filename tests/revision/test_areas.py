"""Changed pixels gathered into areas."""

from __future__ import annotations

import numpy as np
import pytest

from tiler.geometry import Point, Rect, Size
from tiler.revision.areas import Gathered

PIXEL = 0.1


def mask_of(*boxes: tuple[int, int, int, int], shape: tuple[int, int] = (600, 800)) -> np.ndarray:
    """True in boxes of left, top, right, bottom, pixels."""
    mask = np.zeros(shape, dtype=bool)
    for left, top, right, bottom in boxes:
        mask[top:bottom, left:right] = True
    return mask


def test_an_area_is_the_box_around_its_pixels() -> None:
    gathered = Gathered(Size(100, 80))
    changed = gathered.add(mask_of((103, 207, 141, 222)), Point(0, 0), PIXEL)
    (area,) = gathered.areas()
    assert tuple(area.rect) == pytest.approx((10.3, 20.7, 3.8, 1.5))
    assert area.changed == pytest.approx(3.8 * 1.5)
    assert changed == pytest.approx(area.changed)


def test_pieces_of_two_tiles_make_one_area() -> None:
    gathered = Gathered(Size(100, 80))
    gathered.add(mask_of((780, 100, 800, 120)), Point(0, 0), PIXEL)
    gathered.add(mask_of((0, 100, 50, 120), shape=(600, 200)), Point(80, 0), PIXEL)
    (area,) = gathered.areas()
    assert tuple(area.rect) == pytest.approx((78, 10, 7, 2))


def test_places_far_apart_stay_apart_and_come_in_reading_order() -> None:
    gathered = Gathered(Size(100, 80))
    gathered.add(mask_of((600, 300, 640, 310), (10, 300, 20, 310), (300, 20, 310, 30)), Point(0, 0), PIXEL)
    corners = [(area.rect.x, area.rect.y) for area in gathered.areas()]
    assert corners == [pytest.approx(c) for c in ((30, 2), (1, 30), (60, 30))]


def test_letters_of_a_word_make_one_area() -> None:
    letters = [(100 + 22 * i, 100, 112 + 22 * i, 120) for i in range(10)]
    gathered = Gathered(Size(100, 80))
    gathered.add(mask_of(*letters), Point(0, 0), PIXEL)
    assert [area.rect for area in gathered.areas()] == [pytest.approx(Rect(10, 10, 21, 2))]


def test_nothing_changed_makes_no_area() -> None:
    gathered = Gathered(Size(100, 80))
    assert gathered.add(mask_of(), Point(0, 0), PIXEL) == 0
    assert gathered.areas() == ()
