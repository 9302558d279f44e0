"""Twenty flats in five encodings give the panels, areas and lengths that were worked out by hand."""

from __future__ import annotations

import functools

import pytest

from tests.structure.carton_shapes import CARTONS
from tests.structure.cartons import Carton
from tests.structure.encodings import ENCODINGS
from tiler.structure.model import Structure
from tiler.structure.structure import read_structure

BY_NAME = {carton.name: carton for carton in CARTONS}


@functools.cache
def structure(name: str, encoding: str) -> Structure:
    return read_structure(ENCODINGS[encoding](BY_NAME[name]))


def shoelace(structure: Structure) -> float:
    """Twice the signed area by the shoelace formula, outer rings less holes; the check on shapely's areas."""
    total = 0.0
    for panel in structure.panels:
        for sign, ring in ((1, panel.polygon), *((-1, hole) for hole in panel.holes)):
            corners = zip(ring, (*ring[1:], ring[0]), strict=True)
            total += sign * abs(sum(a.x * b.y - b.x * a.y for a, b in corners)) / 2
    return total


def test_there_are_twenty_flats() -> None:
    assert len(BY_NAME) == 20


@pytest.mark.parametrize("encoding", ENCODINGS)
@pytest.mark.parametrize("name", BY_NAME)
def test_a_flat_measures_what_it_should(name: str, encoding: str) -> None:
    carton: Carton = BY_NAME[name]
    found = structure(name, encoding)
    assert found.evidence_words == (encoding,)
    assert sorted(panel.area for panel in found.panels) == pytest.approx(sorted(carton.areas), rel=1e-3)
    assert found.outline_area == pytest.approx(sum(carton.areas), rel=1e-3)
    assert found.cut_length == pytest.approx(carton.cut_length, abs=0.2)
    assert found.crease_length == pytest.approx(carton.crease_length, abs=0.2)
    assert len(found.holes) == carton.holes
    assert shoelace(found) == pytest.approx(found.outline_area, rel=1e-3)
    if carton.folded is None:
        assert found.folded is None
    else:
        assert found.folded == pytest.approx(carton.folded, abs=0.1)


@pytest.mark.parametrize("name", BY_NAME)
def test_every_encoding_gives_the_same_panels(name: str) -> None:
    results = [structure(name, encoding) for encoding in ENCODINGS]
    boxes = [[(panel.id, *panel.box) for panel in result.panels] for result in results]
    for other in boxes[1:]:
        assert [box[0] for box in other] == [box[0] for box in boxes[0]]
        for box, first in zip(other, boxes[0], strict=True):
            assert box[1:] == pytest.approx(first[1:], abs=0.03)
    pairs = [sorted(crease.panels for crease in result.creases) for result in results]
    assert all(other == pairs[0] for other in pairs[1:])
    assert all(result.reports == () for result in results if "line file" not in result.evidence_words[0])


@pytest.mark.parametrize("name", [carton.name for carton in CARTONS if carton.creases])
def test_every_crease_lies_between_two_panels(name: str) -> None:
    for crease in structure(name, "spot colours").creases:
        assert len(crease.panels) == 2
