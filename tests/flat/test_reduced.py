"""Coarse pictures from reduced photographs look as those that PDFium makes of the whole ones."""

from __future__ import annotations

import base64
import functools
import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms
from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    PdfObject,
    StreamObject,
)

from tests.flats import flat_pdf
from tiler.flat import reduced as module
from tiler.flat.coarse import ScreenPreview
from tiler.flat.pdf import PdfFlat
from tiler.flat.raster import Preview, one_page, written
from tiler.flat.read import Flat, Wanted, read_flat
from tiler.flat.reduced import photographs, reduced
from tiler.geometry import Rect

PAGE = (600, 400)
"""Points."""

ALIKE = 0.8
"""Mean difference of 255 up to which two pictures are the same but for rounding and for the order in which
samples are averaged and colours converted (no source)."""

ADOBE = b"\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00"
"""An APP14 marker but for its last byte, the colour transform (ISO 32000-2, 7.4.8; ITU-T T.872, 6.5.3)."""

UPRIGHT = "400 0 0 300 100 50 cm"


@pytest.fixture(autouse=True)
def _small_is_large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pictures of a megapixel will do."""
    monkeypatch.setattr(module, "WORTH", 500_000)
    monkeypatch.setattr(module, "LARGE", 500_000)


@functools.cache
def _art(mode: str = "RGB", size: tuple[int, int] = (1203, 1001)) -> Image.Image:
    """Smooth colours with grain, and a disc with a hard edge."""
    random = np.random.default_rng(3)
    coarse = Image.fromarray(random.integers(0, 255, (5, 6, 3), dtype=np.uint8))
    smooth = np.asarray(coarse.resize(size, Image.Resampling.BICUBIC), np.int16)
    grainy = np.clip(smooth + random.normal(0, 8, smooth.shape), 0, 255).astype(np.uint8)
    down, across = np.ogrid[: size[1], : size[0]]
    grainy[(down - 400) ** 2 + (across - 700) ** 2 < 200**2] = (250, 30, 40)
    return Image.fromarray(grainy).convert(mode)


def _jpeg(image: Image.Image, **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=92, **options)
    return out.getvalue()


def _marked(jpeg: bytes, transform: int) -> bytes:
    """With an APP14 marker behind the start of the picture and its JFIF header, if it has one."""
    at = 20 if jpeg[2:4] == b"\xff\xe0" else 2
    return jpeg[:at] + ADOBE + bytes([transform]) + jpeg[at:]


def _picture(jpeg: bytes, space: PdfObject | str = "/DeviceRGB", **more: object) -> StreamObject:
    """An image XObject around a JPEG; ``more`` are other entries."""
    with Image.open(io.BytesIO(jpeg)) as opened:
        width, height = opened.size
    picture = StreamObject()
    picture._data = jpeg
    entries = {
        "Type": NameObject("/XObject"),
        "Subtype": NameObject("/Image"),
        "Width": NumberObject(width),
        "Height": NumberObject(height),
        "BitsPerComponent": NumberObject(8),
        "ColorSpace": NameObject(space) if isinstance(space, str) else space,
        "Filter": NameObject("/DCTDecode"),
        **more,
    }
    picture.update({NameObject(f"/{key}"): value for key, value in entries.items()})
    return picture


def _flat(path: Path, picture: StreamObject, place: str = UPRIGHT, form: bool = False) -> Flat:
    """A flat of drawn art with a picture on it, perhaps within a form."""

    def change(writer: PdfWriter) -> None:
        for key in ("/SMask", "/ColorSpace"):
            value = picture.get(key)
            if isinstance(value, StreamObject):
                picture[NameObject(key)] = writer._add_object(value)
            if isinstance(value, ArrayObject) and value and isinstance(value[-1], StreamObject):
                value[-1] = writer._add_object(value[-1])
        drawn: StreamObject = picture
        if form:
            drawn = StreamObject()
            drawn._data = b"q /Photo Do Q"
            names = DictionaryObject({NameObject("/Photo"): writer._add_object(picture)})
            drawn[NameObject("/Subtype")] = NameObject("/Form")
            drawn[NameObject("/BBox")] = ArrayObject(map(FloatObject, (0, 0, 1, 1)))
            drawn[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): names})
        page = writer.pages[0]
        resources = page["/Resources"]
        assert isinstance(resources, DictionaryObject)
        table = DictionaryObject({NameObject("/Art"): writer._add_object(drawn)})
        resources[NameObject("/XObject")] = table
        extra = StreamObject()
        extra._data = f"q {place} /Art Do Q".encode()
        page[NameObject("/Contents")] = ArrayObject(
            [page.raw_get("/Contents"), writer._add_object(extra)] if place else [page.raw_get("/Contents")]
        )

    return read_flat(flat_pdf(path, PAGE, change=change), Wanted())


def _page(flat: Flat) -> PdfWriter:
    assert isinstance(flat.source, PdfFlat)
    return one_page(flat, flat.source)


def _is_reduced(flat: Flat, side: int = 100) -> bool:
    with reduced(photographs(_page(flat)), side) as is_reduced:
        return is_reduced


def _difference(flat: Flat, pixels_per_mm: float) -> float:
    """Mean difference between the screen's picture and the full one, of 255."""
    whole = Rect(0, 0, *flat.size)
    coarse = ScreenPreview(flat).render(whole, pixels_per_mm)
    full = Preview(flat).render(whole, pixels_per_mm)
    assert coarse.size == full.size
    return float(np.abs(np.asarray(coarse, np.int16) - np.asarray(full, np.int16)).mean())


