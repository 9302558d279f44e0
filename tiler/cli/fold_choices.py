"""Words of the command line turned into choices of folding."""

from __future__ import annotations

import argparse
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from tiler.errors import UsageError
from tiler.fold.camera import CORNERS, Corner, parse_corner
from tiler.fold.choices import FoldChoices, parse_fold
from tiler.units import parse_length, parse_percent

SIZE = (1600, 1200)
"""Pixels of a view."""
_LARGEST = 8000
"""Pixels along one side of a view, at most."""
_MOST_PIXELS = 24_000_000
"""Of a whole view: the picture takes about 40 bytes of memory for each while it is drawn (measured)."""


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


def fold_choices(said: Mapping[str, Any], base: FoldChoices) -> FoldChoices:
    """How the flat is folded.

    Args:
        said: Words of the command line, by name; an angle stands in place of the one for the same crease.
        base: What holds where nothing is said.

    Raises:
        UsageError: A value cannot be understood.
    """
    choices = base
    for text in said.get("fold", ()):
        choices = choices.with_angle(*parse_fold(text))
    if "root" in said:
        choices = replace(choices, root=said["root"].upper())
    if "stands" in said:
        choices = replace(choices, stands=said["stands"])
    if "caliper" in said:
        choices = replace(choices, caliper=_caliper(said["caliper"]))
    return choices


def _caliper(text: str) -> float:
    """Thickness of board, mm.

    Raises:
        UsageError: It is no length, or no board's.
    """
    caliper = parse_length(text)
    if not 0.01 <= caliper <= 20:
        raise UsageError(f"'{text}' is no thickness of board", "write 0.01mm to 20mm, as in --caliper 0.4mm")
    return caliper


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
    if not all(64 <= side <= _LARGEST for side in sides) or sides[0] * sides[1] > _MOST_PIXELS:
        raise UsageError(
            f"'{text}' is no size of a picture",
            f"write sides of 64 to {_LARGEST} pixels, together no more than 6000x4000 has",
        )
    return sides
