"""Flats for folding, straight from their lines."""

from __future__ import annotations

import functools
from collections.abc import Sequence

from tests.structure.carton_shapes import CARTONS
from tests.structure.cartons import Chain
from tiler.fold.box import FoldedBox, fold_flat
from tiler.fold.choices import FoldChoices
from tiler.geometry import Point
from tiler.structure.kinds import LineKind
from tiler.structure.lines import Found, Line
from tiler.structure.model import Structure
from tiler.structure.structure import read_structure

BY_NAME = {carton.name: carton for carton in CARTONS}


def made(cuts: Sequence[Chain], creases: Sequence[Chain], kind: LineKind = LineKind.CREASE) -> Structure:
    """The structure of these lines."""
    lines = [Line(tuple(Point(*p) for p in chain), LineKind.CUT) for chain in cuts]
    lines += [Line(tuple(Point(*p) for p in chain), kind) for chain in creases]
    return read_structure(Found(tuple(lines)))


@functools.cache
def structure(name: str) -> Structure:
    """One of the twenty flats."""
    carton = BY_NAME[name]
    return made(carton.cuts, carton.creases)


@functools.cache
def boxed(name: str) -> FoldedBox:
    """One of the twenty flats, folded."""
    return fold_flat(structure(name))


def chosen(name: str, **choices: object) -> FoldedBox:
    """The same with choices of the user."""
    return fold_flat(structure(name), (), FoldChoices(**choices))  # type: ignore[arg-type]
