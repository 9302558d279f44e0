"""Strip plans against an exhaustive search, and properties that every plan must have."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tiler.geometry import Margins, Rect, Size
from tiler.plan.build import Face
from tiler.plan.chain import Fees
from tiler.plan.cover import uncovered
from tiler.plan.grid import best_grid
from tiler.plan.make import make_plan
from tiler.plan.region import Region
from tiler.plan.request import Forbidden, Pin, PlanRequest
from tiler.plan.sheet import Sheet
from tiler.plan.space import Space
from tiler.plan.strips import best_strips
from tiler.plan.sweep import View, sweep
from tiler.plan.tile import ALLOWANCE, EDGE_BAND, Plan

A4 = Sheet("iso_a4_210x297mm", Size(210, 297))
CARD = Sheet("custom_card_50x70mm", Size(50, 70))
BARE = Margins(0, 0, 0, 0)
FIVE = Margins(5, 5, 5, 5)


def fewest_by_search(request: PlanRequest, down: bool) -> int:
    """Try every whole millimetre for every seam and break; all limits here are whole, so none is missed."""
    mask = request.region.mask.T if down else request.region.mask
    rooms = [request.printable(way).size for way in request.orientations]
    rooms = [room.turned() for room in rooms] if down else rooms
    rows, filled_rows = mask.shape[0], _bridged(tuple(np.logical_or.reduce(mask, axis=1).tolist()))

    @cache
    def chain(top: int, bottom: int, room: float) -> float:
        filled = tuple(np.logical_or.reduce(mask[top:bottom], axis=0).tolist())
        return _line(_bridged(filled), room, request.tab)

    @cache
    def rest(top: int, joined: bool) -> float:
        if not mask[top:].any():
            return 0
        if not joined and not filled_rows[top]:
            return rest(top + 1, False)
        best = np.inf
        for bottom, room in itertools.product(range(top + 1, rows + 1), rooms):
            for seam in (True, False):
                spent = (ALLOWANCE if joined else 0) + (request.tab if seam else EDGE_BAND)
                if bottom - top + spent > room.height or (not seam and bottom < rows and filled_rows[bottom]):
                    continue
                best = min(
                    best, chain(top, bottom, room.width) + (rest(bottom, seam) if bottom < rows else 0)
                )
        return best

    return int(rest(0, False))


@cache
def _bridged(filled: tuple[bool, ...]) -> tuple[bool, ...]:
    """Fill gaps of less than 10 cells."""
    places = [place for place, cell in enumerate(filled) if cell]
    closed = list(filled)
    for before, after in itertools.pairwise(places):
        if after - before - 1 < 10:
            closed[before:after] = [True] * (after - before)
    return tuple(closed)


@cache
def _line(filled: tuple[bool, ...], room: float, tab: float) -> float:
    """The fewest sheets for one strip, by trying every whole millimetre."""

    @cache
    def rest(left: int, joined: bool) -> float:
        if not any(filled[left:]):
            return 0
        if not joined and not filled[left]:
            return rest(left + 1, False)
        best = np.inf
        for right, seam in itertools.product(range(left + 1, len(filled) + 1), (True, False)):
            spent = (ALLOWANCE if joined else 0) + (tab if seam else EDGE_BAND)
            if right - left + spent > room or (not seam and right < len(filled) and filled[right]):
                continue
            best = min(best, 1 + (rest(right, seam) if right < len(filled) else 0))
        return best

    return rest(0, False)


def small_rects() -> st.SearchStrategy[list[Rect]]:
    part = st.builds(Rect, st.integers(0, 90), st.integers(0, 70), st.integers(5, 60), st.integers(5, 60))
    return st.lists(part, min_size=1, max_size=4)


@settings(max_examples=25, deadline=None)
@given(small_rects())
def test_no_exhaustive_search_finds_fewer_sheets(rects: list[Rect]) -> None:
    region = Region.from_rects(rects, Size(100, 80))
    request = PlanRequest(region.size, region, CARD, BARE, overlap=9)
    for down in (False, True):
        space = Space.of(request, down)
        ahead, back = sweep(View.ahead(space)), sweep(View.back(space))
        assert ahead is not None
        assert back is not None
        assert len(ahead) == len(back) == fewest_by_search(request, down)
    found = best_strips(request)
    assert found is not None
    assert len(found[0]) == min(fewest_by_search(request, down) for down in (False, True))


def large_rects() -> st.SearchStrategy[list[Rect]]:
    part = st.builds(
        Rect, st.integers(0, 500), st.integers(0, 450), st.integers(30, 400), st.integers(30, 400)
    )
    return st.lists(part, min_size=1, max_size=4)


@settings(max_examples=25, deadline=None)
@given(
    large_rects(), st.sampled_from([6.0, 12.0, 20.5]), st.sampled_from([FIVE, Margins(6.5, 6.5, 12.7, 6.5)])
)
def test_every_plan_covers_the_region_once_and_fits_its_sheets(
    rects: list[Rect], overlap: float, margins: Margins
) -> None:
    region = Region.from_rects(rects, Size(560.5, 500.25))
    request = PlanRequest(region.size, region, A4, margins, overlap=overlap)
    plan = make_plan(request)
    check_cover(plan, region)
    for tile in plan.tiles:
        assert tile.printable.holds(tile.on_sheet(tile.window))
        assert tile.window.holds(tile.face)
        right, bottom = tile.on_sheet(tile.face).right, tile.on_sheet(tile.face).bottom
        assert tile.printable.right - right >= EDGE_BAND - 1e-6
        assert tile.printable.bottom - bottom >= EDGE_BAND - 1e-6
    assert len(plan.tiles) <= plan.grid_sheets
    assert make_plan(request) == plan


def check_cover(plan: Plan, region: Region) -> None:
    """Count the faces over the middle of quarter cells; a face's edge inside a cell is thus seen too."""
    cell = region.cell
    rows, columns = np.nonzero(region.mask)
    for dx, dy in ((0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)):
        x, y = (columns + dx) * cell.width, (rows + dy) * cell.height
        inside = (x < region.size.width) & (y < region.size.height)
        layers = sum(
            ((x > t.face.x) & (x < t.face.right) & (y > t.face.y) & (y < t.face.bottom)).astype(int)
            for t in plan.tiles
        )
        on_edge = sum(
            ((np.abs(x - e) < 1e-6) for t in plan.tiles for e in (t.face.x, t.face.right)),
            np.zeros(len(x), bool),
        ) | sum(
            ((np.abs(y - e) < 1e-6) for t in plan.tiles for e in (t.face.y, t.face.bottom)),
            np.zeros(len(x), bool),
        )
        assert np.all((layers == 1) | on_edge | ~inside)


