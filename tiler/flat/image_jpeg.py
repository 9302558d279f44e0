"""What the header of a JPEG says (ITU-T T.81 annex B, JFIF 1.02, Exif 2.32)."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator
from typing import NamedTuple

from PIL import Image

from tiler.errors import FlatError
from tiler.flat.image_exif import ExifFacts, exif_facts
from tiler.flat.image_flat import Density, Facts
from tiler.flat.image_guard import CutShortError, check_memory, check_pixels, reading
from tiler.flat.image_size import believable, stretch_of
from tiler.units import MM_PER_INCH

_START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9
_FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
"""Start-of-frame markers; the three left out are tables (T.81 table B.1)."""

_PLAIN_FRAMES = {0xC0, 0xC1, 0xC2}
"""Baseline, extended and progressive, Huffman-coded: what a PDF reader decodes (ISO 32000-2, 7.4.8)."""

_PROGRESSIVE = 0xC2

_KINDS = {0xC3: "lossless", 0xC9: "arithmetic-coded", 0xCA: "arithmetic-coded", 0xCB: "lossless"}


class JpegHeader(NamedTuple):
    """The markers before the first scan."""

    frame: int
    """Start-of-frame marker, low byte."""
    bits: int
    """Bits of a sample."""
    stored: tuple[int, int]
    """Columns and rows."""
    components: bytes
    """Component identifiers, one byte each."""
    jfif: tuple[int, int, int] | None
    """Unit, x and y density of APP0, None without it."""
    adobe: int | None
    """Colour transform of Adobe's APP14, None without it."""
    exif: ExifFacts
    """What its EXIF says."""
    icc: bytes | None
    """Colour profile, whole."""
    scan: int
    """Offset of the first start-of-scan marker."""


def _segments(data: bytes) -> Iterator[tuple[int, int, bytes]]:
    """Marker, offset and body of each segment up to the first scan."""
    at = 2
    while True:
        while data[at : at + 1] == b"\xff" and data[at + 1 : at + 2] == b"\xff":
            at += 1  # T.81 B.1.1.2: any marker may be preceded by fill bytes
        if len(data) < at + 4:
            raise CutShortError("the header ends early")
        mark, marker, length = struct.unpack_from(">BBH", data, at)
        if mark != 0xFF or length < 2:
            raise ValueError("no marker where one belongs")
        if len(data) < at + 2 + length:
            raise CutShortError("the header ends early")
        yield marker, at, data[at + 4 : at + 2 + length]
        if marker in (_START_OF_SCAN, _END_OF_IMAGE):
            return
        at += 2 + length


def jpeg_header(data: bytes) -> JpegHeader:
    """Read the header.

    Raises:
        ValueError: It is damaged (``CutShortError`` when it ends early).
    """
    frame, jfif, adobe, scan = None, None, None, 0
    exif, profile = b"", []
    for marker, offset, body in _segments(data):
        if marker in _FRAMES and frame is None:
            frame = (marker, *struct.unpack_from(">BHHB", body), body[6::3])
        elif marker == 0xE0 and body.startswith(b"JFIF\0") and len(body) >= 12:
            jfif = struct.unpack_from(">BHH", body, 7)
        elif marker == 0xE1 and body.startswith(b"Exif\0") and not exif:
            exif = body
        elif marker == 0xE2 and body.startswith(b"ICC_PROFILE\0"):
            profile.append((body[12], body[13], body[14:]))
        elif marker == 0xEE and body.startswith(b"Adobe") and len(body) >= 12:
            adobe = body[11]
        scan = offset
    if frame is None:
        raise ValueError("no frame header")
    kind, bits, rows, columns, count, ids = frame
    icc = _joined(profile)
    return JpegHeader(kind, bits, (columns, rows), ids[:count], jfif, adobe, exif_facts(exif), icc, scan)


def _joined(profile: list[tuple[int, int, bytes]]) -> bytes | None:
    """The colour profile from its numbered pieces (ICC.1, B.4), None when one is missing."""
    pieces = sorted(profile)
    if [number for number, _, _ in pieces] != list(range(1, len(pieces) + 1)):
        return None
    whole = pieces and all(total == len(pieces) for _, total, _ in pieces)
    return b"".join(piece for _, _, piece in pieces) if whole else None


def jpeg_facts(data: bytes, name: str) -> Facts:
    """What the JPEG says about itself; its scans are decoded once at 1 : 8 to prove that they are whole.

    Raises:
        FlatError: The file is damaged, cut short, too large, or of a kind that PDF readers cannot show.
    """
    with reading(name):
        header = jpeg_header(data)
    _check_kind(name, header)
    check_pixels(name, header.stored)
    if header.frame == _PROGRESSIVE:  # its coefficients, 16 bits each, are held until the last scan
        check_memory(name, header.stored, 2 * len(header.components))
    with reading(name), pillow_jpeg(data) as picture:
        picture.draft(None, (max(1, header.stored[0] // 8), max(1, header.stored[1] // 8)))
        picture.load()
    density, stretch, notes = _density(header)
    return Facts(header.stored, 1, header.exif.orientation, density, stretch, (*notes, *header.exif.warnings))


def pillow_jpeg(data: bytes) -> Image.Image:
    """The JPEG opened by Pillow, without the metadata that it might stumble over or act upon."""
    bare = [b"\xff\xd8"]
    header_end = 2
    for marker, offset, body in _segments(data):
        if marker == _START_OF_SCAN:
            header_end = offset
        elif marker in (0xE0, 0xEE) or marker < 0xE0:  # JFIF, Adobe and the tables
            bare.append(data[offset : offset + 4 + len(body)])
    return Image.open(io.BytesIO(b"".join([*bare, memoryview(data)[header_end:]])), formats=["JPEG"])


def _check_kind(name: str, header: JpegHeader) -> None:
    kind = ""
    if header.bits != 8:
        kind = f"{header.bits}-bit"
    elif header.frame not in _PLAIN_FRAMES:
        kind = _KINDS.get(header.frame, "hierarchical or otherwise unusual")
    elif len(header.components) not in (1, 3, 4):
        kind = f"{len(header.components)}-channel"
    if kind:
        raise FlatError(
            f"{name} is a JPEG of a kind that PDF readers cannot show ({kind})",
            "save it as an ordinary 8-bit JPEG, PNG or TIFF",
        )


def _density(header: JpegHeader) -> tuple[Density | None, float, tuple[str, ...]]:
    """JFIF's word first, else EXIF's (JFIF 1.02: unit 0 is shape only, 1 inch, 2 centimetre)."""
    unit, x, y = header.jfif or (0, 0, 0)
    per_inch = {1: 1.0, 2: MM_PER_INCH / 10}.get(unit)
    density = believable(x * per_inch, y * per_inch) if per_inch else None
    exif = header.exif.density
    if density is None:
        return exif, stretch_of(*(exif or (x, y))), header.exif.doubts if exif else ()
    if exif and (abs(exif.x / density.x - 1) > 0.01 or abs(exif.y / density.y - 1) > 0.01):
        note = f"the file names two resolutions, {density.x:g} and {exif.x:g} ppi; {density.x:g} is taken"
        return density, stretch_of(*density), (note,)
    return density, stretch_of(*density), ()
