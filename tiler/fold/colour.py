"""Colours as people see them: CIE Lab out of screen colours, and the difference CIEDE2000.

Sources: IEC 61966-2-1 (sRGB), ISO/CIE 11664-4 (Lab), ISO/CIE 11664-6 (CIEDE2000).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from tiler.fold.rigid import Array

_TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
"""Linear sRGB to CIE XYZ, white D65."""
_WHITE = _TO_XYZ.sum(axis=1)
_LINEAR_BELOW = 216 / 24389
_SLOPE = 24389 / 27
_POW7 = 25.0**7


def lab_of(rgb: npt.NDArray[np.uint8] | Array) -> Array:
    """CIE Lab of sRGB colours of 0 to 255; n × 3 in, n × 3 out."""
    share = np.asarray(rgb, dtype=np.float64) / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    xyz = linear @ _TO_XYZ.T / _WHITE
    f = np.where(xyz > _LINEAR_BELOW, np.cbrt(xyz), (_SLOPE * xyz + 16) / 116)
    return np.stack(
        [116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1
    )


def ciede2000(first: Array, second: Array) -> Array:
    """The difference CIEDE2000 between Lab colours, all weights 1; n × 3 in, n out."""
    l1, a1, b1 = np.moveaxis(np.asarray(first, dtype=np.float64), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(second, dtype=np.float64), -1, 0)
    mean7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(mean7 / (mean7 + _POW7))
    c1, c2 = np.hypot(a1 * stretch, b1), np.hypot(a2 * stretch, b2)
    h1 = np.degrees(np.arctan2(b1, a1 * stretch)) % 360
    h2 = np.degrees(np.arctan2(b2, a2 * stretch)) % 360
    grey = c1 * c2 == 0
    turn = np.where(grey, 0.0, (h2 - h1 + 180) % 360 - 180)
    turn = np.where(turn == -180, np.where(h2 - h1 > 0, 180.0, -180.0), turn)
    hue = np.where(grey, h1 + h2, _mean_hue(h1, h2))
    dl, dc, dh = l2 - l1, c2 - c1, 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn) / 2)
    return _weighed(dl, dc, dh, (l1 + l2) / 2, (c1 + c2) / 2, hue)


def _mean_hue(h1: Array, h2: Array) -> Array:
    """The hue halfway, degrees, the shorter way round."""
    total = h1 + h2
    apart = np.abs(h1 - h2) > 180
    result: Array = np.where(~apart, total, np.where(total < 360, total + 360, total - 360)) / 2
    return result


def _weighed(dl: Array, dc: Array, dh: Array, lightness: Array, chroma: Array, hue: Array) -> Array:
    """The formula's sum, with its weights for lightness, chroma, hue and the blue corner."""

    def wave(times: float, shift: float) -> Array:
        result: Array = np.cos(np.radians(times * hue + shift))
        return result

    t = 1 - 0.17 * wave(1, -30) + 0.24 * wave(2, 0) + 0.32 * wave(3, 6) - 0.20 * wave(4, -63)
    off = (lightness - 50) ** 2
    sl = 1 + 0.015 * off / np.sqrt(20 + off)
    sc, sh = 1 + 0.045 * chroma, 1 + 0.015 * chroma * t
    rc = 2 * np.sqrt(chroma**7 / (chroma**7 + _POW7))
    rt = -rc * np.sin(np.radians(60 * np.exp(-(((hue - 275) / 25) ** 2))))
    light, chrome, tint = dl / sl, dc / sc, dh / sh
    squares = light * light + chrome * chrome + tint * tint + rt * chrome * tint
    result: Array = np.sqrt(np.maximum(0.0, squares))
    return result
