"""Decoded samples of a picture, band by band: the common source of PDF images and previews.

Pillow holds 8 bits a channel for colour. Files with 16 bits are decoded twice, once with a raw mode that
picks the high bytes and once with one that picks the low bytes, so nothing is lost.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Colour = Literal["gray", "rgb", "cmyk", "lab", "indexed"]
Bytes = NDArray[np.uint8]

Finish = Callable[[Bytes], tuple[Bytes, Bytes | None]]
"""Turns rows x columns x channels x bytes into colour and opacity."""

_BAND_BYTES = 4_000_000
"""Decoded bytes handled at a time: large against the call, small against the memory."""

COLOUR_CHANNELS: dict[Colour, int] = {"gray": 1, "indexed": 1, "rgb": 3, "lab": 3, "cmyk": 4}
"""Samples of a pixel, opacity not counted."""


class Band(NamedTuple):
    """Some whole rows."""

    top: int
    """First row."""
    colour: Bytes
    """Rows x columns x channels x bytes of a sample, high byte first."""
    alpha: Bytes | None
    """Rows x columns x bytes of a sample; 255 is opaque. None when all is opaque by nature."""


@dataclass(frozen=True)
class Samples:
    """A decoded picture as stored (a TIFF: as seen)."""

    width: int
    """Columns."""
    height: int
    """Rows."""
    colour: Colour
    """What the channels mean; ``lab`` has a* and b* offset by 128."""
    bits: int
    """Bits a sample needs: 1, 8 or 16."""
    has_alpha: bool
    """True when bands carry opacity."""
    palette: bytes
    """RGB triples for ``indexed``."""
    icc: bytes | None
    """Colour profile as found in the file."""
    planes: tuple[Image.Image, ...]
    """What Pillow decoded: one picture, or high and low bytes."""
    finish: Finish
    """What makes colour and opacity of the bytes."""

    def bands(self, multiple: int = 1) -> Iterator[Band]:
        """All rows from the top, a multiple of ``multiple`` rows at a time (fewer in the last)."""
        wanted = _BAND_BYTES // max(1, self.width * 4 * len(self.planes))
        step = max(1, wanted // multiple) * multiple
        for top in range(0, self.height, step):
            box = (0, top, self.width, min(self.height, top + step))
            parts = [_bytes_of(plane.crop(box)) for plane in self.planes]
            whole = parts[0] if len(parts) == 1 else np.concatenate(parts, axis=-1)
            yield Band(top, *self.finish(whole))


def _bytes_of(part: Image.Image) -> Bytes:
    """Rows x columns x channels x bytes of a sample."""
    width, height = part.size
    if part.mode == "1":
        return np.asarray(part, dtype=np.uint8).reshape(height, width, 1, 1) * np.uint8(255)
    if part.mode.startswith("I;16"):
        raw, channels, depth = part.tobytes("raw", "I;16B"), 1, 2
    else:
        raw, channels, depth = part.tobytes(), len(part.getbands()), 1
    return np.frombuffer(raw, np.uint8).reshape(height, width, channels, depth)
