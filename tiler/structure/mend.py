"""Mend what drawing leaves imperfect: gaps, creases that stop short, lines that overshoot or are drawn twice.

Every repair is reported in a sentence; nothing is repaired that is larger than the tolerances of ``loose``.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely

from tiler.structure.lines import Line
from tiler.structure.loose import Patch, patches_for, spurs
from tiler.structure.network import GRID, SNAP, Network, Segments, aligned, chained, network_of, segments_of

_NO_LENGTH = 0.01
"""A line shorter than this is no line, mm."""
MOST_SEGMENTS = 150_000
"""More straight pieces than this are no structure."""
_MOST_LINES = 12_000
"""... nor more lines than this that do not follow each other."""
_MOST_CROSSINGS = 60_000
"""... and no more pairs of pieces whose boxes meet than this, besides eight for every piece."""
_MOST_SENTENCES = 8
"""Further faults of a kind are only counted."""
_SAMPLE = 200
"""Segments whose neighbours are counted to foresee the number of crossings."""


class Mended(NamedTuple):
    """The network of the border lines after repair."""

    lines: tuple[Line, ...]
    """The lines that the owners of the edges count in."""
    network: Network
    reports: tuple[str, ...]


def mended(lines: Sequence[Line]) -> Mended:
    """Join border lines to one network, small faults repaired."""
    reports: list[str] = []
    whole = tuple(line for line in lines if line.length >= _NO_LENGTH)
    if len(whole) < len(lines):
        reports.append(f"{counted(len(lines) - len(whole), 'line')} without length left out")
    whole = chained(whole)
    segments = segments_of(whole)
    if _is_absurd(whole, segments):
        reports.append(
            f"{len(segments.ends)} pieces of line lie about or cross too much to be a structure, "
            "so no panels were looked for"
        )
        nothing = network_of(segments.chosen(np.zeros(len(segments.ends), bool)), whole)
        return Mended(whole, nothing, tuple(reports))
    segments = aligned(segments)
    rough = network_of(segments, whole)
    drawn, joined = float(segments.length.sum()), float(rough.length.sum())
    if drawn - joined > 1.0:
        reports.append(f"lines lie on top of each other over {drawn - joined:.0f} mm; each counts once")
    patches = patches_for(rough, whole)
    if patches:
        segments = segments.with_more([p.ends for p in patches], [p.owner for p in patches])
        rough = network_of(segments, whole)
        reports += _told(patches)
    return Mended(whole, rough.chosen(~spurs(rough)), tuple(reports))


def counted(number: int, word: str) -> str:
    """A number with its word in singular or plural.

    >>> counted(1, "line"), counted(3, "line")
    ('1 line', '3 lines')
    """
    return f"{number} {word}{'' if number == 1 else 's'}"


def _is_absurd(lines: Sequence[Line], segments: Segments) -> bool:
    """True when so many pieces lie about or cross that no tool could be made of them."""
    count = len(segments.ends)
    if count > MOST_SEGMENTS or len(lines) > _MOST_LINES:
        return True
    if count <= _SAMPLE:
        return False
    geometries = segments.geometries
    sample = geometries[:: count // _SAMPLE]
    pairs = shapely.STRtree(geometries).query(sample)
    return bool(pairs.shape[1] / len(sample) * count > _MOST_CROSSINGS + 8 * count)


def _told(patches: Sequence[Patch]) -> list[str]:
    """A sentence for each kind of repair that a person would see on the drawing."""
    reports = []
    for patch in patches:
        if patch.length > SNAP + GRID and not patch.is_crease:
            reports.append(f"a gap of {patch.length:.2f} mm in the cut at {_place(patch)} is closed")
    short = [patch for patch in patches if patch.is_crease and patch.length > SNAP + GRID]
    if short:
        longest = max(short, key=lambda patch: patch.length)
        reports.append(
            f"{counted(len(short), 'crease end')} stopping short, by up to {longest.length:.2f} mm at "
            f"{_place(longest)}, taken on to the next line"
        )
    if len(reports) > _MOST_SENTENCES:
        rest = len(reports) - _MOST_SENTENCES
        reports = [*reports[:_MOST_SENTENCES], f"{counted(rest, 'more gap')} closed"]
    return reports


def _place(patch: Patch) -> str:
    return f"({patch.ends[0]:.1f}, {patch.ends[1]:.1f}) mm"
