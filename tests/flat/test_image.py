"""Picture files: what they are, how large they are, and what is refused in which words."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.flat.image_art import png, saved, tiff
from tiler.errors import FlatError, TilerError, UsageError
from tiler.flat import image_guard
from tiler.flat.image import ImageFlat, add_form, picture, read_image, sniff, thumbnail
from tiler.geometry import Size

LAMP = Path("field lamp.jpg")


def _grey(width: int = 300, height: int = 150) -> Image.Image:
    return Image.linear_gradient("L").resize((width, height))


def _read(data: bytes, ppi: float | None = None, size: Size | None = None, page: int = 1) -> ImageFlat:
    return read_image(LAMP, data, page, ppi, size)


def _refusal(data: bytes, **options: Any) -> str:
    with pytest.raises(TilerError) as caught:
        _read(data, **options)
    return str(caught.value)


def _jfif(unit: int, x: int, y: int) -> bytes:
    r"""JFIF 1.02: after the length, 'JFIF\0' and the version come unit, x density and y density."""
    data = bytearray(saved(_grey(), "JPEG"))
    assert data[6:11] == b"JFIF\0"
    data[13:18] = struct.pack(">BHH", unit, x, y)
    return bytes(data)


def _phys(unit: int, x: int, y: int) -> bytes:
    """PNG 11.3.4.3: pixels per unit in x and y, then the unit, 1 being the metre."""
    body = b"pHYs" + struct.pack(">IIB", x, y, unit)
    data = saved(_grey(), "PNG")
    return data[:33] + struct.pack(">I", 9) + body + struct.pack(">I", zlib.crc32(body)) + data[33:]


def _exif(orientation: int = 1, x: float | None = None, y: float | None = None, unit: int = 2) -> Image.Exif:
    exif = Image.Exif()
    exif[274], exif[296] = orientation, unit
    if x:
        exif[282], exif[283] = x, y or x
    return exif


def _tagged(unit: int, x: float, y: float) -> bytes:
    return saved(_grey(), "TIFF", resolution_unit=unit, x_resolution=x, y_resolution=y)


# 300 x 150 pixels each; sizes worked out by hand: pixels / ppi x 25.4 mm.
SIZES: dict[str, tuple[Callable[[], bytes], float, float]] = {
    "jfif 300 to the inch": (lambda: _jfif(1, 300, 300), 25.4, 12.7),
    "jfif 300 x 150 to the inch": (lambda: _jfif(1, 300, 150), 25.4, 25.4),
    "jfif 100 to the centimetre": (lambda: _jfif(2, 100, 100), 30.0, 15.0),
    "png 10000 to the metre": (lambda: _phys(1, 10000, 10000), 30.0, 15.0),
    "png 10000 x 5000 to the metre": (lambda: _phys(1, 10000, 5000), 30.0, 30.0),
    "tiff 150 to the inch": (lambda: _tagged(2, 150, 150), 50.8, 25.4),
    "tiff 100 to the centimetre": (lambda: _tagged(3, 100, 50), 30.0, 30.0),
    "exif in a jpeg": (lambda: saved(_grey(), "JPEG", exif=_exif(1, 150.0)), 50.8, 25.4),
    "exif in a webp": (lambda: saved(_grey(), "WEBP", exif=_exif(1, 150.0)), 50.8, 25.4),
    "exif, lying, 300 along the rows": (
        lambda: saved(_grey(), "JPEG", exif=_exif(6, 300.0, 150.0)),
        25.4,
        25.4,
    ),
    "tiff, lying, 100 x 50 to the centimetre": (
        lambda: saved(_grey(), "TIFF", tiffinfo={274: 8, 282: 100.0, 283: 25.0, 296: 3}),
        60.0,
        30.0,
    ),
}


@pytest.mark.parametrize(("data", "width", "height"), SIZES.values(), ids=SIZES.keys())
def test_the_files_own_resolution_gives_the_size(
    data: Callable[[], bytes], width: float, height: float
) -> None:
    flat = _read(data())
    assert flat.size == pytest.approx((width, height), abs=1e-3)
    across, down = flat.pixels
    assert (across / flat.ppi[0] * 25.4, down / flat.ppi[1] * 25.4) == pytest.approx(flat.size)


@pytest.mark.parametrize(
    "data",
    [
        lambda: _jfif(0, 1, 1),
        lambda: _jfif(0, 300, 300),
        lambda: _jfif(1, 1, 1),
        lambda: _jfif(1, 19, 19),
        lambda: _jfif(2, 8000, 8000),
        lambda: _phys(0, 1, 1),
        lambda: _phys(1, 1, 1),
        lambda: _tagged(1, 300, 300),
        lambda: saved(_grey(), "TIFF"),
        lambda: saved(_grey(), "WEBP"),
        lambda: saved(_grey(), "JPEG", exif=_exif(1, 300.0, unit=1)),
    ],
)
def test_no_believable_resolution_asks_for_one(data: Callable[[], bytes]) -> None:
    assert _refusal(data()) == (
        "field lamp.jpg does not say how large it is (300 × 150 pixels without a usable resolution); "
        "add --ppi N or --size WxH in mm"
    )
    assert _read(data(), ppi=100).size == pytest.approx((76.2, 38.1))
    assert _read(data(), size=Size(60, 30)).ppi == pytest.approx((127, 127))


def test_what_the_user_says_overrides_the_file() -> None:
    assert _read(_jfif(1, 300, 300), ppi=150).size == pytest.approx((50.8, 25.4))
    assert _read(_jfif(1, 300, 300), size=Size(200, 100)).size == Size(200, 100)


def test_a_size_of_another_shape_is_refused_with_both_shapes() -> None:
    assert _refusal(_jfif(1, 300, 300), size=Size(100, 200)) == (
        "field lamp.jpg (300 × 150 pixels) has another shape than 100 × 200 mm "
        "(width to height 0.5 : 1 instead of 2 : 1); give the size of the whole picture, width first"
    )
    assert "1.978 : 1 instead of 2 : 1" in _refusal(_jfif(1, 300, 300), size=Size(89, 45))


def test_a_size_slightly_off_is_taken_and_told() -> None:
    flat = _read(_jfif(1, 300, 300), size=Size(100.5, 50))
    assert flat.size == Size(100.5, 50)
    assert flat.warnings == (
        "the picture is stretched by 0.5% to the size given (2.01 : 1 instead of 2 : 1)",
    )


def test_pixels_that_are_not_square_count_in_the_shape() -> None:
    flat = _read(_jfif(0, 2, 1), size=Size(30, 30))  # half as wide as high
    assert flat.size == Size(30, 30)
    assert "0.5 times as wide as high" in _read(_jfif(0, 2, 1), ppi=300).warnings[0]


def test_two_resolutions_in_one_file_are_told() -> None:
    data = saved(_grey(), "JPEG", dpi=(300, 300), exif=_exif(1, 240.0))
    flat = _read(data)
    assert flat.ppi == (300.0, 300.0)
    assert flat.warnings == ("the file names two resolutions, 300 and 240 ppi; 300 is taken",)


def test_exifs_72_ppi_is_doubted() -> None:
    flat = _read(saved(_grey(), "JPEG", exif=_exif(1, 72.0)))
    assert flat.ppi == (72.0, 72.0)
    assert "72 ppi in EXIF often means that nothing is known" in flat.warnings[0]


@pytest.mark.parametrize("options", [{"ppi": 0}, {"ppi": float("nan")}, {"size": Size(0, 10)}])
def test_senseless_sizes_are_wrong_use(options: dict[str, Any]) -> None:
    with pytest.raises(UsageError):
        _read(_jfif(1, 300, 300), **options)


def test_ppi_and_size_together_are_wrong_use() -> None:
    with pytest.raises(UsageError, match="--ppi and --size both say"):
        _read(_jfif(1, 300, 300), ppi=300, size=Size(10, 5))


def test_content_decides_not_the_name() -> None:
    assert _read(_phys(1, 10000, 10000)).format == "png"
    heads = {"jpeg": "JPEG", "png": "PNG", "tiff": "TIFF", "webp": "WEBP"}
    assert {sniff(saved(_grey(), kind)[:16]) for kind in heads.values()} == set(heads)
    assert [sniff(head) for head in (b"", b"%PDF-1.7", b"GIF89a", b"RIFF\0\0\0\0WAVE")] == [None] * 4
    assert sniff(b"MM\0+\0\x08") == "tiff"


def test_an_open_file_is_read_from_its_start() -> None:
    handle = io.BytesIO(_jfif(1, 300, 300))
    handle.seek(100)
    assert read_image(LAMP, handle).pixels == (300, 150)


def test_anything_else_is_refused_with_what_is_taken() -> None:
    assert _refusal(saved(_grey(), "GIF")) == (
        "field lamp.jpg is not a picture that can be read; give a JPEG, PNG, TIFF or WebP file, or a PDF"
    )


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.97])
def test_a_file_cut_short_is_never_half_a_picture(kind: str, share: float) -> None:
    noise = Image.fromarray(np.random.default_rng(1).integers(0, 256, (90, 120, 3), np.uint8))
    data = saved(noise, kind)
    refusal = _refusal(data[: int(len(data) * share)], ppi=300)
    assert refusal == "field lamp.jpg is cut short; copy or save the file again"


def test_a_png_whose_rows_end_early_is_cut_short() -> None:
    data = png(np.zeros((8, 8, 3), int), 2, 8)
    taller = data[:20] + struct.pack(">I", 9) + data[24:29]
    taller += struct.pack(">I", zlib.crc32(taller[12:29])) + data[33:]
    assert "cut short" in _refusal(taller, ppi=300)


def test_a_flipped_bit_in_a_png_is_noticed() -> None:
    data = bytearray(saved(_grey(), "PNG"))
    data[len(data) // 2] ^= 1
    assert "wrong checksum in chunk IDAT" in _refusal(bytes(data), ppi=300)


@pytest.mark.parametrize(
    ("marker", "bits", "kind"),
    [(0xC1, 12, "12-bit"), (0xC3, 8, "lossless"), (0xC9, 8, "arithmetic-coded"), (0xC5, 8, "hierarchical")],
)
def test_jpegs_that_pdf_readers_cannot_show_are_refused(marker: int, bits: int, kind: str) -> None:
    """ISO 32000-2, 7.4.8: baseline and progressive, 8 bits; markers from ITU-T T.81, table B.1."""
    data = bytearray(_jfif(1, 300, 300))
    at = data.index(b"\xff\xc0")
    data[at + 1], data[at + 4] = marker, bits
    refusal = _refusal(bytes(data))
    assert "a JPEG of a kind that PDF readers cannot show (" + kind in refusal
    assert refusal.endswith("; save it as an ordinary 8-bit JPEG, PNG or TIFF")


def test_float_and_32_bit_tiffs_are_refused() -> None:
    for mode, words in (("F", "floating-point samples"), ("I", "samples of an unusual kind (32 bits")):
        refusal = _refusal(saved(_grey().convert(mode), "TIFF"), ppi=300)
        assert refusal.startswith(f"field lamp.jpg holds {words}")


def test_a_page_that_is_not_there_is_refused() -> None:
    two = saved(_grey(), "TIFF", save_all=True, append_images=[_grey()])
    assert _refusal(two, ppi=300, page=3) == "field lamp.jpg has 2 pages, no page 3; choose --page 1 to 2"
    assert "has only one page, no page 2" in _refusal(_jfif(1, 300, 300), page=2)


def test_too_many_pixels_are_refused_with_the_numbers() -> None:
    header = b"IHDR" + struct.pack(">IIBBBBB", 50_000, 40_000, 1, 0, 0, 0, 0)
    data = png(np.zeros((1, 1, 1), int), 0, 8)
    huge = data[:12] + header + struct.pack(">I", zlib.crc32(header)) + data[33:]
    assert _refusal(huge, ppi=300) == (
        "field lamp.jpg has 50000 × 40000 pixels, 2000 million of at most 1000 million; "
        "save it with a lower resolution"
    )


def test_pillows_own_limit_is_lifted_only_while_we_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 1000)
    flat = _read(_tagged(2, 150, 150))  # 45,000 pixels, far beyond twice that limit
    assert thumbnail(flat, 1).size == (51, 25)
    assert Image.MAX_IMAGE_PIXELS == 1000


def test_missing_memory_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(FlatError, match="needs more memory than"), image_guard.reading("lamp.png"):
        raise MemoryError


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_damaged_files_give_a_sentence_or_a_picture(kind: str) -> None:
    """Bytes changed at random: whatever happens, it is a ``FlatError`` or works."""
    from pypdf import PdfWriter

    random = np.random.default_rng(3)
    data = saved(_grey(60, 40), kind, exif=_exif(6, 150.0))
    for _ in range(150):
        broken = bytearray(data)
        for at in random.integers(4, len(data), 3):
            broken[at] = random.integers(0, 256)
        try:
            flat = _read(bytes(broken), ppi=100)
            picture(flat)
            add_form(flat, PdfWriter())
        except FlatError:
            continue


def test_sixteen_bit_planes_are_refused() -> None:
    data = tiff(np.zeros((4, 4, 3), int), 2, "<", False)
    at = data.index(struct.pack("<HHIHH", 278, 3, 1, 4, 0))  # rows per strip becomes planar configuration 2
    planar = data[:at] + struct.pack("<HHIHH", 284, 3, 1, 2, 0) + data[at + 12 :]
    assert "holds 16-bit channels in separate planes" in _refusal(planar, ppi=300)
