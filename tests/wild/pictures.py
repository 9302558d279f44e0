"""A picture flat as Pillow alone shows it: upright, on white, at any place."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
from PIL import Image, ImageCms, ImageOps

from tests.tape_up import PIXELS_PER_MM, Pixels
from tiler.geometry import Rect

PLAIN = 0.2
"""Largest share that may differ in a picture whose colours every reader shows the same: small and
dithered pictures are enlarged here, which every reader does in its own way."""

COLOURED = 1.0
"""CMYK, Lab, 16 bits and profiles are shown differently by every reader: only the place is compared."""


def flat_by_pillow(path: Path, size: tuple[float, float]) -> tuple[Callable[[Rect], Pixels], float]:
    """Shows a part of the picture; with the share of a face that may differ.

    Args:
        path: The file.
        size: mm as seen.
    """
    Image.MAX_IMAGE_PIXELS = None
    with Image.open(path) as opened:
        if opened.mode.startswith(("I", "F")):
            raise ValueError("Pillow cuts 16 bits off instead of scaling them")
        plain = opened.mode in ("1", "L", "RGB", "P") and "icc_profile" not in opened.info
        plain = plain and "transparency" not in opened.info and opened.format in ("PNG", "JPEG", "WEBP")
        # an orientation in a text chunk, which some programs leave in a PNG, is no standard and nobody's duty
        told = "Raw profile type exif" not in opened.info
        profile = opened.info.get("icc_profile")
        upright = (ImageOps.exif_transpose(opened) if told else opened).convert("RGBA")
    whole = Image.alpha_composite(Image.new("RGBA", upright.size, "white"), upright).convert("RGB")
    if profile and opened.mode in ("RGB", "RGBA", "P"):
        with contextlib.suppress(ImageCms.PyCMSError):
            screen = ImageCms.createProfile("sRGB")
            whole = ImageCms.profileToProfile(whole, io.BytesIO(profile), screen) or whole
    kx, ky = whole.width / size[0], whole.height / size[1]

    def show(area: Rect) -> Pixels:
        pixels = (max(1, round(area.width * PIXELS_PER_MM)), max(1, round(area.height * PIXELS_PER_MM)))
        box = (area.x * kx, area.y * ky, area.right * kx, area.bottom * ky)
        fine = Image.Resampling.BILINEAR
        part = whole.transform(pixels, Image.Transform.EXTENT, box, fine, fillcolor="white")
        return np.asarray(part, np.int16)

    return show, PLAIN if plain else COLOURED