def test_the_search_for_holes_finds_one() -> None:
    region = Region.from_rects([Rect(0, 0, 100, 100)], Size(100, 100))
    faces = [Face("A1", 0, 0, Rect(0, 0, 60, 100), False), Face("A2", 0, 1, Rect(61, 0, 39, 100), False)]
    assert uncovered(region, faces, down=False) == Rect(60, 0, 1, 100)
    assert uncovered(region, [faces[0]], down=True) == Rect(60, 0, 40, 100)


def cross() -> Region:
    return Region.from_rects([Rect(113, 0, 280, 426), Rect(0, 113, 506, 200)], Size(506, 426))


def test_a_cross_needs_fewer_sheets_than_the_plain_grid() -> None:
    region = cross()
    plan = make_plan(PlanRequest(region.size, region, A4, FIVE))
    assert plan.grid_sheets == 6
    assert len(plan.tiles) == 5
    assert not plan.warnings


@settings(max_examples=20, deadline=None)
@given(st.integers(60, 300), st.integers(60, 300), st.integers(40, 200), st.integers(40, 150))
def test_every_tile_of_a_connected_flat_is_joined_by_30_mm(
    base: int, deep: int, wall: int, flap: int
) -> None:
    """A carton blank: base with four walls, the upper and lower wall with a flap beyond."""
    size = Size(base + 2 * wall, deep + 2 * wall + 2 * flap)
    parts = [
        Rect(0, flap + wall, size.width, deep),
        Rect(wall, 0, base, size.height),
    ]
    region = Region.from_rects(parts, size)
    plan = make_plan(PlanRequest(size, region, A4, FIVE))
    assert not plan.warnings


