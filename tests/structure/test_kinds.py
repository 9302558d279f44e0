"""Processing steps are those of ISO 19593-1, and each kind of line behaves as its tool does."""

from __future__ import annotations

import pytest

from tests.structure.files import PageMaker, drawn
from tiler.geometry import Size
from tiler.structure.kinds import STRUCTURAL_STEPS, Evidence, LineKind
from tiler.structure.lines import Line

ARLINGTON = [
    "Cutting",
    "PartialCutting",
    "ReversePartialCutting",
    "Creasing",
    "ReverseCreasing",
    "CuttingCreasing",
    "ReverseCuttingCreasing",
    "PartialCuttingCreasing",
    "ReversePartialCuttingCreasing",
    "Drilling",
    "Gluing",
    "FoilStamping",
    "ColdFoilStamping",
    "Embossing",
    "Debossing",
    "Perforating",
    "Bleed",
    "VarnishFree",
    "InkFree",
    "InkVarnishFree",
    "Folding",
    "Punching",
    "Stapling",
]
"""ISO 19593-1:2018, group Structural, as enumerated in the PDF Association's Arlington PDF model."""


def test_every_structural_type_of_the_standard_is_known_and_no_other() -> None:
    assert set(STRUCTURAL_STEPS) == set(ARLINGTON)
    assert len(ARLINGTON) == 23


@pytest.mark.parametrize("step", ARLINGTON)
def test_every_type_is_read_from_a_file(step: str) -> None:
    size = Size(100, 100)
    maker = PageMaker(size)
    maker.layer("/MC0", "Any human name", step)
    found = maker.finish(b"/OC /MC0 BDC " + drawn([Line.between(1, 1, 9, 9)], size) + b"EMC").find()
    expected = STRUCTURAL_STEPS[step]
    assert [line.kind for line in found.lines] == ([] if expected is None else [expected])
    assert found.candidates[0].kind is expected
    assert len(found.layers) == (expected is not None)


@pytest.mark.parametrize(
    ("kind", "is_cut", "is_fold"),
    [
        (LineKind.CUT, True, False),
        (LineKind.DRILL, True, False),
        (LineKind.CREASE, False, True),
        (LineKind.REVERSE_CREASE, False, True),
        (LineKind.CUT_CREASE, False, True),
        (LineKind.PERFORATION, False, False),
        (LineKind.PARTIAL_CUT, False, False),
    ],
)
def test_cuts_part_and_folds_bend_and_the_rest_stays_within_a_panel(
    kind: LineKind, is_cut: bool, is_fold: bool
) -> None:
    assert (kind.is_cut, kind.is_fold, kind.is_border) == (is_cut, is_fold, is_cut or is_fold)


def test_what_the_user_says_is_trusted_most_and_a_line_file_least() -> None:
    assert sorted(Evidence, key=lambda evidence: evidence.rank) == list(Evidence)
    assert Evidence.TOLD.rank == 0
    assert [evidence.plural for evidence in Evidence] == [
        "told by the user", "processing steps", "spot colours", "layers", "separate line file",
    ]  # fmt: skip
