"""A raster that looks like a photograph: a lamp in the mist of a marsh at dusk (numpy, Pillow)."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

Field = npt.NDArray[np.float64]


def _noise(dice: np.random.Generator, width: int, height: int, cell: int) -> Field:
    """Return smooth noise of 0 to 1 with features about `cell` pixels wide."""
    small = dice.random((height // cell + 3, width // (cell * 4) + 3))
    image = Image.fromarray((small * 255).astype(np.uint8), "L")
    big = image.resize((width, height), Image.Resampling.BICUBIC)
    return np.asarray(big, dtype=np.float64) / 255


def _blend(below: Field, colour: tuple[int, int, int], cover: Field) -> Field:
    """Return the picture with a colour laid over it, cover 0 to 1 per pixel."""
    return below + (np.array(colour, dtype=np.float64) - below) * cover[..., None]


def _sky_and_water(width: int, height: int, horizon: int) -> Field:
    """Return the empty scene: dusk above, its reflection below."""
    stops = [0.0, 0.35, 0.62, 0.8, 1.0]
    tones = np.array(
        [[14, 34, 60], [38, 82, 118], [104, 142, 166], [206, 176, 158], [244, 188, 132]], dtype=float
    )
    ramp = np.linspace(0, 1, horizon)
    above = np.stack([np.interp(ramp, stops, tones[:, i]) for i in range(3)], axis=1)
    depth = np.linspace(1, 0.0, height - horizon) ** 1.25
    below = np.stack([np.interp(depth, stops, tones[:, i]) for i in range(3)], axis=1) * 0.82
    column = np.concatenate([above, below])
    return np.repeat(column[:, None, :], width, axis=1)


def _trees(dice: np.random.Generator, width: int, height: int, foot: int, rise: float) -> Field:
    """Return the soft cover of a far line of trees standing on `foot`."""
    x = np.arange(width) / width
    top = sum(
        dice.uniform(0.3, 1) * np.sin(2 * np.pi * (f * x + dice.random())) / f**0.6
        for f in (1.3, 2.9, 6.1, 13.0, 29.0, 57.0)
    )
    line = foot - rise * (0.55 + 0.22 * top)
    y = np.arange(height)[:, None]
    cover: Field = np.clip((y - line) / (height * 0.012), 0, 1) * (y <= foot)
    return cover


def _reeds(dice: np.random.Generator, width: int, height: int) -> Field:
    """Return the cover of blurred foreground reeds at both sides."""
    image = Image.new("L", (width, height))
    draw = ImageDraw.Draw(image)
    for _ in range(90):
        side = dice.random() < 0.6
        x = dice.random() ** 1.6 * 0.3 * width
        x = x if side else width - x * 0.8
        tall, lean = height * dice.uniform(0.25, 0.85), dice.normal(0.02, 0.05) * width
        thick = int(width * dice.uniform(0.001, 0.0028)) + 1
        steps = np.linspace(0, 1, 12)
        points = [(x + lean * t * t, height - tall * t) for t in steps]
        draw.line(points, fill=255, width=thick)
        if dice.random() < 0.14:
            (x1, y1), (x2, y2) = points[-2], points[-3]
            draw.line([(x1, y1), (x2, y2)], fill=255, width=thick * 4)
    soft = image.filter(ImageFilter.GaussianBlur(width / 1500))
    return np.asarray(soft, dtype=np.float64) / 255


def _light(width: int, height: int, at: tuple[float, float], reach: float) -> Field:
    """Return the fall of light round a point, 1 at its heart."""
    y, x = np.mgrid[0:height, 0:width]
    away = np.hypot(x - at[0] * width, (y - at[1] * height) * 1.0) / (reach * width)
    fall: Field = np.exp(-((away * 2.2) ** 0.9))
    return fall


def _lamp(width: int, height: int, at: tuple[float, float]) -> Field:
    """Return the dark cover of the lamp's body on its post."""
    image = Image.new("L", (width, height))
    draw = ImageDraw.Draw(image)
    x, y, k = at[0] * width, at[1] * height, width / 100
    draw.rectangle([x - 0.55 * k, y + 3.3 * k, x + 0.55 * k, y + 17 * k], fill=255)
    draw.polygon(
        [
            (x - 1.9 * k, y + 2 * k),
            (x + 1.9 * k, y + 2 * k),
            (x + 2.4 * k, y + 3.4 * k),
            (x - 2.4 * k, y + 3.4 * k),
        ],
        fill=255,
    )
    draw.polygon(
        [
            (x - 1.7 * k, y - 2 * k),
            (x + 1.7 * k, y - 2 * k),
            (x + 0.6 * k, y - 3.5 * k),
            (x - 0.6 * k, y - 3.5 * k),
        ],
        fill=255,
    )
    draw.arc([x - 1.8 * k, y - 6.6 * k, x + 1.8 * k, y - 2.4 * k], 0, 360, fill=255, width=int(0.28 * k) + 1)
    for dx in (-1.6, 0.0, 1.6):
        draw.line([(x + dx * k, y - 2 * k), (x + dx * k, y + 2 * k)], fill=170, width=int(0.16 * k) + 1)
    soft = image.filter(ImageFilter.GaussianBlur(width / 2200))
    return np.asarray(soft, dtype=np.float64) / 255