def _profiled(profile: bytes, count: int) -> ArrayObject:
    stream = StreamObject()
    stream._data = profile
    stream[NameObject("/N")] = NumberObject(count)
    return ArrayObject([NameObject("/ICCBased"), stream])


def _srgb() -> ArrayObject:
    return _profiled(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(), 3)


def _lettered(jpeg: bytes, wrong: bytes = b"") -> StreamObject:
    """A picture in ASCII85, with wrong letters in it."""
    picture = _picture(jpeg, Filter=ArrayObject(map(NameObject, ("/ASCII85Decode", "/DCTDecode"))))
    letters = base64.a85encode(jpeg, wrapcol=76) + b"~>"
    picture._data = letters[:400] + wrong + letters[400:]
    return picture


@functools.cache
def _rgb() -> bytes:
    return _jpeg(_art())


@functools.cache
def _grey() -> bytes:
    return _jpeg(_art("L"))


def _numbers(*values: float) -> ArrayObject:
    return ArrayObject(map(FloatObject, values))


def _calibrated() -> ArrayObject:
    return ArrayObject(
        [NameObject("/CalRGB"), DictionaryObject({NameObject("/WhitePoint"): _numbers(0.9505, 1, 1.089)})]
    )


REDUCED: dict[str, Callable[[], StreamObject]] = {
    "colour": lambda: _picture(_rgb()),
    "whole blocks": lambda: _picture(_jpeg(_art(size=(1200, 1000)))),
    "grey": lambda: _picture(_grey(), "/DeviceGray"),
    "a profile": lambda: _picture(_rgb(), _srgb()),
    "calibrated colour": lambda: _picture(_rgb(), _calibrated()),
    "a soft mask": lambda: _picture(_rgb(), SMask=_picture(_grey(), "/DeviceGray")),
    "a small mask": lambda: _picture(_rgb(), SMask=_picture(_jpeg(_art("L", (90, 70))), "/DeviceGray")),
    "Adobe's mark": lambda: _picture(_marked(_rgb(), 1)),
    "stored as RGB": lambda: _picture(_jpeg(_art(), keep_rgb=True)),
    "progressive": lambda: _picture(_jpeg(_art(), progressive=True)),
    "full chroma": lambda: _picture(_jpeg(_art(), subsampling=0)),
    "letters": lambda: _lettered(_rgb()),
    "the usual Decode": lambda: _picture(_rgb(), Decode=_numbers(*[0, 1] * 3)),
}


@pytest.mark.parametrize("kind", REDUCED)
def test_a_reduced_photograph_looks_the_same(kind: str, tmp_path: Path) -> None:
    flat = _flat(tmp_path / "flat.pdf", REDUCED[kind]())
    assert _is_reduced(flat)
    assert _difference(flat, 0.25) < ALIKE


@pytest.mark.parametrize(
    "place", ["0 400 -300 0 400 10 cm", "-400 0 0 300 500 50 cm", "300 120 -90 250 150 20 cm"]
)
def test_a_turned_photograph_looks_the_same(place: str, tmp_path: Path) -> None:
    flat = _flat(tmp_path / "flat.pdf", _picture(_rgb()), place)
    assert _is_reduced(flat)
    assert _difference(flat, 0.5) < ALIKE


@pytest.mark.parametrize("density", [0.125, 0.25, 0.5, 1.0])
def test_each_reduction_looks_the_same(density: float, tmp_path: Path) -> None:
    flat = _flat(tmp_path / "flat.pdf", _picture(_rgb()), form=True)
    assert _is_reduced(flat)
    assert _difference(flat, density) < ALIKE


def test_a_picture_that_is_another_is_told_from_the_same(tmp_path: Path) -> None:
    one = _flat(tmp_path / "one.pdf", _picture(_rgb()))
    other = _flat(tmp_path / "other.pdf", _picture(_jpeg(_art().transpose(Image.Transpose.FLIP_LEFT_RIGHT))))
    whole = Rect(0, 0, *one.size)
    a, b = (np.asarray(ScreenPreview(flat).render(whole, 0.25), np.int16) for flat in (one, other))
    assert np.abs(a - b).mean() > 10 * ALIKE


