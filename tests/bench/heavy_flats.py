"""Heavy flats for timing: 50 MB of photographs, and 200,000 painted paths in 11 MB."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import numpy as np
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from tests.bench.measure import ROOT
from tiler.units import POINTS_PER_MM

WIDTH, HEIGHT = 1000.0, 700.0
"""Extent of both flats, mm."""


def photographs(path: Path, columns: int = 4, rows: int = 3) -> Path:
    """A flat covered with JPEG pictures of smooth colour and grain, about 50 MB."""
    random = np.random.default_rng(1)
    size = (WIDTH * POINTS_PER_MM, HEIGHT * POINTS_PER_MM)
    canvas = Canvas(str(path), pagesize=size, invariant=1)
    width, height = size[0] / columns, size[1] / rows
    for index in range(columns * rows):
        coarse = random.integers(0, 255, (24, 32, 3), dtype=np.uint8)
        smooth = np.asarray(Image.fromarray(coarse).resize((3300, 3080), Image.Resampling.BICUBIC), np.int16)
        grainy = np.clip(smooth + random.normal(0, 8, smooth.shape), 0, 255).astype(np.uint8)
        jpeg = io.BytesIO()
        Image.fromarray(grainy).save(jpeg, "JPEG", quality=92)
        jpeg.seek(0)
        place = (index % columns * width, index // columns * height)
        canvas.drawImage(ImageReader(jpeg), *place, width, height)
    canvas.save()
    return path


def paths(path: Path, count: int = 200_000) -> Path:
    """A flat of small filled triangles, each painted by itself, in one uncompressed stream of about 11 MB."""
    random = np.random.default_rng(2)
    size = (WIDTH * POINTS_PER_MM, HEIGHT * POINTS_PER_MM)
    canvas = Canvas(str(path), pagesize=size, invariant=1, pageCompression=0)
    places = random.uniform(0, 1, (count, 2)) * size
    tints = random.integers(0, 10, (count, 2))
    lines = [
        f".{c} .{m} 0 0 k {x:.1f} {y:.1f} m {x + 6:.1f} {y:.1f} l {x + 3:.1f} {y + 6:.1f} l f"
        for (x, y), (c, m) in zip(places, tints, strict=True)
    ]
    canvas._code.extend(lines)
    canvas.save()
    return path


def made(kind: str, path: Path) -> Path:
    """Make a flat in a process of its own, so that its memory is not counted with what is measured."""
    subprocess.run([sys.executable, "-m", "tests.bench.heavy_flats", kind, str(path)], cwd=ROOT, check=True)
    return path


if __name__ == "__main__":
    (photographs if sys.argv[1] == "photographs" else paths)(Path(sys.argv[2]))
