"""A picture flat as pixels, for previews and for finding ink."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image, ImageCms

from tiler.flat.image_decode import jpeg_samples, samples_of
from tiler.flat.image_flat import ImageFlat
from tiler.flat.image_guard import reading
from tiler.flat.image_samples import Band, Samples

_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What makes a stored picture upright, by EXIF orientation; Pillow's turns are counter-clockwise."""

_MODES = {"gray": "L", "indexed": "RGB", "rgb": "RGB", "cmyk": "CMYK", "lab": "LAB"}


def picture(flat: ImageFlat) -> Image.Image:
    """The whole picture upright, mode RGB, on white, with all its pixels.

    Raises:
        FlatError: It cannot be decoded.
    """
    return _drawn(flat, flat.pixels)


def thumbnail(flat: ImageFlat, px_per_mm: float) -> Image.Image:
    """The picture upright, mode RGB, on white, with square pixels of 1 / ``px_per_mm`` mm.

    The result has ``round(mm x px_per_mm)`` pixels each way, at least one.

    Raises:
        FlatError: It cannot be decoded.
    """
    across, down = (max(1, round(side * px_per_mm)) for side in flat.size)
    return _drawn(flat, (across, down))


def _drawn(flat: ImageFlat, seen: tuple[int, int]) -> Image.Image:
    upright = flat.format == "tiff"  # Pillow turns it while decoding
    target = seen[::-1] if flat.orientation >= 5 and not upright else seen
    whole = flat.pixels if upright else flat.stored
    with reading(flat.path.name):
        samples = jpeg_samples(flat.data, target) if flat.format == "jpeg" else samples_of(flat)
        shown = _shown(_reduced(samples, whole, target), samples.icc)
        turn = None if upright else _TURNS.get(flat.orientation)
        return shown if turn is None else shown.transpose(turn)


def _reduced(samples: Samples, whole: tuple[int, int], target: tuple[int, int]) -> Image.Image:
    """Box-average the bands to ``target``; a JPEG read at 1/8 has an edge that is only partly picture."""
    factor = max(1, min(samples.width // target[0], samples.height // target[1]))
    small = Image.new(_MODES[samples.colour], (-(-samples.width // factor), -(-samples.height // factor)))
    for band in samples.bands(factor):
        part = _opaque(band, samples)
        small.paste(part.reduce(factor) if factor > 1 else part, (0, band.top // factor))
    drafted = round(whole[0] / samples.width) or 1
    box = (
        0,
        0,
        min(small.width, whole[0] / drafted / factor),
        min(small.height, whole[1] / drafted / factor),
    )
    if small.size == target:
        return small
    return small.resize(target, Image.Resampling.BOX, box=box)


def _opaque(band: Band, samples: Samples) -> Image.Image:
    """The band with 8 bits a channel on white paper."""
    colour = band.colour[..., 0]  # the high bytes
    if samples.colour == "indexed":
        colours = np.frombuffer(samples.palette, np.uint8).reshape(-1, 3)
        colour = colours[np.minimum(colour[:, :, 0], len(colours) - 1)]
    height, width, _ = colour.shape
    mode = _MODES[samples.colour]
    raw = np.ascontiguousarray(colour ^ np.array([0, 128, 128], np.uint8) if mode == "LAB" else colour)
    part = Image.frombytes(mode, (width, height), raw.tobytes())
    if band.alpha is None:
        return part
    cover = np.ascontiguousarray(band.alpha[:, :, 0])
    return Image.composite(
        part, Image.new(mode, part.size, "white"), Image.frombytes("L", part.size, cover.tobytes())
    )


def _shown(image: Image.Image, icc: bytes | None) -> Image.Image:
    """In sRGB: by the file's colour profile when it has a usable one."""
    source = io.BytesIO(icc) if icc else ImageCms.createProfile("LAB") if image.mode == "LAB" else None
    try:
        changed = None
        if source is not None:
            screen = ImageCms.createProfile("sRGB")
            changed = ImageCms.profileToProfile(image, source, screen, outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        changed = None
    if changed is not None:
        return changed
    # A Lab picture with a profile that does not fit shows its lightness alone.
    return (image.getchannel("L") if image.mode == "LAB" else image).convert("RGB")
