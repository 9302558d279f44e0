"""Read picture flats: JPEG, PNG, TIFF and WebP, told by content and never by name."""

from __future__ import annotations

from pathlib import Path
from typing import BinaryIO

from tiler.errors import FlatError
from tiler.flat.image_flat import Facts, Format, ImageFlat
from tiler.flat.image_form import add_form
from tiler.flat.image_guard import MAX_PIXELS
from tiler.flat.image_jpeg import jpeg_facts
from tiler.flat.image_picture import picture, thumbnail
from tiler.flat.image_png import SIGNATURE, png_facts
from tiler.flat.image_size import true_size
from tiler.flat.image_tiff import check_page, tiff_facts, webp_facts
from tiler.geometry import Size

__all__ = ["MAX_PIXELS", "ImageFlat", "add_form", "picture", "read_image", "sniff", "thumbnail"]

SNIFFED = 16
"""Bytes that ``sniff`` wants to see."""

_TIFF_HEADS = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
"""Byte order and 42, or 43 for files above 4 GB."""


def sniff(head: bytes) -> Format | None:
    r"""Tell the picture format from the first bytes of a file; None when it is none of ours.

    >>> sniff(b"II*\0"), sniff(b"%PDF-1.7")
    ('tiff', None)
    """
    if head.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if head.startswith(SIGNATURE):
        return "png"
    if head.startswith(_TIFF_HEADS):
        return "tiff"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "webp"
    return None


def read_image(
    path: Path,
    data_or_handle: bytes | BinaryIO,
    page: int = 1,
    ppi: float | None = None,
    size: Size | None = None,
) -> ImageFlat:
    """Read a picture file.

    Args:
        path: Where it is, for messages.
        data_or_handle: Its whole content, or an open file that is read from its start.
        page: Frame, from 1.
        ppi: Pixels per inch both ways; overrides the file's own resolution.
        size: mm as seen; overrides the file's own resolution.

    Raises:
        FlatError: It is no picture we know, damaged, too large, or does not say how large it is.
        UsageError: ``ppi`` and ``size`` contradict each other or are no lengths.
    """
    data = data_or_handle if isinstance(data_or_handle, bytes) else _whole(path, data_or_handle)
    kind = sniff(data[:SNIFFED])
    if kind is None:
        raise FlatError(
            f"{path.name} is not a picture that can be read", "give a JPEG, PNG, TIFF or WebP file, or a PDF"
        )
    facts = _facts(kind, data, path.name, page)
    true = true_size(path.name, facts, ppi, size)
    seen = facts.stored[::-1] if facts.lies else facts.stored
    return ImageFlat(
        path=path,
        format=kind,
        pages=facts.pages,
        page=page,
        pixels=seen,
        size=true.size,
        ppi=true.ppi,
        orientation=facts.orientation,
        warnings=(*facts.warnings, *true.warnings),
        data=data,
    )


def _whole(path: Path, handle: BinaryIO) -> bytes:
    try:
        handle.seek(0)
        return handle.read()
    except OSError as problem:
        raise FlatError(f"{path.name} cannot be read ({problem.strerror or problem})") from problem


def _facts(kind: Format, data: bytes, name: str, page: int) -> Facts:
    match kind:
        case "jpeg":
            check_page(name, page, 1)
            return jpeg_facts(data, name)
        case "png":
            check_page(name, page, 1)
            return png_facts(data, name)
        case "tiff":
            return tiff_facts(data, name, page)
        case "webp":
            return webp_facts(data, name, page)
