"""Decode each format into samples without losing a bit that the file holds."""

from __future__ import annotations

import sys
from typing import Any

import numpy as np
from PIL import Image

from tiler.flat.image_flat import ImageFlat
from tiler.flat.image_jpeg import jpeg_header, pillow_jpeg
from tiler.flat.image_png import PngHeader, pillow_png, png_header
from tiler.flat.image_samples import COLOUR_CHANNELS, Bytes, Colour, Finish, Samples
from tiler.flat.image_tiff import BITS, PHOTOMETRIC, is_wide, pillow_picture, raw_mode

_COLOURS: dict[str, Colour] = {
    "1": "gray",
    "L": "gray",
    "LA": "gray",
    "I;16": "gray",
    "I;16B": "gray",
    "P": "indexed",
    "RGB": "rgb",
    "RGBX": "rgb",
    "RGBA": "rgb",
    "CMYK": "cmyk",
    "LAB": "lab",
}
_OTHER_ORDER = {"L": "B", "B": "L", "N": "B" if sys.byteorder == "little" else "L"}


def samples_of(flat: ImageFlat) -> Samples:
    """Decode the picture; run inside ``image_guard.reading``."""
    if flat.format == "jpeg":
        return jpeg_samples(flat.data, None)
    if flat.format == "png":
        return png_samples(png_header(flat.data))
    return _pillow_samples(flat)


def jpeg_samples(data: bytes, wanted: tuple[int, int] | None) -> Samples:
    """Decode a JPEG, at 1/2, 1/4 or 1/8 when that still has the ``wanted`` columns and rows."""
    header = jpeg_header(data)
    picture = pillow_jpeg(data)
    if wanted:
        picture.draft(None, wanted)
    # Pillow inverts every CMYK JPEG; only those with Adobe's marker are stored inverted.
    invert = picture.mode == "CMYK" and header.adobe is None

    def finish(raw: Bytes) -> tuple[Bytes, Bytes | None]:
        return (~raw if invert else raw), None

    return _loaded((picture,), _COLOURS[picture.mode], 8, finish, icc=header.icc)


def _loaded(
    planes: tuple[Image.Image, ...],
    colour: Colour,
    bits: int,
    finish: Finish,
    icc: bytes | None,
    has_alpha: bool = False,
    palette: bytes = b"",
) -> Samples:
    for plane in planes:
        plane.load()
    return Samples(*planes[0].size, colour, bits, has_alpha, palette, icc, planes, finish)


def _split(colour: Colour) -> Finish:
    """Colour channels first, opacity after them where there is one more."""
    count = COLOUR_CHANNELS[colour]

    def finish(raw: Bytes) -> tuple[Bytes, Bytes | None]:
        return raw[:, :, :count], raw[:, :, count] if raw.shape[2] > count else None

    return finish


def png_samples(header: PngHeader) -> Samples:
    """Decode a PNG of any kind."""
    bits = 16 if header.bits == 16 else 1 if header.bits == 1 and header.colour == 0 else 8
    colour: Colour = "indexed" if header.colour == 3 else "rgb" if header.colour in (2, 6) else "gray"
    picture = pillow_png(header)
    planes: tuple[Image.Image, ...] = (picture,)
    finish = _split(colour)
    if bits == 16 and header.colour == 4:
        # Four bytes a pixel: read as RGBA they are the two halves of grey and of opacity.
        _retune(picture, "RGBA")
        finish = _grey_with_opacity
    elif bits == 16 and colour == "rgb":
        low = pillow_png(header)
        _retune(low, raw_mode(low)[:-1] + _OTHER_ORDER[raw_mode(low)[-1]])
        planes = (picture, low)
    if header.transparency is not None:
        finish = _keyed(header, header.transparency)
    has_alpha = header.colour in (4, 6) or header.transparency is not None
    return _loaded(planes, colour, bits, finish, header.icc, has_alpha, header.palette)


def _grey_with_opacity(raw: Bytes) -> tuple[Bytes, Bytes | None]:
    pairs = raw.reshape(*raw.shape[:2], 2, 2)
    return pairs[:, :, :1], pairs[:, :, 1]


def _keyed(header: PngHeader, body: bytes) -> Finish:
    """Opacity from tRNS: by palette entry, or nought for the one colour named (PNG 11.3.2.1)."""
    if header.colour == 3:
        table = np.full(256, 255, np.uint8)
        table[: min(256, len(body))] = np.frombuffer(body[:256], np.uint8)
        return lambda raw: (raw, table[raw[:, :, 0]])
    depth = 2 if header.bits == 16 else 1
    key = np.frombuffer(body, ">u2")
    if depth == 1:
        key = (key * 255 // ((1 << header.bits) - 1)).astype(">u2")
    wanted = key.view(np.uint8).reshape(-1, 2)[:, 2 - depth :]

    def finish(raw: Bytes) -> tuple[Bytes, Bytes | None]:
        clear = (raw == wanted).all(axis=(2, 3))
        return raw, np.where(clear, np.uint8(0), np.uint8(255))[:, :, None]

    return finish


def _retune(picture: Any, mode: str) -> None:
    """Give all tiles of a picture not yet decoded another raw mode."""
    picture.tile = [
        tile._replace(args=(mode, *tile.args[1:]) if isinstance(tile.args, tuple) else mode)
        for tile in picture.tile
    ]


def _pillow_samples(flat: ImageFlat) -> Samples:
    """Decode a TIFF or WebP; Pillow turns a TIFF upright by itself."""
    kind = flat.format.upper()
    picture = pillow_picture(flat.data, kind, flat.page)
    if picture.mode not in _COLOURS:
        raise ValueError(f"Pillow mode {picture.mode}")
    colour = _COLOURS[picture.mode]
    planes: tuple[Image.Image, ...] = (picture,)
    bits = 1 if picture.mode == "1" else 16 if picture.mode.startswith("I;16") else 8
    if flat.format == "tiff" and is_wide(picture):
        low = pillow_picture(flat.data, kind, flat.page)
        _retune(low, raw_mode(low)[:-1] + _OTHER_ORDER[raw_mode(low)[-1]])
        planes, bits = (picture, low), 16
    palette = bytes(picture.getpalette("RGB") or ()) if colour == "indexed" else b""
    icc = picture.info.get("icc_profile")
    has_alpha = picture.mode in ("LA", "RGBA")
    return _loaded(planes, colour, bits, _finish_of(picture), icc, has_alpha, palette)


def _finish_of(picture: Image.Image) -> Finish:
    if picture.mode == "LAB":
        return _lab
    if picture.mode.startswith("I;16"):
        return _grey_16(picture)
    if picture.mode == "RGBX":  # the fourth byte is filling
        return lambda raw: (raw[:, :, :3], None)
    return _split(_COLOURS[picture.mode])


def _lab(raw: Bytes) -> tuple[Bytes, Bytes | None]:
    """TIFF keeps a* and b* as signed bytes (TIFF 6.0, section 23); a PDF image counts up from -128."""
    return raw ^ np.array([0, 128, 128], np.uint8)[:, None], None


def _grey_16(picture: Any) -> Finish:
    """16-bit grey; Pillow neither turns white-is-zero round nor spreads 12 bits over 16."""
    invert = picture.tag_v2.get(PHOTOMETRIC) == 0
    twelve = max(picture.tag_v2.get(BITS, (16,))) == 12

    def finish(raw: Bytes) -> tuple[Bytes, Bytes | None]:
        if twelve:
            value = np.ascontiguousarray(raw).view(">u2")
            raw = (value << 4 | value >> 8).astype(">u2").view(np.uint8)
        return (~raw if invert else raw), None

    return finish
