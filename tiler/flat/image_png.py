"""What the chunks of a PNG say (W3C PNG specification, third edition)."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator
from typing import NamedTuple

from PIL import Image

from tiler.flat.image_exif import ExifFacts, exif_facts
from tiler.flat.image_flat import Density, Facts
from tiler.flat.image_guard import CutShortError, check_memory, check_pixels, reading
from tiler.flat.image_size import believable, stretch_of
from tiler.units import MM_PER_INCH

SIGNATURE = b"\x89PNG\r\n\x1a\n"

CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
"""Samples of a pixel by colour type: grey, RGB, palette, grey + alpha, RGB + alpha (PNG 11.2.1)."""

_BITS = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}

_PASSES = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))
"""Adam7: first column, first row, column step, row step of each pass (PNG 8.1)."""

_MAX_PROFILE = 16_000_000
"""Bytes of a colour profile; the largest printer profiles have a few million."""

_PIECE = 1 << 20


class PngHeader(NamedTuple):
    """The chunks that matter."""

    stored: tuple[int, int]
    """Columns and rows."""
    bits: int
    """Bits of a sample."""
    colour: int
    """Colour type 0, 2, 3, 4 or 6."""
    interlaced: bool
    """Adam7."""
    palette: bytes
    """RGB triples."""
    transparency: bytes | None
    """Body of tRNS."""
    icc: bytes | None
    """Colour profile."""
    physical: tuple[int, int, int] | None
    """pHYs: pixels per unit in x and y, unit (1 metre, 0 shape only)."""
    exif: ExifFacts
    """What its EXIF says."""
    pieces: tuple[memoryview, ...]
    """The compressed picture, cut as in the file."""

    @property
    def row_bytes(self) -> int:
        """Bytes of a stored row without its filter byte."""
        return self.bytes_of(self.stored[0])

    def bytes_of(self, columns: int) -> int:
        """Bytes that so many pixels take."""
        return (columns * CHANNELS[self.colour] * self.bits + 7) // 8


def _chunks(data: bytes) -> Iterator[tuple[bytes, memoryview]]:
    view, at = memoryview(data), len(SIGNATURE)
    while True:
        if len(data) < at + 12:
            raise CutShortError("no end chunk")
        length, kind = struct.unpack_from(">I4s", data, at)
        body = view[at + 8 : at + 8 + length]
        if len(data) < at + 12 + length:
            raise CutShortError(f"chunk {kind!r} ends early")
        if zlib.crc32(body, zlib.crc32(kind)) != struct.unpack_from(">I", data, at + 8 + length)[0]:
            raise ValueError(f"wrong checksum in chunk {kind.decode('latin-1')}")
        yield kind, body
        if kind == b"IEND":
            return
        at += 12 + length


def png_header(data: bytes) -> PngHeader:
    """Read all chunks.

    Raises:
        ValueError: They are damaged (``CutShortError`` when they end early).
    """
    found: dict[bytes, bytes] = {}
    pieces = []
    for kind, body in _chunks(data):
        if kind == b"IDAT":
            pieces.append(body)
        elif kind in (b"IHDR", b"PLTE", b"tRNS", b"iCCP", b"pHYs", b"eXIf"):
            found.setdefault(kind, bytes(body))
    across, down, bits, colour, method, filters, interlace = struct.unpack(">IIBBBBB", found[b"IHDR"])
    if bits not in _BITS.get(colour, ()) or method or filters or interlace > 1 or not pieces:
        raise ValueError("a header that the PNG specification does not know")
    palette = found.get(b"PLTE", b"") if colour == 3 else b""
    if colour == 3 and (not palette or len(palette) % 3 or len(palette) > 768):
        raise ValueError("no usable palette")
    physical = struct.unpack(">IIB", found[b"pHYs"]) if len(found.get(b"pHYs", b"")) == 9 else None
    return PngHeader(
        (across, down),
        bits,
        colour,
        bool(interlace),
        palette,
        found.get(b"tRNS") if colour in (0, 2, 3) else None,
        _profile(found.get(b"iCCP", b"")),
        physical,
        exif_facts(found.get(b"eXIf", b"")),
        tuple(pieces),
    )


def _profile(body: bytes) -> bytes | None:
    _, _, packed = body.partition(b"\0")
    try:
        unpacker = zlib.decompressobj()
        profile = unpacker.decompress(packed[1:], _MAX_PROFILE)
    except zlib.error:
        return None
    return profile if unpacker.eof else None


def png_facts(data: bytes, name: str) -> Facts:
    """What the PNG says about itself; it is unpacked once, in pieces, to prove that it is whole.

    Raises:
        FlatError: The file is damaged, cut short or too large.
    """
    with reading(name):
        header = png_header(data)
    check_pixels(name, header.stored)
    check_memory(name, header.stored, _memory(header))
    with reading(name):
        _check_whole(header)
    density, stretch, notes = _density(header)
    return Facts(header.stored, 1, header.exif.orientation, density, stretch, (*notes, *header.exif.warnings))


def _density(header: PngHeader) -> tuple[Density | None, float, tuple[str, ...]]:
    """The word of pHYs first (PNG 11.3.4.3), else EXIF's."""
    x, y, unit = header.physical or (0, 0, 0)
    density = believable(x * MM_PER_INCH / 1000, y * MM_PER_INCH / 1000) if unit == 1 else None
    if density is None and header.exif.density:
        return header.exif.density, stretch_of(*header.exif.density), header.exif.doubts
    return density, stretch_of(x, y), ()