def marsh_photo(width: int, height: int, seed: int = 11) -> Image.Image:
    """Return the picture as CMYK, `width` x `height` pixels; the same pixels for the same seed."""
    dice = np.random.default_rng(seed)
    horizon = int(height * 0.56)
    scene = _sky_and_water(width, height, horizon)
    for rise, shade, mist in (
        (0.26, (128, 142, 150), 0.55),
        (0.19, (84, 104, 116), 0.7),
        (0.1, (44, 62, 72), 0.85),
    ):
        cover = _trees(dice, width, height, horizon, rise * height)
        scene = _blend(scene, shade, cover * mist)
        scene[horizon:] = _blend(
            scene[horizon:], shade, cover[: horizon + 1][::-1][: height - horizon] * mist * 0.55
        )
    rows = np.arange(height)[:, None] / height
    fog = np.exp(-(((rows - 0.57) / 0.09) ** 2)) * (
        0.35 + 0.6 * _noise(dice, width, height, height // 14 + 1)
    )
    scene = _blend(scene, (222, 204, 190), np.clip(fog, 0, 0.86))
    at = (0.62, 0.5)
    for reach, colour, power in (
        (0.3, (255, 176, 84), 0.62),
        (0.12, (255, 206, 128), 0.9),
        (0.035, (255, 246, 214), 1.0),
    ):
        scene = _blend(scene, colour, _light(width, height, at, reach) * power)
    x = np.arange(width)[None, :] / width
    wobble = 0.012 * (_noise(dice, width, height, max(height // 160, 2)) - 0.5) * 4
    streak = (
        np.exp(-(((x - at[0] + wobble) / 0.016) ** 2))
        * np.clip((rows - 0.62) * 6, 0, 1)
        * np.clip(1.25 - rows, 0, 1)
    )
    scene = _blend(scene, (255, 198, 112), np.clip(streak, 0, 0.8))
    scene = _blend(scene, (20, 24, 26), _lamp(width, height, at) * 0.92)
    scene = _blend(scene, (14, 24, 30), _reeds(dice, width, height) * 0.94)
    scene += dice.normal(0, 2.2, (height, width, 1))
    return to_cmyk(np.clip(scene, 0, 255) / 255)


def to_cmyk(rgb: Field) -> Image.Image:
    """Return a plain (uncalibrated) separation of an RGB picture of 0 to 1, with moderate black."""
    cmy = 1 - rgb
    black = np.clip(cmy.min(axis=2) - 0.1, 0, 1) * 0.9
    colour = (cmy - black[..., None]) / np.maximum(1 - black[..., None], 1e-6)
    plates = np.concatenate([colour, black[..., None]], axis=2)
    return Image.fromarray((np.clip(plates, 0, 1) * 255 + 0.5).astype(np.uint8), "CMYK")
