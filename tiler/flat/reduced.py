"""Photographs made small for a coarse view: a JPEG gives an eighth of its size for a third of the time.

Where a page shows at few points in a millimetre, decoding its photographs in full is most of the work. JPEG
transforms blocks of 8 × 8 samples, so half, a quarter and an eighth of the size come out of a part of the
transform (ITU-T T.81, A.3). For the screen alone: packs, checks and proofs never see reduced pictures.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeGuard

from PIL import Image
from PIL.ImageFile import ImageFile
from pypdf import PdfWriter
from pypdf.filters import decode_stream_data
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    NameObject,
    NullObject,
    NumberObject,
    PdfObject,
    StreamObject,
)

from tiler.flat.ascii85 import decoded_ascii85
from tiler.flat.image_guard import MAX_MEMORY, reading
from tiler.flat.image_jpeg import JpegHeader, jpeg_header, pillow_jpeg

LARGE = 1_000_000
"""Pixels from which a picture is worth it."""

WORTH = 8_000_000
"""Pixels of large pictures from which a page is worth it: PDFium takes a tenth of a second for so many
(measured: 11 ms for a million pixels of colour on one processor)."""

LONGEST_CONTENT = 20_000_000
"""Bytes of page content that are searched for the pictures in use."""

MOST_LEFT = 30_000_000
"""Pixels that the reduced pictures of a page may have together; they are held without compression."""

THREADS = min(2, os.cpu_count() or 1)
"""Pictures decoded at a time; Pillow lets other threads run meanwhile."""

_COMPONENTS = {"/DeviceGray": 1, "/CalGray": 1, "/DeviceRGB": 3, "/CalRGB": 3}
_MODES = {1: "L", 3: "RGB"}
_PROGRESSIVE = 0xC2
_PLAIN_FRAMES = {0xC0, 0xC1, _PROGRESSIVE}
"""Start-of-frame markers of what both decoders read alike (ITU-T T.81, table B.1)."""

_CALL = re.compile(rb"/([^\s/<>\[\](){}%]+)\s*Do(?![^\s/<>\[\](){}%])")


@dataclass(frozen=True)
class _Samples:
    """A picture of 8 bits a sample, without padding."""

    width: int
    height: int
    data: bytes


def photographs(writer: PdfWriter) -> list[StreamObject]:
    """Large photographs drawn by the first page that may be reduced; none where it does not pay."""
    try:
        return _drawn(writer, [value for value in writer._objects if _is_large(value)])
    except Exception:  # foreign objects fail in ways that nobody lists; the renderer tells or bears it
        return []


@contextmanager
def reduced(pictures: Sequence[StreamObject], side: int) -> Iterator[bool]:
    """Make photographs smaller where they are, and give them their samples back.

    Args:
        pictures: What ``photographs`` has found.
        side: Samples that each side of a reduced picture must still have.

    Yields:
        True when any is smaller.
    """
    found = [picture for picture in pictures if _reduction(picture, side) > 1]
    left = sum(_area(picture) // _reduction(picture, side) ** 2 for picture in found)
    if sum(map(_area, found)) < WORTH or left > MOST_LEFT:
        yield False
        return
    with ThreadPoolExecutor(THREADS, "reducing") as pool:
        made = list(pool.map(lambda picture: _samples(picture, side), found))
    kept = [(picture, picture._data, {key: picture.raw_get(key) for key in picture}) for picture in found]
    try:
        for picture, samples in zip(found, made, strict=True):
            if samples is not None:
                _put(picture, samples)
        yield any(made)
    finally:
        for picture, data, entries in kept:
            picture._data = data
            picture.clear()  # as the order of its entries was too
            picture.update(entries)


def _put(picture: StreamObject, samples: _Samples) -> None:
    """Give a picture other samples, of the same components and colours."""
    picture._data = samples.data
    picture[NameObject("/Width")] = NumberObject(samples.width)
    picture[NameObject("/Height")] = NumberObject(samples.height)
    picture.pop("/Filter", None)
    picture.pop("/DecodeParms", None)


def _drawn(writer: PdfWriter, large: list[StreamObject]) -> list[StreamObject]:
    """Those that the first page draws, by itself or in its forms, and those that mask them."""
    if sum(map(_area, large)) < WORTH:
        return []
    found: dict[int, StreamObject] = {}
    seen: set[int] = set()
    page = writer.pages[0]
    todo: list[tuple[object, DictionaryObject]] = [
        (_value(page.get("/Contents")), _dictionary(page.get("/Resources")))
    ]
    length = 0
    while todo:
        drawing, resources = todo.pop()
        content = _content(drawing)
        length += len(content)
        if length > LONGEST_CONTENT:
            return []
        for value in _called(content, resources):
            if id(value) in seen:
                continue
            seen.add(id(value))
            if value.get("/Subtype") == "/Image":
                found |= {id(one): one for one in (value, _soft_mask(value)) if one is not None}
            else:
                todo.append((value, _dictionary(value.get("/Resources")) or resources))
    return [value for value in large if id(value) in found]


def _content(drawing: object) -> bytes:
    """The operators of a page or form."""
    if not isinstance(drawing, StreamObject):
        return b""
    return bytes(decode_stream_data(drawing) if _filters(drawing) else drawing._data)


def _called(content: bytes, resources: DictionaryObject) -> list[StreamObject]:
    """The external objects that operators call."""
    table = _dictionary(resources.get("/XObject"))
    names = {f"/{name.decode('latin-1')}" for name in _CALL.findall(content)}
    values = (table[name] for name in table if name in names)
    return [value for value in values if isinstance(value, StreamObject)]


def _soft_mask(picture: StreamObject) -> StreamObject | None:
    """The picture that says how opaque another is."""
    mask = picture.get("/SMask")
    value = mask.get_object() if isinstance(mask, PdfObject) else None
    return value if isinstance(value, StreamObject) else None


def _is_large(stream: object) -> TypeGuard[StreamObject]:
    """True for a large JPEG of colours, with nothing about it that only the whole picture can have."""
    if not isinstance(stream, StreamObject) or stream.get("/Subtype") != "/Image" or _area(stream) < LARGE:
        return False
    mask = _soft_mask(stream)
    count = _components(stream)
    return (
        _filters(stream) in (["/DCTDecode"], ["/ASCII85Decode", "/DCTDecode"])
        and not any(_dictionary(one) for one in _listed(stream.get("/DecodeParms")))
        and stream.get("/BitsPerComponent", 8) == 8
        and count > 0
        and _listed(stream.get("/Decode")) in ([], [0, 1] * count)
        and not isinstance(_value(stream.get("/Mask")), ArrayObject)  # colours that do not show
        and not (mask is not None and "/Matte" in mask)  # has been mixed sample by sample
        and "/Matte" not in stream
        and "/OC" not in stream  # may not show at all
    )


def _components(picture: StreamObject) -> int:
    """Components of a colour space in which a mean of colours is a colour between; 0 for any other."""
    space = _value(picture.get("/ColorSpace"))
    parts = [_value(part) for part in space] if isinstance(space, ArrayObject) else [space]
    if len(parts) == 2 and parts[0] == "/ICCBased":
        count = _value(_dictionary(parts[1]).get("/N"))
        return count if count in _MODES and isinstance(count, int) else 0
    return _COMPONENTS.get(str(parts[0]), 0) if parts else 0


def _filters(stream: StreamObject) -> list[object]:
    return _listed(stream.get("/Filter"))


def _listed(value: object) -> list[object]:
    """A value that may stand alone or in an array, as a list."""
    value = _value(value)
    if isinstance(value, ArrayObject):
        return [_value(part) for part in value]
    return [] if value is None or isinstance(value, NullObject) else [value]


def _value(value: object) -> object:
    """What a reference leads to."""
    return value.get_object() if isinstance(value, PdfObject) else value


def _dictionary(value: object) -> DictionaryObject:
    """The dictionary behind a value; an empty one for anything else."""
    found = _value(value)
    return found if isinstance(found, DictionaryObject) else DictionaryObject()


def _extent(picture: StreamObject) -> tuple[int, int]:
    """Columns and rows; none for what is no number."""
    sides = [_value(picture.get(key)) for key in ("/Width", "/Height")]
    width, height = (side if isinstance(side, int) and side > 0 else 0 for side in sides)
    return width, height


def _area(picture: StreamObject) -> int:
    """Pixels."""
    width, height = _extent(picture)
    return width * height


def _reduction(picture: StreamObject, side: int) -> int:
    """How many times smaller a picture may be: 8, 4, 2, or 1."""
    least = min(_extent(picture))
    return next((times for times in (8, 4, 2) if least // times >= side), 1)


def _samples(picture: StreamObject, side: int) -> _Samples | None:
    """The reduced picture; None for a JPEG that is broken or that PDFium may take otherwise."""
    try:
        data: bytes | None = picture._data
        if len(_filters(picture)) == 2:
            data = decoded_ascii85(picture._data)
        if data is None:
            return None
        header = jpeg_header(data)
        if not _is_plain(header, _extent(picture), _components(picture)):
            return None
        times = _reduction(picture, side)
        width, height = (length // times for length in header.stored)
        with reading("a picture"):
            image: Image.Image = pillow_jpeg(data)
            image.draft(None, (width, height))
        if isinstance(image, ImageFile):
            image.decodermaxblock = len(
                data
            )  # at one go: between pieces, a thread has to wait for the others
        image.load()  # outside of ``reading``, which one thread may enter at a time
        if image.mode != _MODES[len(header.components)]:
            return None
        if image.size != (width, height):  # the last blocks are not full
            box = (0, 0, header.stored[0] / times, header.stored[1] / times)
            image = image.resize((width, height), Image.Resampling.BILINEAR, box)
        return _Samples(width, height, image.tobytes())
    except Exception:  # whatever is wrong with it, the full way tells or bears it
        return None


def _is_plain(header: JpegHeader, stored: tuple[int, int], components: int) -> bool:
    """True for a JPEG of which Pillow and PDFium make the same colours."""
    bytes_held = header.stored[0] * header.stored[1] * 2 * components
    return (
        header.bits == 8
        and header.frame in _PLAIN_FRAMES
        and header.stored == stored
        and len(header.components) == components
        and header.adobe in ((None, 1) if header.jfif else (None, 0, 1))  # JFIF is never stored as RGB
        and not (header.frame == _PROGRESSIVE and bytes_held > MAX_MEMORY)
    )
