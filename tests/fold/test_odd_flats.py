"""Whatever lines a flat has, folding and looking at it end in an answer."""

from __future__ import annotations

import math
import random

import pytest

from tests.fold.flats import BY_NAME, boxed, made
from tests.structure.cartons import Chain, across, arc, box, down
from tiler.errors import StructureError
from tiler.fold.box import fold_flat
from tiler.fold.camera import CORNERS
from tiler.fold.scene import scene_of
from tiler.fold.strips import crease_strips
from tiler.fold.to_json import fold_json, meetings_json


def any_lines(seed: int) -> tuple[list[Chain], list[Chain]]:
    """A rectangle with some cuts and creases through it."""
    dice = random.Random(seed)
    cuts: list[Chain] = [box(0, 0, 100, 80)]
    creases: list[Chain] = []
    for _ in range(dice.randint(1, 6)):
        ends = [
            (dice.choice([0.0, 100.0, dice.uniform(0, 100)]), dice.choice([0.0, 80.0, dice.uniform(0, 80)]))
            for _ in range(2)
        ]
        (creases if dice.random() < 0.7 else cuts).append((ends[0], ends[1]))
    return cuts, creases


@pytest.mark.parametrize("seed", range(60))
def test_any_lines_fold_to_something(seed: int) -> None:
    flat = made(*any_lines(seed))
    found = fold_flat(flat)
    for opening in (0.0, 0.3, 0.8):
        scene = scene_of(found, CORNERS["front-right"], opening)
        shown = sum(facet.shape.area for facet in scene.facets)
        assert 0 < shown <= scene.extent.width * scene.extent.height * 1.001
    assert len(fold_json(found)["folds"]) == len(crease_strips(found))
    assert len(meetings_json(found, {})) == len(found.meetings)


@pytest.mark.parametrize("name", BY_NAME)
def test_every_carton_is_seen_from_every_corner_at_every_opening(name: str) -> None:
    for corner in CORNERS.values():
        for opening in (0.0, 0.2, 0.5, 1.0):
            assert scene_of(boxed(name), corner, opening).facets


def test_a_round_crease_is_left_flat() -> None:
    found = fold_flat(made([box(0, 0, 100, 100)], [arc(50, 50, 20, 0, 2 * math.pi, 100)]))
    assert found.reports == ("the crease between P1 and P2 is curved or has a corner, so it is left flat",)


def test_many_panels_fold() -> None:
    count = 120
    flat = made([box(0, 0, 10 * count, 50)], [down(10 * i, 0, 50) for i in range(1, count)])
    found = fold_flat(flat)
    assert len(found.folding.closed) == count
    # Folded by 90 degrees each, the strip winds round a square of 10.
    first, fifth = found.folding.closed["P1"], found.folding.closed["P5"]
    assert fifth.place([(40, 0), (50, 50)]) == pytest.approx(first.place([(0, 0), (10, 50)]), abs=1e-6)


def test_more_panels_than_a_box_has_are_not_folded() -> None:
    cuts = [box(0, 0, 200, 200)]
    creases = [*(down(10 * i, 0, 200) for i in range(1, 20)), *(across(10 * i, 0, 200) for i in range(1, 20))]
    with pytest.raises(StructureError, match="the 400 panels that hang together are more than a box has"):
        fold_flat(made(cuts, creases))