def _with_data(picture: StreamObject, data: bytes) -> StreamObject:
    picture._data = data
    return picture


def _indexed() -> ArrayObject:
    return ArrayObject(
        [NameObject("/Indexed"), NameObject("/DeviceGray"), NumberObject(1), ByteStringObject(b"\x00\xff")]
    )


LEFT_ALONE: dict[str, Callable[[], StreamObject]] = {
    "inks": lambda: _picture(_jpeg(_art("CMYK")), "/DeviceCMYK"),
    "turned round": lambda: _picture(_rgb(), Decode=_numbers(*[1, 0] * 3)),
    "colours that do not show": lambda: _picture(_rgb(), Mask=ArrayObject(map(NumberObject, [0, 9] * 3))),
    "mixed with a matte": lambda: _picture(
        _rgb(), SMask=_picture(_grey(), "/DeviceGray", Matte=_numbers(0, 0, 0))
    ),
    "told how to transform": lambda: _picture(
        _rgb(), DecodeParms=DictionaryObject({NameObject("/ColorTransform"): NumberObject(0)})
    ),
    "a table of colours": lambda: _picture(_grey(), _indexed()),
    "grey called colour": lambda: _picture(_grey(), "/DeviceRGB"),
    "JFIF and stored as RGB at once": lambda: _picture(_marked(_rgb(), 0)),
    "a mark that belongs to inks": lambda: _picture(
        _jpeg(_art(), keep_rgb=True).replace(ADOBE + b"\0", ADOBE + b"\2")
    ),
    "cut short": lambda: _picture(_rgb()[: len(_rgb()) // 2]),
    "cut in the header": lambda: _with_data(_picture(_rgb()), b"\xff\xd8\xff\xe0\x00"),
    "no JPEG at all": lambda: _with_data(_picture(_rgb()), b"not a picture"),
    "another size than it says": lambda: _picture(_rgb(), Width=NumberObject(2000)),
    "beyond measure": lambda: _picture(_rgb(), Width=NumberObject(1 << 30), Height=NumberObject(1 << 30)),
    "colours of no kind": lambda: _picture(_rgb(), ArrayObject()),
    "wrong letters": lambda: _lettered(_rgb(), b"{"),
}


@pytest.mark.parametrize("kind", LEFT_ALONE)
def test_what_may_look_otherwise_or_is_broken_is_drawn_in_full(kind: str, tmp_path: Path) -> None:
    flat = _flat(tmp_path / "flat.pdf", LEFT_ALONE[kind]())
    assert not _is_reduced(flat)
    assert _difference(flat, 0.25) == 0


def test_a_picture_that_the_page_does_not_draw_is_not_decoded(tmp_path: Path) -> None:
    assert not _is_reduced(_flat(tmp_path / "flat.pdf", _picture(_rgb()), place=""))


def test_small_pictures_are_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    flat = _flat(tmp_path / "flat.pdf", _picture(_rgb()))
    monkeypatch.setattr(module, "WORTH", 2_000_000)
    assert not _is_reduced(flat)


def test_reduced_pictures_that_are_still_too_many_are_not_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    flat = _flat(tmp_path / "flat.pdf", _picture(_rgb()))
    monkeypatch.setattr(module, "MOST_LEFT", 150 * 125 - 1)
    assert not _is_reduced(flat)
    monkeypatch.setattr(module, "MOST_LEFT", 150 * 126)
    assert _is_reduced(flat)


def test_a_picture_keeps_the_samples_that_are_asked_for(tmp_path: Path) -> None:
    writer = _page(_flat(tmp_path / "flat.pdf", _picture(_rgb())))
    found = {}
    for side in (100, 126, 251, 501):
        with reduced(photographs(writer), side):
            found[side] = [
                tuple(int(str(value[key])) for key in ("/Width", "/Height"))
                for value in writer._objects
                if isinstance(value, StreamObject) and value.get("/Subtype") == "/Image"
            ]
    assert found == {100: [(150, 125)], 126: [(300, 250)], 251: [(601, 500)], 501: [(1203, 1001)]}


def test_the_whole_photographs_are_there_again_afterwards(tmp_path: Path) -> None:
    writer = _page(_flat(tmp_path / "flat.pdf", _picture(_rgb())))
    before = written(writer)
    with reduced(photographs(writer), 100) as is_reduced:
        assert is_reduced
        assert len(written(writer)) != len(before)
    assert written(writer) == before


def test_a_sharp_picture_is_drawn_from_the_whole_photograph(tmp_path: Path) -> None:
    flat = _flat(tmp_path / "flat.pdf", _picture(_rgb()))
    preview, part = ScreenPreview(flat), Rect(60, 40, 50, 40)
    preview.render(Rect(0, 0, *flat.size), 0.125)
    assert preview.render(part, 8).tobytes() == Preview(flat).render(part, 8).tobytes()
