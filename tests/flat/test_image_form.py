"""Pictures placed in a PDF look as they should: rendered by PDFium and opened by qpdf, both outside tiler."""

from __future__ import annotations

import io
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pytest
from PIL import Image, ImageCms, ImageOps

from tests.flat.image_art import HIGH, WIDE, apart, art, flat_of, pdf_of, rendered, saved
from tiler.flat.image import picture, read_image, thumbnail
from tiler.flat.image_form import placement
from tiler.flat.image_plane import plane_of
from tiler.geometry import Point


def _with_alpha(mode: str) -> Image.Image:
    image = art().convert(mode)
    image.putalpha(Image.linear_gradient("L").resize((WIDE, HIGH)))
    return image


def _keyed() -> Image.Image:
    image = art().quantize(16)
    image.info["transparency"] = bytes([0, 128])
    return image


LOSSLESS: dict[str, Callable[[], bytes]] = {
    "png rgb": lambda: saved(art(), "PNG"),
    "png grey": lambda: saved(art().convert("L"), "PNG"),
    "png 1-bit": lambda: saved(art().convert("1"), "PNG"),
    "png palette": lambda: saved(art().quantize(200), "PNG"),
    "png palette of 4 bits": lambda: saved(art().quantize(11), "PNG", bits=4),
    "png palette with opacity": lambda: saved(_keyed(), "PNG", transparency=bytes([0, 128])),
    "png rgb with a clear colour": lambda: saved(art(), "PNG", transparency=(0, 0, 220)),
    "png 1-bit with clear white": lambda: saved(art().convert("1"), "PNG", transparency=1),
    "png rgba": lambda: saved(_with_alpha("RGB"), "PNG"),
    "png grey with opacity": lambda: saved(_with_alpha("L"), "PNG"),
    "tiff rgb": lambda: saved(art(), "TIFF"),
    "tiff rgb lzw": lambda: saved(art(), "TIFF", compression="tiff_lzw"),
    "tiff grey": lambda: saved(art().convert("L"), "TIFF"),
    "tiff palette": lambda: saved(art().quantize(99), "TIFF"),
    "tiff 1-bit g4": lambda: saved(art().convert("1"), "TIFF", compression="group4"),
    "tiff 1-bit white is zero": lambda: saved(art().convert("1"), "TIFF", tiffinfo={262: 0}),
    "tiff rgba": lambda: saved(_with_alpha("RGB"), "TIFF"),
    "tiff rgbx": lambda: saved(art().convert("RGBX"), "TIFF"),
    "tiff jpeg inside": lambda: saved(art(), "TIFF", compression="jpeg", quality=95),
    "webp lossless": lambda: saved(art(), "WEBP", lossless=True),
    "webp lossy with opacity": lambda: saved(_with_alpha("RGB"), "WEBP", quality=90),
}


@pytest.mark.parametrize("data", LOSSLESS.values(), ids=LOSSLESS.keys())
def test_pdfium_shows_what_the_picture_holds(data: Callable[[], bytes]) -> None:
    flat = flat_of(data())
    assert flat.warnings == ()
    # PDFium and we round opacity differently, by a step or two of 255.
    assert apart(rendered(pdf_of(flat)), picture(flat)) <= 3


@pytest.mark.parametrize("kind", ["PNG", "TIFF", "WEBP"])
def test_our_picture_of_plain_rgb_is_pillows(kind: str) -> None:
    options = {"lossless": True} if kind == "WEBP" else {}
    assert apart(picture(flat_of(saved(art(), kind, **options))), art()) == 0


def test_opacity_is_laid_on_white_as_pillow_does() -> None:
    image = _with_alpha("RGB")
    white = Image.new("RGBA", image.size, "white")
    expected = Image.alpha_composite(white, image).convert("RGB")
    assert apart(picture(flat_of(saved(image, "PNG"))), expected) <= 1


def test_a_comparison_with_the_wrong_picture_fails() -> None:
    flat = flat_of(saved(art(), "PNG"))
    assert apart(rendered(pdf_of(flat)), ImageOps.mirror(picture(flat))) > 200


OPTIONS: dict[str, dict[str, Any]] = {
    "JPEG": {"quality": 100, "subsampling": 0},
    "WEBP": {"lossless": True},
}


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_exif_orientation_stands_upright(kind: str, orientation: int) -> None:
    exif = Image.Exif()
    exif[274] = orientation
    stored = art()
    options = OPTIONS.get(kind, {})
    flat = flat_of(saved(stored, kind, exif=exif, **options))
    told = stored.copy()
    told.getexif()[274] = orientation
    upright = ImageOps.exif_transpose(told)  # Pillow's own reading of Exif 2.32
    assert flat.orientation == orientation
    assert flat.pixels == upright.size
    assert apart(picture(flat), upright) <= 6
    assert apart(rendered(pdf_of(flat)), upright) <= 6


@pytest.mark.parametrize(
    ("orientation", "row_0", "column_0"),
    [
        (1, "top", "left"), (2, "top", "right"), (3, "bottom", "right"), (4, "bottom", "left"),
        (5, "left", "top"), (6, "right", "top"), (7, "right", "bottom"), (8, "left", "bottom"),
    ],
)  # fmt: skip
def test_first_row_and_column_lie_where_exif_says(orientation: int, row_0: str, column_0: str) -> None:
    """The table of Exif 2.32, tag 274, in words."""
    matrix = placement(orientation, 30, 20)
    sides = {"top": {(0, 20), (30, 20)}, "bottom": {(0, 0), (30, 0)}}
    sides |= {"left": {(0, 0), (0, 20)}, "right": {(30, 0), (30, 20)}}
    assert {matrix.apply(0, 1), matrix.apply(1, 1)} == {Point(*p) for p in sides[row_0]}
    assert {matrix.apply(0, 0), matrix.apply(0, 1)} == {Point(*p) for p in sides[column_0]}