def _unpacked(header: PngHeader) -> Iterator[bytes]:
    """The filtered rows in pieces of at most a megabyte."""
    unpacker = zlib.decompressobj()
    for piece in header.pieces:
        packed: bytes | memoryview = piece
        while packed and not unpacker.eof:
            yield unpacker.decompress(packed, _PIECE)
            packed = unpacker.unconsumed_tail
    while not unpacker.eof and (rest := unpacker.decompress(b"", _PIECE)):
        yield rest
    if not unpacker.eof:
        raise CutShortError("the compressed picture ends early")


def _memory(header: PngHeader) -> int:
    """Bytes that Pillow keeps for a pixel; 16-bit colour is decoded twice, see ``image_samples``."""
    wide = header.bits == 16
    if header.colour in (0, 3):
        return 2 if wide else 1
    return 8 if wide and header.colour != 4 else 4


def _check_whole(header: PngHeader) -> None:
    stride, done = header.row_bytes + 1, 0
    for piece in _unpacked(header):
        # PNG 9.2: filters 0 to 4; interlaced rows differ in length and are judged when decoded
        if not header.interlaced and max(piece[-done % stride :: stride], default=0) > 4:
            raise ValueError("a row has an unknown filter")
        done += len(piece)
        if done >= _expected(header):
            return  # what follows is not shown by anyone
    if done < _expected(header):
        raise CutShortError("rows are missing")


def _expected(header: PngHeader) -> int:
    across, down = header.stored
    if not header.interlaced:
        return (header.row_bytes + 1) * down
    total = 0
    for x, y, step_x, step_y in _PASSES:
        columns, rows = -(-(across - x) // step_x), -(-(down - y) // step_y)
        if columns > 0 and rows > 0:
            total += rows * (header.bytes_of(columns) + 1)
    return total


def pillow_png(header: PngHeader) -> Image.Image:
    """The PNG opened by Pillow, reduced to the chunks that make the picture."""
    kind = struct.pack(">IIBBBBB", *header.stored, header.bits, header.colour, 0, 0, int(header.interlaced))
    chunks: list[tuple[bytes, bytes | memoryview]] = [(b"IHDR", kind)]
    chunks += [(b"PLTE", header.palette)] if header.palette else []
    chunks += [(b"IDAT", piece) for piece in header.pieces]
    out = io.BytesIO()
    out.write(SIGNATURE)
    for name, body in (*chunks, (b"IEND", b"")):
        out.write(struct.pack(">I", len(body)) + name)
        out.write(body)
        out.write(struct.pack(">I", zlib.crc32(body, zlib.crc32(name))))
    out.seek(0)
    return Image.open(out, formats=["PNG"])
