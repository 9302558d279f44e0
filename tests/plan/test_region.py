"""The region is conservative and its queries agree with counting cells."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from tiler.geometry import Rect, Size
from tiler.plan.region import Region


def test_a_whole_region_is_as_large_as_the_flat() -> None:
    region = Region.whole(Size(100.4, 50.0))
    assert region.mask.shape == (50, 101)
    assert region.extent == Rect(0, 0, 100.4, 50.0)


def test_a_rectangle_sets_each_cell_that_it_enters_and_no_other() -> None:
    region = Region.from_rects([Rect(2.5, 1.0, 2.0, 1.5)], Size(10, 6))
    rows, columns = np.nonzero(region.mask)
    assert sorted(set(rows)) == [1, 2]
    assert sorted(set(columns)) == [2, 3, 4]


def test_the_cell_of_a_mask_follows_from_its_shape() -> None:
    region = Region.from_mask(np.eye(4, dtype=bool), Size(10, 20))
    assert region.cell == Size(2.5, 5.0)
    assert region.bounds(Rect(0, 5, 10, 5)) == Rect(2.5, 5, 2.5, 5)


@pytest.mark.parametrize(
    ("rect", "touched"),
    [
        (Rect(0, 0, 10, 10), False),
        (Rect(0, 0, 20, 20), False),
        (Rect(0, 0, 20.1, 20.1), True),
        (Rect(40, 20, 5, 5), False),
        (Rect(-50, -50, 500, 500), True),
        (Rect(200, 200, 5, 5), False),
    ],
)
def test_touching_means_sharing_area(rect: Rect, touched: bool) -> None:
    region = Region.from_rects([Rect(20, 20, 20, 20)], Size(100, 60))
    assert region.touches(rect) is touched


def test_bounds_are_tight_and_stay_inside_the_question() -> None:
    region = Region.from_rects([Rect(10, 10, 20, 5), Rect(40, 12, 10, 30)], Size(60, 50))
    assert region.bounds(Rect(0, 0, 60, 50)) == Rect(10, 10, 40, 32)
    assert region.bounds(Rect(0, 0, 25.5, 50)) == Rect(10, 10, 15.5, 5)
    assert region.bounds(Rect(0, 20, 20, 20)).is_empty


def test_spans_are_the_stretches_that_hold_something() -> None:
    region = Region.from_rects([Rect(10, 10, 20, 5), Rect(40, 12, 10, 30)], Size(60, 50))
    assert region.spans_across(0, 12) == [(10, 30)]
    assert region.spans_across(0, 13) == [(10, 30), (40, 50)]
    assert region.spans_down(45, 60) == [(12, 42)]
    assert region.spans_across(43, 50) == []


def test_contact_counts_what_continues_through_a_line() -> None:
    region = Region.from_rects([Rect(0, 0, 50, 20), Rect(30, 20, 50, 20)], Size(100, 60))
    along = region.contact(20)
    assert along[-1] == pytest.approx(20)
    assert along[40] == pytest.approx(10)
    assert region.contact(0)[-1] == 0


def test_polygons_agree_with_an_independent_geometry_library_cell_by_cell() -> None:
    """Every cell against shapely's own area of the intersection (GEOS)."""
    ring = [(5.3, 3.2), (70.7, 10.1), (60.2, 44.8), (30.0, 20.0), (8.8, 38.4)]
    region = Region.from_polygons([ring], Size(80, 50))
    shape = shapely.Polygon(ring)
    for row in range(50):
        cells = shapely.box(np.arange(80), row, np.arange(80) + 1, row + 1)
        areas = shapely.area(shapely.intersection(cells, shape))
        assert np.array_equal(region.mask[row], areas > 1e-5) or np.all(areas[~region.mask[row]] <= 1e-5)
        assert not np.any(region.mask[row] & (shapely.distance(cells, shape) > 0))


def test_a_polygon_on_cell_edges_fills_just_its_cells_and_grows_when_asked() -> None:
    square = [(10.0, 10.0), (30.0, 10.0), (30.0, 30.0), (10.0, 30.0)]
    assert int(Region.from_polygons([square], Size(100, 100)).mask.sum()) == 400
    grown = Region.from_polygons([square], Size(100, 100), grown_by=3)
    assert grown.extent == Rect(7, 7, 26, 26)


def test_flipping_twice_gives_the_region_back() -> None:
    region = Region.from_rects([Rect(10, 10, 20, 5)], Size(60, 50))
    assert np.array_equal(region.flipped.flipped.mask, region.mask)
    assert region.flipped.extent == Rect(10, 10, 5, 20)
