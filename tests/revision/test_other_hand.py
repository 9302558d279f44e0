"""Drawings made by a copy of the process are the same; when the copy falls over, nothing is lost."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable

import numpy as np
import pytest

from tiler.revision.compare import Pixels
from tiler.revision.other_hand import drawn_by_another

SHAPE = (300, 200, 3)


def drawing(number: int) -> Pixels:
    """Grain that differs from number to number."""
    return np.random.default_rng(number).integers(0, 255, SHAPE, dtype=np.uint8)


def fetched(draw: Callable[[int], Pixels], count: int = 4) -> list[Pixels]:
    """All drawings in their order."""
    draws = [lambda number=number: draw(number) for number in range(count)]
    with drawn_by_another(draws) as fetch:
        return [fetch(number, SHAPE) for number in range(count)]


def test_all_drawings_come_whole_and_in_order() -> None:
    for number, pixels in enumerate(fetched(drawing)):
        assert np.array_equal(pixels, drawing(number))


def test_another_process_draws_and_this_one_when_that_ends() -> None:
    if sys.platform != "linux" or (os.cpu_count() or 1) < 2 or threading.active_count() > 1:
        pytest.skip("no copy of this process is made")
    here = os.getpid()

    def draw(number: int) -> Pixels:
        if os.getpid() != here and number == 2:
            os._exit(1)
        pixels = drawing(number)
        pixels[0, 0, 0] = os.getpid() != here
        return pixels

    assert [int(pixels[0, 0, 0]) for pixels in fetched(draw)] == [1, 1, 0, 0]


def test_a_drawing_that_fails_elsewhere_is_told_here() -> None:
    def draw(number: int) -> Pixels:
        if number == 1:
            raise ValueError("no pen")
        return drawing(number)

    with pytest.raises(ValueError, match="no pen"):
        fetched(draw)


def test_leaving_early_leaves_no_process_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    children = []
    real = os.fork

    def fork() -> int:
        children.append(real())
        return children[-1]

    monkeypatch.setattr(os, "fork", fork)
    with drawn_by_another([lambda: drawing(0)] * 50) as fetch:
        fetch(0, SHAPE)
    for child in children:
        with pytest.raises(ChildProcessError):
            os.waitpid(child, os.WNOHANG)
