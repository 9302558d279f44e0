"""Glue tabs, snips and the layers they make."""

from __future__ import annotations

import pytest
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from tests.outlines import most_layers, outline, rectangle, shared
from tests.sample_plans import ALL_PLANS, grid_2x3, mixed_strips, strips_plan
from tiler.geometry import Rect
from tiler.marks.crosses import snipped
from tiler.marks.tabs import CLEAN, RIBBON, draw_tabs, draw_unused_tabs, tabs_of
from tiler.plan.tile import Plan, Tile


def paper(plan: Plan, tile: Tile, snip: bool = True) -> BaseGeometry:
    """What is left of a tile's printed window after trimming and snipping, in plan coordinates."""
    face, window = tile.face, tile.window
    piece = Polygon(
        [(face.x, face.y), (window.right, face.y), (window.right, window.bottom), (face.x, window.bottom)]
    )
    if snip and snipped(plan, tile):
        far = 1000.0
        x, y = face.right, face.bottom
        piece -= Polygon([(x + far, y - far), (x + far, y + far), (x - far, y + far)])
    return piece


@pytest.mark.parametrize("name", ALL_PLANS)
def test_no_corner_gets_more_than_three_layers(name: str) -> None:
    plan = ALL_PLANS[name]()
    assert most_layers([paper(plan, tile) for tile in plan.tiles]) <= 3


def test_a_true_cross_without_its_snip_would_make_four_layers() -> None:
    plan = grid_2x3()
    assert most_layers([paper(plan, tile, snip=False) for tile in plan.tiles]) == 4


def test_only_the_upper_left_tile_of_a_cross_is_snipped() -> None:
    plan = grid_2x3()
    assert [tile.label for tile in plan.tiles if snipped(plan, tile)] == ["A1", "A2"]


def test_seams_that_meet_in_a_t_need_no_snip() -> None:
    plan = strips_plan([200.0, 200.0], [[170.0, 100.0], [100.0, 170.0]])
    assert not any(snipped(plan, tile) for tile in plan.tiles)


@pytest.mark.parametrize("name", ALL_PLANS)
def test_the_first_millimetre_beyond_a_seam_stays_clean_artwork(name: str) -> None:
    plan = ALL_PLANS[name]()
    for tile in plan.tiles:
        grown = rectangle(tile.on_sheet(tile.face).grown(CLEAN - 1e-6))
        for shape in draw_tabs(tabs_of(plan, tile)):
            assert shared(outline(shape, halo=False), grown) < 1e-9


def test_a_tab_is_veiled_and_hatched_from_its_clean_edge_to_the_edge_of_the_window() -> None:
    plan = mixed_strips()
    tile = plan.tile("A1")
    first, second = tabs_of(plan, tile)
    assert (first.neighbour, second.neighbour) == ("B1", "B2")
    layer = Polygon(first.layer(CLEAN, first.depth))
    assert layer.area == pytest.approx(first.strip.width * (12 - CLEAN))
    assert first.ribbon == RIBBON
    assert first.strip.right == pytest.approx(second.strip.x)


def test_the_snip_mitres_both_tabs_along_one_line_through_the_corner_of_the_face() -> None:
    plan = grid_2x3()
    tile = plan.tile("A1")
    face = tile.on_sheet(tile.face)
    for tab in tabs_of(plan, tile):
        assert tab.mitred
        ends = sorted({round(p.x + p.y, 6) for p in tab.layer(0, tab.depth)})
        assert face.right + face.bottom == pytest.approx(ends[-1])


def test_the_part_of_a_tab_where_no_tile_goes_is_veiled_up_to_its_neighbours() -> None:
    plan = mixed_strips()
    tile = plan.tile("B1")  # C1 lies below from x = 120 on
    (veil,) = draw_unused_tabs(tile, tabs_of(plan, tile))
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    corners = rectangle(Rect.between(face.x, face.bottom + CLEAN, face.x + 120, window.bottom))
    assert shared(outline(veil), corners) == pytest.approx(120 * (12 - CLEAN))
    assert outline(veil).area == pytest.approx(120 * (12 - CLEAN))


def test_a_tab_covered_all_along_has_no_unused_part() -> None:
    plan = grid_2x3()
    for tile in plan.tiles:
        assert draw_unused_tabs(tile, tabs_of(plan, tile)) == ()
