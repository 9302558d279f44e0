"""What the tags of a TIFF or the header of a WebP say, read through Pillow (TIFF 6.0, WebP RFC 9649)."""

from __future__ import annotations

import io
import struct
from typing import Any

from PIL import Image

from tiler.errors import FlatError
from tiler.flat.image_exif import density_of, exif_facts, orientation_of, shape_of
from tiler.flat.image_flat import Facts
from tiler.flat.image_guard import CutShortError, check_memory, check_pixels, reading
from tiler.flat.image_size import stretch_of

BITS, PHOTOMETRIC, PLANAR = 258, 262, 284
_STRIPS, _TILES = (273, 279), (324, 325)
_COLOUR_MAP = 320
_MODES = ("1", "L", "LA", "P", "I;16", "I;16B", "RGB", "RGBX", "RGBA", "CMYK", "LAB")
"""Pillow's modes that become a PDF image without loss."""


def pillow_picture(data: bytes, kind: str, page: int) -> Image.Image:
    """The frame (from 1) opened by Pillow, not yet decoded.

    Raises:
        EOFError: There is no such frame.
    """
    picture = Image.open(io.BytesIO(data), formats=[kind])
    picture.seek(page - 1)
    return picture


def choose_page(name: str, picture: Image.Image, page: int) -> int:
    """Go to the frame (from 1) and return how many there are.

    Raises:
        FlatError: There is no such frame.
    """
    pages = int(getattr(picture, "n_frames", 1))
    check_page(name, page, pages)
    picture.seek(page - 1)
    return pages


def check_page(name: str, page: int, pages: int) -> None:
    """Hold the page wanted against the pages there are.

    Raises:
        FlatError: There is no such frame.
    """
    if not 1 <= page <= pages:
        there = "only one page" if pages == 1 else f"{pages} pages"
        raise FlatError(f"{name} has {there}, no page {page}", f"choose --page 1 to {pages}")


def tiff_facts(data: bytes, name: str, page: int) -> Facts:
    """What the TIFF says about this frame.

    Raises:
        FlatError: The file is damaged, cut short, too large, or its samples cannot be printed as they are.
    """
    with reading(name):
        picture = Image.open(io.BytesIO(data), formats=["TIFF"])
        pages = choose_page(name, picture, page)
        tags: Any = picture.tag_v2  # type: ignore[attr-defined]
        orientation, density, shape = orientation_of(tags), density_of(tags), shape_of(tags)
        stored = picture.size[::-1] if orientation >= 5 else picture.size
        _check_strips(tags, len(data))
        problem, notes = _unprintable(picture, tags), _losses(picture, tags)
        memory = _memory(picture)
    check_pixels(name, stored)
    check_memory(name, stored, memory)
    if problem:
        raise FlatError(
            f"{name} holds {problem}, which cannot be printed as they are",
            "save it as 8-bit or 16-bit grey, RGB or CMYK with interleaved channels",
        )
    return Facts(stored, pages, orientation, density, stretch_of(*shape), notes)


def _memory(picture: Image.Image) -> int:
    """Bytes that Pillow keeps for a pixel; 16-bit colour is decoded twice, see ``image_samples``."""
    if picture.mode in ("1", "L", "P"):
        return 1
    if picture.mode.startswith("I;16"):
        return 2
    return 8 if is_wide(picture) else 4


def is_wide(picture: Image.Image) -> bool:
    """True when Pillow would drop the low byte of 16-bit colour samples."""
    return (
        picture.mode in ("RGB", "RGBA", "CMYK") and ";16" in raw_mode(picture) and not is_associated(picture)
    )


def is_associated(picture: Image.Image) -> bool:
    """True when the colours are stored multiplied by their opacity."""
    return "RGBa" in raw_mode(picture)


def raw_mode(picture: Any) -> str:
    """How Pillow will unpack the picture; empty when there is nothing to unpack."""
    args = picture.tile[0].args if picture.tile else ""
    return str(args[0] if isinstance(args, tuple) else args)


def _unprintable(picture: Image.Image, tags: Any) -> str:
    depth = max(tags.get(BITS, (1,)))
    if picture.mode == "F":
        return "floating-point samples"
    if picture.mode not in _MODES:
        return f"samples of an unusual kind ({depth} bits, Pillow mode {picture.mode})"
    if depth > 8 and tags.get(PLANAR, 1) == 2 and picture.mode[0] != "I":
        return f"{depth}-bit channels in separate planes"
    return ""


def _losses(picture: Image.Image, tags: Any) -> tuple[str, ...]:
    """What is lost on the way to a PDF image, told rather than hidden."""
    if is_associated(picture):
        depth = max(tags.get(BITS, (8,)))
        reduced = f" and {depth} bits a sample become 8" if depth > 8 else ""
        return (f"colours were multiplied by their opacity and are divided again, with rounding{reduced}",)
    if picture.mode == "P" and any(value % 256 not in (0, value // 256) for value in tags[_COLOUR_MAP]):
        return ("the palette's 16-bit colours are reduced to 8 bits a sample",)
    return ()


def _check_strips(tags: Any, length: int) -> None:
    for offsets, counts in (_STRIPS, _TILES):
        ends = zip(_many(tags.get(offsets)), _many(tags.get(counts)), strict=False)
        if any(start + count > length for start, count in ends):
            raise CutShortError("a strip lies beyond the end")


def _many(value: Any) -> tuple[int, ...]:
    if value is None:
        return ()
    return (value,) if isinstance(value, int) else tuple(value)


def webp_facts(data: bytes, name: str, page: int) -> Facts:
    """What the WebP says about this frame.

    Raises:
        FlatError: The file is damaged, cut short or too large.
    """
    with reading(name):
        # RFC 9649, 2.4: the length at byte 4 leaves out the first eight bytes
        if struct.unpack_from("<I", data, 4)[0] + 8 > len(data):
            raise CutShortError("the container ends early")
        picture = Image.open(io.BytesIO(data), formats=["WEBP"])
        pages = choose_page(name, picture, page)
        exif = exif_facts(picture.info.get("exif", b""))
    check_pixels(name, picture.size)
    check_memory(name, picture.size, _memory(picture))
    stretch = stretch_of(*(exif.density or (0, 0)))
    notes = (*(exif.doubts if exif.density else ()), *exif.warnings)
    return Facts(picture.size, pages, exif.orientation, exif.density, stretch, notes)