@pytest.mark.parametrize("mode", ["L", "RGB", "CMYK"])
@pytest.mark.parametrize("progressive", [False, True])
def test_jpeg_bytes_go_in_untouched(mode: str, progressive: bool) -> None:
    data = saved(art().convert(mode), "JPEG", quality=90, progressive=progressive)
    flat = flat_of(data)
    pdf = pdf_of(flat)
    assert data in pdf
    if mode != "CMYK":
        assert apart(rendered(pdf), picture(flat)) <= 4


def test_adobes_cmyk_jpeg_prints_no_ink_where_there_is_none() -> None:
    """Pillow writes CMYK JPEG the way Adobe does: marker APP14 and ink values upside down."""
    data = saved(Image.new("CMYK", (16, 16), (0, 0, 0, 0)), "JPEG")
    assert b"Adobe" in data
    flat = flat_of(data)
    assert rendered(pdf_of(flat)).min() >= 250
    assert np.asarray(picture(flat)).min() >= 250


def test_cmyk_jpeg_without_adobes_marker_counts_ink_upwards() -> None:
    data = saved(Image.new("CMYK", (16, 16), (255, 255, 255, 255)), "JPEG")
    at = data.index(b"\xff\xee")
    plain = data[:at] + data[at + 2 + struct.unpack_from(">H", data, at + 2)[0] :]
    flat = flat_of(plain)  # the bytes that said "all inks, upside down" now say "no ink"
    assert rendered(pdf_of(flat)).min() >= 250
    assert np.asarray(picture(flat)).min() >= 250


def test_a_profile_goes_in_only_when_it_fits_the_channels() -> None:
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    fitting = pdf_of(flat_of(saved(art(), "JPEG", icc_profile=srgb)))
    with pikepdf.open(io.BytesIO(fitting)) as pdf:
        space = pdf.pages[0].Resources.XObject.F.Resources.XObject.Picture.ColorSpace
        assert space[0] == "/ICCBased"
        assert space[1].N == 3
        assert space[1].read_bytes() == srgb
    odd = pdf_of(flat_of(saved(art().convert("L"), "PNG", icc_profile=srgb)))
    with pikepdf.open(io.BytesIO(odd)) as pdf:
        assert pdf.pages[0].Resources.XObject.F.Resources.XObject.Picture.ColorSpace == "/DeviceGray"


def test_a_plain_png_keeps_its_compressed_rows() -> None:
    data = saved(art(), "PNG")
    at = data.index(b"IDAT")
    rows = data[at + 4 : at + 4 + struct.unpack_from(">I", data, at - 4)[0]]
    assert rows in pdf_of(flat_of(data))


def test_lab_keeps_its_bytes_and_its_colours() -> None:
    lab = Image.merge("LAB", [Image.new("L", (8, 8), v) for v in (136, 208, 195)])  # L* 53, a* 80, b* 67
    flat = flat_of(saved(lab, "TIFF"))
    # sRGB red is L* 53.2, a* 80.1, b* 67.2 under D65 (CIE 15 arithmetic, from memory); D50 differs little.
    red = rendered(pdf_of(flat))[4, 4]
    assert red[0] > 235
    assert red[1:].max() < 60
    assert apart(picture(flat).getpixel((4, 4)), red) <= 25


def test_an_opaque_alpha_channel_is_left_out() -> None:
    image = art()
    image.putalpha(255)
    assert plane_of(flat_of(saved(image, "PNG"))).alpha is None


def test_each_frame_of_a_tiff_is_a_page() -> None:
    second = ImageOps.mirror(art())
    data = saved(art(), "TIFF", save_all=True, append_images=[second])
    flat = flat_of(data, 2)
    assert flat.pages == 2
    assert apart(rendered(pdf_of(flat)), second) == 0


@pytest.mark.parametrize("name", ["png rgba", "png palette", "tiff 1-bit g4", "webp lossless"])
def test_qpdf_finds_nothing_wrong(name: str) -> None:
    with pikepdf.open(io.BytesIO(pdf_of(flat_of(LOSSLESS[name]())))) as pdf:
        assert pdf.check_pdf_syntax() == []
        image = pdf.pages[0].Resources.XObject.F.Resources.XObject.Picture
        assert image.Width == WIDE
        assert len(image.read_bytes()) > 0


def test_a_thumbnail_has_square_pixels_of_the_size_asked_for() -> None:
    image = art().resize((800, 480))
    for kind in ("JPEG", "PNG"):
        flat = read_image(Path("a"), saved(image, kind), 1, 254, None)  # 10 px/mm: 80 x 48 mm
        small = thumbnail(flat, 0.5)
        assert small.size == (40, 24)
        assert apart(small, image.resize((40, 24), Image.Resampling.BOX)) <= 12


def test_a_thumbnail_follows_the_true_shape_of_the_pixels() -> None:
    data = saved(art(), "PNG", dpi=(200, 100))  # 40 x 24 px: 5.08 x 6.096 mm
    assert thumbnail(read_image(Path("a"), data, 1, None, None), 10).size == (51, 61)
