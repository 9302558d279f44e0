"""Picture data in the form in which a PDF image holds them (ISO 32000-2, 8.9.5)."""

from __future__ import annotations

import zlib
from dataclasses import dataclass, field

import numpy as np

from tiler.flat.image_decode import samples_of
from tiler.flat.image_flat import ImageFlat
from tiler.flat.image_guard import reading
from tiler.flat.image_jpeg import jpeg_header
from tiler.flat.image_png import CHANNELS, PngHeader, png_header
from tiler.flat.image_samples import Bytes, Colour, Samples

_LEVEL = 6
"""zlib's own default: beyond it time grows far more than the gain."""


@dataclass(frozen=True)
class Plane:
    """One PDF image: encoded samples and what they mean."""

    width: int
    """Columns."""
    height: int
    """Rows."""
    colour: Colour
    """Meaning of the channels."""
    bits: int
    """BitsPerComponent."""
    data: bytes = field(repr=False)
    """Encoded samples."""
    filter: str = "FlateDecode"
    """PDF filter of the data."""
    parms: tuple[tuple[str, int], ...] = ()
    """DecodeParms."""
    inverted: bool = False
    """True when stored ink values count down (Adobe's CMYK JPEG)."""
    palette: bytes = b""
    """RGB triples for ``indexed``."""
    icc: bytes | None = None
    """Colour profile as found in the file."""
    alpha: Plane | None = None
    """Opacity, a grey plane."""


def plane_of(flat: ImageFlat) -> Plane:
    """The picture's samples: copied as they are where a PDF can hold them so, else packed without loss.

    Raises:
        FlatError: They cannot be decoded.
    """
    with reading(flat.path.name):
        if flat.format == "jpeg":
            return _jpeg_plane(flat.data)
        if flat.format == "png":
            header = png_header(flat.data)
            if not header.interlaced and header.colour in (0, 2, 3) and header.transparency is None:
                return _png_plane(header)
        return _packed(samples_of(flat))


def _jpeg_plane(data: bytes) -> Plane:
    header = jpeg_header(data)
    colours: dict[int, Colour] = {1: "gray", 3: "rgb", 4: "cmyk"}
    colour = colours[len(header.components)]
    # Without JFIF or Adobe marker, components named R, G, B are just that (libjpeg's rule); PDF readers
    # would take three channels for YCbCr (ISO 32000-2, table 13).
    plain = header.jfif is None and header.adobe is None and header.components == b"RGB"
    return Plane(
        *header.stored,
        colour,
        8,
        data,
        "DCTDecode",
        (("ColorTransform", 0),) if plain else (),
        inverted=colour == "cmyk" and header.adobe is not None,
        icc=header.icc,
    )


def _png_plane(header: PngHeader) -> Plane:
    """PNG's compressed rows are what FlateDecode with a PNG predictor reads (ISO 32000-2, 7.4.4.4)."""
    colours: dict[int, Colour] = {0: "gray", 2: "rgb", 3: "indexed"}
    parms = (
        ("Predictor", 15),
        ("Colors", CHANNELS[header.colour]),
        ("BitsPerComponent", header.bits),
        ("Columns", header.stored[0]),
    )
    data = b"".join(header.pieces)
    colour = colours[header.colour]
    return Plane(
        *header.stored, colour, header.bits, data, parms=parms, palette=header.palette, icc=header.icc
    )


def _packed(samples: Samples) -> Plane:
    """Compress band by band, so that only Pillow's picture and the result are held whole."""
    colour, alpha = zlib.compressobj(_LEVEL), zlib.compressobj(_LEVEL)
    colour_out, alpha_out, opaque, alpha_bits = [], [], True, 8
    for band in samples.bands():
        colour_out.append(colour.compress(_rows(band.colour, samples.bits)))
        if band.alpha is not None:
            opaque = opaque and bool((band.alpha == 255).all())
            alpha_bits = 8 * band.alpha.shape[-1]
            alpha_out.append(alpha.compress(band.alpha.tobytes()))
    mask = None
    if not opaque:
        packed = b"".join([*alpha_out, alpha.flush()])
        mask = Plane(samples.width, samples.height, "gray", alpha_bits, packed)
    return Plane(
        samples.width,
        samples.height,
        samples.colour,
        samples.bits,
        b"".join([*colour_out, colour.flush()]),
        palette=samples.palette,
        icc=samples.icc,
        alpha=mask,
    )


def _rows(colour: Bytes, bits: int) -> bytes:
    if bits == 1:  # each row starts on a whole byte (ISO 32000-2, 8.9.5.2)
        return np.packbits(colour[:, :, 0, 0], axis=1).tobytes()
    return colour.tobytes()
