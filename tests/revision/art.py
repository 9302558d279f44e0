"""A small flat of the Heronwick lamp's sleeve, drawn so that single things on it can be changed."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
from PIL import Image
from pypdf import PdfReader, PdfWriter
from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from tests.flats import add_layer
from tiler.job import Job
from tiler.load import load
from tiler.printers.sheets import find_sheet
from tiler.revision.changes import Changes, find_changes
from tiler.run import prepare
from tiler.units import POINTS_PER_MM

WIDTH, HEIGHT = 240.0, 160.0
"""Of the flat, mm; four tiles on small sheets."""

Ink = tuple[float, float, float, float]


@dataclass(frozen=True)
class Art:
    """What is on the flat; places in mm from the top left."""

    word: str = "chimney"
    word_at: tuple[float, float] = (20.0, 30.0)
    decal_at: tuple[float, float] = (190.0, 40.0)
    decal: Ink = (0.1, 0.6, 0.5, 0.05)
    ground: Ink = (0.55, 0.2, 0.1, 0.3)
    """Of the lower left field."""
    note: str = "off"
    """State of the layer with a note in the lower right."""
    photo: tuple[int, int, int] = (0, 0, 0)
    """Added to the channels of the photograph in the upper middle."""
    everything_by: tuple[float, float] = (0.0, 0.0)
    """Moves all of it, mm."""
    size: tuple[float, float] = (WIDTH, HEIGHT)


PLAIN = Art()


def draw(art: Art, path: Path) -> Path:
    """Write the flat."""
    path.write_bytes(_drawn(art))
    return path


@cache
def _drawn(art: Art) -> bytes:
    """The flat as a file."""
    out = io.BytesIO()
    width, height = (side * POINTS_PER_MM for side in art.size)
    rl_config.useA85 = 0  # ASCII85 in pure Python takes longer than all the rest
    canvas = Canvas(out, pagesize=(width, height), invariant=1)
    canvas.saveState()
    canvas.translate(art.everything_by[0] * POINTS_PER_MM, height - art.everything_by[1] * POINTS_PER_MM)
    canvas.scale(POINTS_PER_MM, -POINTS_PER_MM)  # mm from the top left, y down
    canvas.setFillColorCMYK(0.02, 0.05, 0.18, 0)
    canvas.rect(5, 5, WIDTH - 10, HEIGHT - 10, stroke=0, fill=1)
    canvas.setFillColorCMYK(*art.ground)
    canvas.rect(10, 100, 80, 45, stroke=0, fill=1)
    _sky(canvas)
    canvas.drawImage(_photo(art.photo), 80, 15, 60, 40)
    canvas.setFillColorCMYK(*art.decal)
    canvas.circle(*art.decal_at, 12, stroke=0, fill=1)
    canvas.setStrokeColorCMYK(0, 0, 0, 0.9)
    canvas.setLineWidth(0.1)
    for step in range(40):
        canvas.line(12 + step * 5.5, 70, 20 + step * 5.1, 92)
    _words(canvas, art.word_at, f"Spare glass {art.word}", 3.2)
    _words(canvas, (150, 90), "Let the dark stay dark.", 4.0)
    canvas.restoreState()
    canvas.save()
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(out.getvalue())))
    place = f"1 0 0 rg {200 * POINTS_PER_MM} {20 * POINTS_PER_MM} 40 12 re f"
    add_layer(writer, "Notes to printer", place.encode("ascii"), art.note)
    file = io.BytesIO()
    writer.write(file)
    return file.getvalue()


def _sky(canvas: Canvas) -> None:
    """A shading, kept to its field."""
    canvas.saveState()
    field = canvas.beginPath()
    field.rect(100, 100, 90, 45)
    canvas.clipPath(field, stroke=0, fill=0)
    canvas.linearGradient(100, 100, 190, 145, (HexColor("#24506e"), HexColor("#c9d8e0")))
    canvas.restoreState()


def _photo(tint: tuple[int, int, int]) -> ImageReader:
    """Grain as of a photograph."""
    random = np.random.default_rng(7)
    coarse = Image.fromarray(random.integers(40, 200, (9, 12, 3), dtype=np.uint8))
    smooth = np.asarray(coarse.resize((480, 320), Image.Resampling.BICUBIC), np.float64)
    grain = smooth + random.normal(0, 6, smooth.shape) + np.array(tint)
    return ImageReader(Image.fromarray(np.clip(grain, 0, 255).astype(np.uint8)))


def _words(canvas: Canvas, at: tuple[float, float], text: str, size: float) -> None:
    """Text that reads upright on a canvas with y down, ``size`` mm."""
    line = canvas.beginText()
    canvas.setFillColorCMYK(0.8, 0.6, 0.4, 0.6)
    line.setTextTransform(1, 0, 0, -1, *at)
    line.setFont("Helvetica", size)
    line.textOut(text)
    canvas.drawText(line)


def job_for(path: Path) -> Job:
    """The job of a flat on small sheets."""
    return Job(path, find_sheet("110x150mm"), layout="grid")


def compared(old: Path, new: Path) -> Changes:
    """What the second flat changes on the sheets of the first."""
    return find_changes(prepare(job_for(old)), load(job_for(new)))


def changes_of(folder: Path, change: Art | Callable[[Path, Path], object]) -> Changes:
    """Compare the plain flat with a changed one.

    Args:
        folder: Where both are written.
        change: The changed art, or what writes the second file out of the first.
    """
    old, new = draw(PLAIN, folder / "old.pdf"), folder / "new.pdf"
    if isinstance(change, Art):
        draw(change, new)
    else:
        change(old, new)
    return compared(old, new)


def altered(**changes: object) -> Art:
    """The plain art with some things changed."""
    return replace(PLAIN, **changes)  # type: ignore[arg-type]
