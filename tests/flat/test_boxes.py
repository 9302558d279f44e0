"""Boxes, turns and units of a PDF page."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.flats import flat_pdf
from tiler.errors import FlatError, UsageError
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Flat, Wanted, read_flat
from tiler.units import MM_PER_POINT

ALL_BOXES = {
    "MediaBox": (-50.0, 20.0, 950.0, 720.0),
    "CropBox": (-40.0, 30.0, 940.0, 710.0),
    "BleedBox": (0.0, 60.0, 900.0, 680.0),
    "TrimBox": (8.5, 68.5, 891.5, 671.5),
    "ArtBox": (100.0, 100.0, 700.0, 600.0),
}


def read(path: Path, box: str = "auto") -> Flat:
    return read_flat(path, Wanted(box=box))


@pytest.mark.parametrize(
    ("box", "width", "height"),
    [("media", 1000, 700), ("crop", 980, 680), ("bleed", 900, 620), ("trim", 883, 603), ("art", 600, 500)],
)
def test_each_box_has_its_size_in_millimetres(tmp_path: Path, box: str, width: float, height: float) -> None:
    flat = read(flat_pdf(tmp_path / "a.pdf", boxes=ALL_BOXES), box)
    assert flat.box == box
    assert flat.size == pytest.approx((width * 25.4 / 72, height * 25.4 / 72), abs=1e-6)


def test_a_100_mm_page_is_283_465_points(tmp_path: Path) -> None:
    # ISO 32000-2, 8.3.2.3: default user space unit is 1/72 inch; an inch is 25.4 mm (1959 agreement)
    flat = read(flat_pdf(tmp_path / "a.pdf", size=(283.4646, 283.4646)))
    assert flat.size == pytest.approx((100.0, 100.0), abs=1e-3)


@pytest.mark.parametrize(
    ("left_out", "expected"),
    [
        ((), "bleed"),
        (("BleedBox",), "trim"),
        (("BleedBox", "TrimBox"), "crop"),
        (("BleedBox", "CropBox", "TrimBox"), "media"),
    ],
    ids=["bleed box", "no bleed box", "neither bleed nor trim box", "only media box"],
)
def test_auto_takes_the_box_that_holds_the_bleed(
    tmp_path: Path, left_out: tuple[str, ...], expected: str
) -> None:
    boxes = {name: box for name, box in ALL_BOXES.items() if name not in left_out}
    flat = read(flat_pdf(tmp_path / "a.pdf", boxes=boxes))
    assert flat.box == expected
    sizes = {"bleed": 900, "crop": 980, "trim": 883, "media": 1000}
    assert flat.size.width == pytest.approx(sizes[expected] * MM_PER_POINT)


def test_a_bleed_box_equal_to_the_media_box_says_nothing_so_the_trim_box_counts(tmp_path: Path) -> None:
    boxes = {"MediaBox": (0.0, 0.0, 1000.0, 700.0), "BleedBox": (0.0, 0.0, 1000.0, 700.0)}
    flat = read(flat_pdf(tmp_path / "a.pdf", boxes={**boxes, "TrimBox": (10.0, 10.0, 990.0, 690.0)}))
    assert flat.box == "trim"


@pytest.mark.parametrize("rotate", [90, 270, -90, 450])
def test_a_turned_page_swaps_its_sides(tmp_path: Path, rotate: int) -> None:
    flat = read(flat_pdf(tmp_path / "a.pdf", rotate=rotate))
    assert flat.size.width == pytest.approx(700 * MM_PER_POINT)


def test_user_unit_enlarges_the_page(tmp_path: Path) -> None:
    # ISO 32000-2, table 31: UserUnit is the size of a unit in multiples of 1/72 inch
    flat = read(flat_pdf(tmp_path / "a.pdf", user_unit=2.0))
    assert flat.size.width == pytest.approx(2000 * MM_PER_POINT)


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
def test_the_seen_corners_of_the_box_are_the_corners_of_the_flat(tmp_path: Path, rotate: int) -> None:
    flat = read(flat_pdf(tmp_path / "a.pdf", boxes=ALL_BOXES, rotate=rotate, user_unit=1.5), "trim")
    assert isinstance(flat.source, PdfFlat)
    left, bottom, right, top = flat.source.seen.box
    # going round the page clockwise from the corner that /Rotate brings to the top left
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    corners = corners[-rotate // 90 % 4 :] + corners[: -rotate // 90 % 4]
    width, height = flat.size
    expected = [(0, 0), (width, 0), (width, height), (0, height)]
    for (x, y), corner in zip(corners, expected, strict=True):
        assert flat.source.seen.to_flat.apply(x, y) == pytest.approx(corner, abs=1e-6)


def test_boxes_with_their_corners_in_any_order_are_the_same(tmp_path: Path) -> None:
    flat = read(flat_pdf(tmp_path / "a.pdf", boxes={"TrimBox": (990.0, 690.0, 10.0, 10.0)}))
    assert flat.size.width == pytest.approx(980 * MM_PER_POINT)


def test_an_empty_or_outlying_box_is_no_box(tmp_path: Path) -> None:
    boxes = {"TrimBox": (5000.0, 5000.0, 6000.0, 6000.0), "BleedBox": (10.0, 10.0, 10.0, 10.0)}
    assert read(flat_pdf(tmp_path / "a.pdf", boxes=boxes)).box == "media"


@pytest.mark.parametrize(("size", "unit"), [((10, 10), 1.0), ((1000, 700), 30.0)], ids=["tiny", "huge"])
def test_an_absurd_page_is_refused_with_its_size(
    tmp_path: Path, size: tuple[float, float], unit: float
) -> None:
    with pytest.raises(FlatError, match=r"a\.pdf, page 1: its media box is .* mm; a flat has sides from 5"):
        read(flat_pdf(tmp_path / "a.pdf", size=size, user_unit=unit))


def test_a_page_number_out_of_range_names_the_range(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="there is no page 2; the file has one page"):
        read_flat(flat_pdf(tmp_path / "a.pdf"), Wanted(page=2))
