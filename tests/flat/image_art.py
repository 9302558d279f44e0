"""Pictures made for the tests, PDFs around them and what PDFium shows of those."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from PIL import Image
from pypdf import PdfWriter
from pypdf.generic import DictionaryObject, NameObject, StreamObject

from tiler.flat.image import ImageFlat, add_form, read_image

WIDE, HIGH = 40, 24
Pixels = NDArray[Any]


def art() -> Image.Image:
    """Slow ramps with four different corners, so that no turn or flip looks like another."""
    y, x = np.mgrid[0:HIGH, 0:WIDE]
    red, green = x * 255 // (WIDE - 1), y * 255 // (HIGH - 1)
    blue = np.where((x < WIDE // 2) & (y < HIGH // 2), 220, 30)
    return Image.fromarray(np.stack([red, green, blue], axis=-1).astype(np.uint8), "RGB")


def saved(image: Image.Image, kind: str, **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def flat_of(data: bytes, page: int = 1) -> ImageFlat:
    """At 72 ppi a pixel is a point, so a rendering at 72 ppi shows pixel on pixel."""
    return read_image(Path("art.bin"), data, page, 72, None)


def pdf_of(flat: ImageFlat) -> bytes:
    writer = PdfWriter()
    page = writer.add_blank_page(flat.pixels[0], flat.pixels[1])
    form = add_form(flat, writer)
    xobjects = DictionaryObject({NameObject("/F"): form})
    page[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): xobjects})
    content = StreamObject()
    content._data = b"/F Do"
    page[NameObject("/Contents")] = writer._add_object(content)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def rendered(pdf: bytes) -> Pixels:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return np.asarray(document[0].render(scale=1).to_pil().convert("RGB"), dtype=int)
    finally:
        document.close()


def apart(one: Any, other: Any) -> int:
    first, second = np.asarray(one, dtype=int), np.asarray(other, dtype=int)
    assert first.shape == second.shape
    return int(np.abs(first - second).max())


def png(
    samples: Pixels, colour: int, bits: int, *chunks: tuple[bytes, bytes], interlaced: bool = False
) -> bytes:
    """A PNG by hand: rows x columns x channels, written as the specification says, filter 0."""
    height, width = samples.shape[:2]
    kind = ">u2" if bits == 16 else "u1"
    # Adam7 (PNG 8.1): first column and row, then column and row steps of each pass
    passes = [
        (0, 0, 8, 8),
        (4, 0, 8, 8),
        (0, 4, 4, 8),
        (2, 0, 4, 4),
        (0, 2, 2, 4),
        (1, 0, 2, 2),
        (0, 1, 1, 2),
    ]
    parts = [samples[y::dy, x::dx] for x, y, dx, dy in passes] if interlaced else [samples]
    packed = b"".join(b"\0" + row.astype(kind).tobytes() for part in parts for row in part)
    header = struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, int(interlaced))
    body = [(b"IHDR", header), (b"IDAT", zlib.compress(packed)), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in body
    )


def tiff(
    samples: Pixels, photometric: int, order: str, packed: bool, bits: int = 16, extra: int = -1
) -> bytes:
    """A one-strip TIFF by hand (TIFF 6.0), of 16 bits a sample, raw or deflated."""
    height, width, channels = samples.shape
    strip = samples.astype(f"{order}u2").tobytes()
    strip = zlib.compress(strip) if packed else strip
    shorts = struct.pack(f"{order}{channels}H", *[bits] * channels)
    at = 8 + len(strip) + len(strip) % 2
    inline = channels <= 2
    entries = [
        (256, 3, 1, width), (257, 3, 1, height), (258, 3, channels, at),
        (259, 3, 1, 8 if packed else 1), (262, 3, 1, photometric), (273, 4, 1, 8),
        (277, 3, 1, channels), (278, 3, 1, height), (279, 4, 1, len(strip)),
    ]  # fmt: skip
    entries += [(338, 3, 1, extra)] if extra >= 0 else []
    ifd = struct.pack(f"{order}H", len(entries))
    for tag, kind, count, value in entries:
        if tag == 258 and inline:
            body = shorts.ljust(4, b"\0")
        else:
            body = (
                struct.pack(f"{order}HH", value, 0)
                if kind == 3 and count == 1
                else struct.pack(f"{order}I", value)
            )
        ifd += struct.pack(f"{order}HHI", tag, kind, count) + body
    head = (b"II*\0" if order == "<" else b"MM\0*") + struct.pack(f"{order}I", at + 8)
    return head + strip + b"\0" * (len(strip) % 2) + shorts.ljust(8, b"\0") + ifd + b"\0" * 4


def wide(channels: int) -> Pixels:
    """16-bit samples whose low bytes matter."""
    return np.random.default_rng(7).integers(0, 65536, (HIGH, WIDE, channels))
