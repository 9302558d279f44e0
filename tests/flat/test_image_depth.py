"""Not a bit is lost on the way into the PDF: deep samples, opacity and interlaced rows."""

from __future__ import annotations

import zlib
from collections.abc import Callable

import numpy as np
import pytest

from tests.flat.image_art import HIGH, WIDE, Pixels, apart, flat_of, pdf_of, png, rendered, tiff, wide
from tiler.flat.image import ImageFlat, picture
from tiler.flat.image_plane import plane_of


def _unpacked(flat: ImageFlat, channels: int) -> Pixels:
    plane = plane_of(flat)
    assert plane.bits == 16
    return np.frombuffer(zlib.decompress(plane.data), ">u2").reshape(HIGH, WIDE, channels)


DEEP: dict[str, Callable[[], bytes]] = {
    "png 16-bit grey": lambda: png(wide(1), 0, 16),
    "png 16-bit rgb": lambda: png(wide(3), 2, 16),
    "png 16-bit rgba": lambda: png(wide(4), 6, 16),
    "png 16-bit grey with opacity": lambda: png(wide(2), 4, 16),
    "tiff 16-bit rgb": lambda: tiff(wide(3), 2, "<", False),
    "tiff 16-bit rgba": lambda: tiff(wide(4), 2, ">", True, extra=2),
}


@pytest.mark.parametrize("data", DEEP.values(), ids=DEEP.keys())
def test_pdfium_shows_what_the_deep_picture_holds(data: Callable[[], bytes]) -> None:
    flat = flat_of(data())
    assert flat.warnings == ()
    assert apart(rendered(pdf_of(flat)), picture(flat)) <= 3


@pytest.mark.parametrize("packed", [False, True])
@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize(("channels", "photometric"), [(1, 1), (3, 2), (4, 5)])
def test_no_bit_of_a_16_bit_tiff_is_lost(packed: bool, order: str, channels: int, photometric: int) -> None:
    samples = wide(channels)
    flat = flat_of(tiff(samples, photometric, order, packed))
    assert (_unpacked(flat, channels) == samples).all()


def test_white_is_zero_16_bit_grey_is_turned_round() -> None:
    samples = wide(1)
    assert (_unpacked(flat_of(tiff(samples, 0, "<", True)), 1) == 65535 - samples).all()


@pytest.mark.parametrize(("channels", "colour"), [(2, 4), (4, 6)])
def test_no_bit_of_16_bit_opacity_is_lost(channels: int, colour: int) -> None:
    samples = wide(channels)
    plane = plane_of(flat_of(png(samples, colour, 16)))
    assert plane.alpha is not None
    kept = np.frombuffer(zlib.decompress(plane.data), ">u2").reshape(HIGH, WIDE, -1)
    mask = np.frombuffer(zlib.decompress(plane.alpha.data), ">u2").reshape(HIGH, WIDE, 1)
    assert plane.alpha.bits == 16
    assert (np.concatenate([kept, mask], axis=-1) == samples).all()


@pytest.mark.parametrize(
    ("channels", "colour", "bits"), [(3, 2, 8), (1, 0, 16), (3, 2, 16), (4, 6, 16), (2, 4, 16)]
)
def test_interlaced_rows_hold_the_same_samples(channels: int, colour: int, bits: int) -> None:
    samples = wide(channels) >> (16 - bits)
    straight = plane_of(flat_of(png(samples, colour, bits)))
    laced = plane_of(flat_of(png(samples, colour, bits, interlaced=True)))
    kept = np.frombuffer(zlib.decompress(laced.data), f">u{bits // 8}").reshape(HIGH, WIDE, -1)
    assert (kept == samples[:, :, : kept.shape[2]]).all()
    assert (laced.alpha is None) == (straight.alpha is None)
    if laced.alpha and straight.alpha:
        assert zlib.decompress(laced.alpha.data) == zlib.decompress(straight.alpha.data)


def test_twelve_bit_grey_reaches_full_white() -> None:
    """Two samples in three bytes, high bits first (TIFF 6.0, fill order 1): 0xFFF then 0x800."""
    data = bytearray(tiff(np.zeros((1, 2, 1), int), 1, "<", False, bits=12))
    data[8:11] = b"\xff\xf8\x00"
    plane = plane_of(flat_of(bytes(data)))
    assert np.frombuffer(zlib.decompress(plane.data), ">u2").tolist() == [0xFFFF, 0x8008]


def test_colours_multiplied_by_opacity_lose_depth_and_say_so() -> None:
    flat = flat_of(tiff(wide(4), 2, "<", False, extra=1))
    assert flat.warnings == (
        "colours were multiplied by their opacity and are divided again, with rounding "
        "and 16 bits a sample become 8",
    )
    assert plane_of(flat).bits == 8
