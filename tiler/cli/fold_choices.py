"""Words of the command line turned into choices of folding."""

from __future__ import annotations

import argparse
import re
from dataclasses import dataclass
from pathlib import Path

from tiler.errors import UsageError
from tiler.fold.camera import CORNERS, Corner, parse_corner
from tiler.fold.choices import FoldChoices, parse_fold
from tiler.units import parse_length, parse_percent

SIZE = (1600, 1200)
"""Pixels of a view."""
_LARGEST = 8000
"""Pixels along one side of a view, at most."""


@dataclass(frozen=True)
class Views:
    """What is written of a box."""

    view: Path | None
    """PNG or SVG; None writes none."""
    corner: Corner
    opening: float
    """0 closed, 1 flat."""
    size: tuple[int, int]
    """Pixels of a PNG."""
    corners: Path | None
    """PDF of the corner strips; None writes none."""
    all_edges: bool


def fold_choices(options: argparse.Namespace) -> FoldChoices:
    """How the flat is folded.

    Raises:
        UsageError: A value cannot be understood.
    """
    caliper = None if options.caliper is None else parse_length(options.caliper)
    if caliper is not None and not 0 < caliper <= 20:
        raise UsageError(f"'{options.caliper}' is no thickness of board", "write 0.3mm to 20mm")
    root = options.root.upper() if options.root else None
    angles = tuple(parse_fold(text) for text in options.fold or ())
    return FoldChoices(root, angles, options.stands or "auto", caliper)


def views_from(options: argparse.Namespace) -> Views:
    """What is written.

    Raises:
        UsageError: A value cannot be understood, or a file has an ending that is none of ours.
    """
    view = None if options.view is None else _ending(Path(options.view), ("png", "svg"), "--view")
    corners = None if options.corners is None else _ending(Path(options.corners), ("pdf",), "--corners")
    return Views(
        view,
        CORNERS["front-right"] if options.corner is None else parse_corner(options.corner),
        0.0 if options.opening is None else parse_percent(options.opening, 0, 100),
        SIZE if options.view_size is None else _pixels(options.view_size),
        corners,
        options.all_edges,
    )


def _ending(path: Path, endings: tuple[str, ...], option: str) -> Path:
    """The path, when its ending tells a form that can be written.

    Raises:
        UsageError: It does not.
    """
    if path.suffix.lower().lstrip(".") not in endings:
        names = " or ".join(f".{ending}" for ending in endings)
        raise UsageError(
            f"{path}: {option} cannot tell the form of this file", f"let its name end in {names}"
        )
    return path


def _pixels(text: str) -> tuple[int, int]:
    """Width and height of a picture.

    Raises:
        UsageError: It is no size, or too small or large.
    """
    match = re.fullmatch(r"\s*(\d+)\s*[x×X]\s*(\d+)\s*(?:px)?\s*", text)
    sides = (int(match[1]), int(match[2])) if match else (0, 0)
    if not all(64 <= side <= _LARGEST for side in sides):
        raise UsageError(f"'{text}' is no size of a picture", f"write 64x64 to {_LARGEST}x{_LARGEST} pixels")
    return sides
