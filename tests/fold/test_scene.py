"""What is hidden is hidden: every spot of the picture shows the nearest panel, worked out spot by spot."""

from __future__ import annotations

import random

import numpy as np
import pytest
import shapely

from tests.fold.flats import boxed
from tiler.errors import UsageError
from tiler.fold.box import FoldedBox
from tiler.fold.camera import CORNERS, Corner, parse_corner, projection
from tiler.fold.rigid import Rigid
from tiler.fold.scene import scene_of

FLATS = [
    "reverse tuck",
    "lid with glue flaps",
    "double-wall tray",
    "pyramid",
    "tapered tray",
    "cross with ears",
]
Hit = tuple[float, str]
"""Nearness, and the panel."""
CORNER_NAMES = ["front-right", "back-left", "below-front-left"]


def nearest(found: FoldedBox, corner: Corner, places: dict[str, Rigid], x: float, y: float) -> list[Hit]:
    """All panels at a spot of the picture, nearest first; rays against planes."""
    right, down, towards = projection(found.standing, corner)
    hits = []
    for node in found.folding.tree.nodes:
        place = places[node.panel.id]
        slant = float(place.outside @ towards)
        if abs(slant) < 1e-3:
            continue
        foot = x * right + y * down
        depth = float(place.outside @ (place.shift - foot)) / slant
        u, v, _ = place.turn.T @ (foot + depth * towards - place.shift)
        if node.panel.shape.contains(shapely.Point(u, v)):
            hits.append((depth, node.panel.id))
    return sorted(hits, reverse=True)


@pytest.mark.parametrize("corner", CORNER_NAMES)
@pytest.mark.parametrize("opening", [0.0, 0.4])
@pytest.mark.parametrize("name", FLATS)
def test_every_spot_shows_the_nearest_panel(name: str, opening: float, corner: str) -> None:
    found = boxed(name)
    scene = scene_of(found, CORNERS[corner], opening)
    dice = random.Random(7)
    looked, places = 0, found.folding.places(opening)
    boundaries = shapely.unary_union([facet.shape.boundary for facet in scene.facets])
    for _ in range(80):
        x = dice.uniform(scene.extent.x, scene.extent.right)
        y = dice.uniform(scene.extent.y, scene.extent.bottom)
        spot = shapely.Point(x, y)
        if boundaries.distance(spot) < 0.1:
            continue
        hits = nearest(found, CORNERS[corner], places, x, y)
        shown = [facet.panel for facet in scene.facets if facet.shape.contains(spot)]
        assert len(shown) == min(1, len(hits))
        if hits and (len(hits) == 1 or hits[0][0] - hits[1][0] > 0.1):
            assert shown == [hits[0][1]]
        looked += 1
    assert looked > 40


def test_a_glue_flap_is_hidden_outside_and_seen_inside() -> None:
    # Flaps P1, P3, P7, P9 lie under the short walls P4 and P6.
    found = boxed("lid with glue flaps")
    for azimuth in (45, 135, -45, -135):
        outside = {facet.panel for facet in scene_of(found, Corner(azimuth, -10)).facets}
        assert not outside & {"P1", "P3", "P7", "P9"}
    inside = {facet.panel: facet.side for facet in scene_of(found, Corner(30, 50)).facets}
    assert {"P1", "P7"} <= inside.keys() or {"P3", "P9"} <= inside.keys()
    assert inside["P5"] == "inside"


def test_an_inner_wall_shows_its_print_inside() -> None:
    found = boxed("double-wall tray")
    sides = {facet.panel: facet.side for facet in scene_of(found, Corner(20, 50)).facets}
    assert "outside" in {sides.get("P1"), sides.get("P7")}


@pytest.mark.parametrize("opening", [0.0, 0.5])
def test_outside_art_is_never_mirrored_and_inside_art_is_read_from_inside(opening: float) -> None:
    for name in ("straight tuck", "telescoping tray", "pyramid"):
        for corner in CORNERS.values():
            for facet in scene_of(boxed(name), corner, opening).facets:
                a, b, c, d, _, _ = facet.art(250.0)
                assert a * d - b * c > 0


def test_lengths_square_to_the_view_are_true() -> None:
    scene = scene_of(boxed("sleeve"), Corner(0, 0))
    assert scene.extent.size == pytest.approx((100, 60))
    from_side = scene_of(boxed("sleeve"), Corner(90, 0))
    assert from_side.extent.size == pytest.approx((35, 60))


def test_meetings_are_named_where_they_are_seen() -> None:
    scene = scene_of(boxed("telescoping tray"), CORNERS["front-right"])
    assert {label.text for label in scene.labels} <= {"m1", "m2", "m3", "m4"}
    assert scene.labels
    for label in scene.labels:
        assert scene.extent.contains(label.at, 0.01)
    assert scene_of(boxed("telescoping tray"), CORNERS["front-right"], 0.5).labels == ()


def test_a_viewer_steps_round_and_never_over_the_top() -> None:
    assert Corner(170, 80).turned(20, 20) == Corner(-170, 90)
    up, right, front = (projection(boxed("sleeve").standing, Corner(0, 0))[i] for i in (1, 0, 2))
    assert up == pytest.approx(-boxed("sleeve").standing.up)
    assert right == pytest.approx(boxed("sleeve").standing.right)
    assert front == pytest.approx(boxed("sleeve").standing.front)
    assert np.linalg.det(np.array([right, -up, front])) == pytest.approx(1)


@pytest.mark.parametrize("text", ["", "above", "40", "40,95", "40,25,3", "400,20"])
def test_words_that_are_no_corner_are_refused(text: str) -> None:
    with pytest.raises(UsageError, match="no corner to look from"):
        parse_corner(text)