def test_pieces_that_cannot_be_joined_are_told() -> None:
    region = Region.from_rects([Rect(0, 0, 60, 60), Rect(500, 400, 60, 60)], Size(560, 460))
    plan = make_plan(PlanRequest(region.size, region, A4, FIVE))
    assert len(plan.tiles) == 2
    assert "Tile A1 is joined by no glue tab: back it with a piece of card." in plan.warnings
    assert "The tiles make 2 separate pieces: A1 / B1." in plan.warnings


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("layout", ["strips", "grid"])
def test_rules_for_seams_are_kept(axis: str, layout: str) -> None:
    region = cross()
    request = PlanRequest(
        region.size,
        region,
        A4,
        FIVE,
        layout=layout,  # type: ignore[arg-type]
        pins=(Pin(axis, 150.5),),  # type: ignore[arg-type]
        forbidden=(Forbidden(axis, 200, 280),),  # type: ignore[arg-type]
    )
    plan = make_plan(request)
    check_cover(plan, region)
    places = {s.start.x if s.is_upright else s.start.y for s in plan.seams if s.is_upright == (axis == "x")}
    assert 150.5 in places
    assert not any(200 < place < 280 for place in places)
    for tile in plan.tiles:
        start, end = (tile.face.x, tile.face.right) if axis == "x" else (tile.face.y, tile.face.bottom)
        crossed = (
            Rect(150, tile.face.y, 1, tile.face.height)
            if axis == "x"
            else Rect(tile.face.x, 150, tile.face.width, 1)
        )
        assert not (start < 150 and end > 151 and region.touches(crossed))


def test_fees_read_from_the_far_end_exchange_ends() -> None:
    assert Fees.of(12).mirrored == Fees(EDGE_BAND, 12, 0, ALLOWANCE)


def test_one_orientation_alone_is_respected() -> None:
    region = cross()
    for way in ("portrait", "landscape"):
        request = PlanRequest(region.size, region, A4, FIVE, orientation=way)
        assert {tile.landscape for tile in make_plan(request).tiles} == {way == "landscape"}


def test_labels_run_down_in_letters_and_across_in_numbers_for_both_directions() -> None:
    """As map fields do (ISO 5457): letters down, numbers across."""
    for size in (Size(1100, 250), Size(250, 1100), Size(506, 426)):
        region = Region.whole(size)
        plan = make_plan(PlanRequest(size, region, A4, FIVE))
        for seam in plan.seams:
            lower, upper = plan.tile(seam.lower), plan.tile(seam.upper)
            if seam.is_upright:
                assert int(upper.label[1:]) > int(lower.label[1:])
            else:
                assert upper.label[0] > lower.label[0]


def test_the_grid_never_beats_the_strips_on_plain_rectangles() -> None:
    for width, height in itertools.product(range(150, 900, 237), range(180, 800, 201)):
        region = Region.whole(Size(width, height))
        request = PlanRequest(region.size, region, A4, FIVE)
        found, grid = best_strips(request), best_grid(request)
        assert found is not None
        assert grid is not None
        assert len(found[0]) <= len(grid.cells)
        assert len(found[0]) <= len(best_strips(replace(request, orientation="portrait"))[0])  # type: ignore[index]
