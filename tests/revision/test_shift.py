"""Whether everything has moved as one."""

from __future__ import annotations

import numpy as np
import pytest

from tiler.revision.shift import whole_shift


def art(seed: int = 1) -> np.ndarray:
    """Smooth random blobs on white, with a blank border of 30 pixels."""
    random = np.random.default_rng(seed)
    picture = np.full((260, 340), 255.0)
    for x, y, side, grey in random.integers((30, 30, 5, 0), (280, 200, 30, 200), (60, 4)):
        picture[y : y + side, x : x + side] = grey
    return picture


@pytest.mark.parametrize("step", [(1, 0), (0, -1), (7, 12), (-20, 15)])
def test_a_shift_is_found_to_the_pixel(step: tuple[int, int]) -> None:
    assert whole_shift(art(), np.roll(art(), (step[1], step[0]), axis=(0, 1))) == step


def test_art_that_stays_has_no_shift() -> None:
    assert whole_shift(art(), art()) is None


def test_other_art_has_no_shift() -> None:
    assert whole_shift(art(1), art(2)) is None


def test_one_part_that_moves_is_no_shift_of_the_whole() -> None:
    moved = art()
    moved[:, 170:] = np.roll(moved[:, 170:], 6, axis=0)
    assert whole_shift(art(), moved) is None


def test_new_colours_are_no_shift() -> None:
    assert whole_shift(art(), 255 - (255 - art()) * 0.9) is None
