"""Panels are told from holes and waste, named in reading order and measured along their own sides."""

from __future__ import annotations

import math

import pytest

from tests.structure.cartons import box, down
from tests.structure.test_mend import CREASE, CUT, FOLD, OUTLINE, chain, read
from tiler.geometry import Rect
from tiler.structure.kinds import LineKind
from tiler.structure.lines import Candidate, Found
from tiler.structure.structure import read_structure, to_json

TRAY = [
    chain((30, 0), (80, 0), (80, 30), (110, 30), (110, 70), (80, 70), (80, 100), (30, 100), (30, 70), (0, 70),
          (0, 30), (30, 30), (30, 0)),
    chain(*box(30, 30, 50, 40), kind=CREASE),
]  # fmt: skip


def test_panels_are_named_in_reading_order() -> None:
    structure = read(*TRAY)
    assert [(panel.id, panel.box) for panel in structure.panels] == [
        ("P1", Rect(30, 0, 50, 30)),
        ("P2", Rect(0, 30, 30, 40)),
        ("P3", Rect(30, 30, 50, 40)),
        ("P4", Rect(80, 30, 30, 40)),
        ("P5", Rect(30, 70, 50, 30)),
    ]
    assert structure.extent == Rect(0, 0, 110, 100)


def test_waste_beside_the_outline_is_no_panel() -> None:
    structure = read(*TRAY, chain(*box(0, 0, 110, 100)))
    assert len(structure.panels) == 5
    assert structure.outline_area == pytest.approx(2 * 1500 + 2 * 1200 + 2000)
    assert structure.holes == ()


def test_a_frame_round_everything_is_no_panel() -> None:
    assert len(read(*TRAY, chain(*box(-20, -20, 150, 140))).panels) == 5


def test_holes_are_no_panels_wherever_they_lie() -> None:
    inside, over_crease = box(45, 45, 10, 8), box(60, 25, 12, 10)
    structure = read(*TRAY, chain(*inside), chain(*over_crease))
    assert len(structure.panels) == 5
    assert len(structure.holes) == 2
    assert structure.outline_area == pytest.approx(7400 - 80 - 120)
    assert [len(panel.holes) for panel in structure.panels] == [0, 0, 1, 0, 0]
    # the crease drawn on through the hole: 180 of creases, 12 of them in the air
    assert [crease.panels for crease in structure.creases].count(("P1", "P3")) == 2


def test_a_flap_cut_out_of_a_panel_on_three_sides_is_a_panel() -> None:
    structure = read(
        OUTLINE, chain((60, 20), (60, 40), (80, 40), (80, 20)), chain((60, 20), (80, 20), kind=CREASE)
    )
    assert sorted(panel.area for panel in structure.panels) == pytest.approx([400, 4600])
    assert structure.holes == ()


def test_a_loose_part_is_a_panel_and_a_small_mark_is_none() -> None:
    structure = read(*TRAY, chain(*box(150, 0, 40, 40)), chain(*box(200, 0, 5, 5)))
    assert len(structure.panels) == 6
    assert structure.reports == ("1 small closed shape beside the outline taken for marks",)


def test_a_drill_hole_is_a_hole() -> None:
    hole = [(70 + 3 * math.cos(k * math.pi / 20), 25 + 3 * math.sin(k * math.pi / 20)) for k in range(41)]
    structure = read(OUTLINE, FOLD, chain(*hole, kind=LineKind.DRILL))
    assert len(structure.holes) == 1
    assert len(structure.panels) == 2


@pytest.mark.parametrize("kind", [LineKind.PERFORATION, LineKind.PARTIAL_CUT])
def test_perforations_and_partial_cuts_are_lines_within_a_panel(kind: LineKind) -> None:
    structure = read(OUTLINE, FOLD, chain(*down(70, 0, 50), kind=kind))
    assert len(structure.panels) == 2
    assert len(structure.lines) == 3
    assert structure.cut_length == pytest.approx(300)
    assert structure.crease_length == pytest.approx(50)


@pytest.mark.parametrize("kind", [LineKind.CREASE, LineKind.REVERSE_CREASE, LineKind.CUT_CREASE])
def test_every_fold_divides_panels_and_keeps_its_kind(kind: LineKind) -> None:
    (crease,) = read(OUTLINE, chain((40, 0), (40, 50), kind=kind)).creases
    assert (crease.kind, crease.panels) == (kind, ("P1", "P2"))


def test_a_panel_that_lies_askew_is_measured_along_its_sides() -> None:
    """A rectangle 100 × 50 turned by the angle whose tangent is 3/4."""
    turned = [(0.8 * x - 0.6 * y + 60, 0.6 * x + 0.8 * y) for x, y in box(0, 0, 100, 50)]
    (panel,) = read(chain(*turned)).panels
    assert (panel.width, panel.height) == pytest.approx((100, 50), abs=0.02)
    assert panel.box.width == pytest.approx(110, abs=0.02)


def test_a_crease_in_pieces_is_one_crease() -> None:
    pieces = [chain((40, a), (40, b), kind=CREASE) for a, b in ((0, 20), (20, 35), (35, 50))]
    (crease,) = read(OUTLINE, *pieces).creases
    assert crease.length == pytest.approx(50)
    assert crease.start == (40, 0)


def test_a_bent_crease_is_two_and_a_curved_one_stays_one() -> None:
    bent = read(OUTLINE, chain((40, 0), (60, 25), (40, 50), kind=CREASE)).creases
    assert [crease.is_straight for crease in bent] == [True, True]
    bow = [(40 + 10 * math.sin(math.pi * k / 40), 50 * k / 40) for k in range(41)]
    (curved,) = read(OUTLINE, chain(*bow, kind=CREASE)).creases
    assert not curved.is_straight
    assert curved.length > 50


def test_the_centre_of_a_panel_lies_in_its_widest_place() -> None:
    (panel,) = read(chain((0, 0), (100, 0), (100, 10), (20, 10), (20, 80), (0, 80), (0, 0))).panels
    assert 0 < panel.centre.x < 20
    assert Rect(0, 0, 20, 80).contains(panel.centre)


def test_the_area_to_cover_is_all_panels_with_holes_filled() -> None:
    structure = read(*TRAY, chain(*box(45, 45, 10, 8)))
    (ring,) = structure.polygons
    assert len(ring) == 12
    assert len(structure.crease_segments) == 4
    assert len(structure.cuts) == 12 + 4
    assert read().polygons == ()
    assert read().extent is None


def test_plain_data_has_the_promised_shape() -> None:
    structure = read(OUTLINE, FOLD)
    data = to_json(structure)
    assert data["version"] == 1
    assert data["unit"] == "mm"
    assert data["panels"][0]["id"] == "P1"
    assert data["panels"][0]["width"] == 40
    assert sorted(data["panels"][0]["polygon"]) == [[0, 0], [0, 50], [40, 0], [40, 50]]
    (crease,) = data["creases"]
    assert {key: crease[key] for key in ("x1", "y1", "x2", "y2", "kind", "panels", "evidence")} == {
        "x1": 40, "y1": 0, "x2": 40, "y2": 50, "kind": "crease", "panels": ["P1", "P2"], "evidence": "layer",
    }  # fmt: skip
    assert (data["outline_area"], data["cut_length"], data["crease_length"]) == (5000, 300, 50)
    assert data["folded"] is None
    assert data["meetings"] == []


def test_nothing_found_is_an_empty_structure_with_its_candidates() -> None:
    candidate = Candidate("Art", "layer", None)
    structure = read_structure(Found(candidates=(candidate,), reports=("x",)))
    assert structure.panels == ()
    assert structure.evidence == ()
    assert structure.candidates == (candidate,)
    assert structure.reports == ("x",)


def test_two_parts_on_one_flat_keep_their_panels() -> None:
    second = [chain(*((x + 150, y) for x, y in line.points), kind=line.kind) for line in TRAY]
    assert len(read(*TRAY, *second).panels) == 10


def test_cut_lines_alone_make_a_panel() -> None:
    structure = read(OUTLINE)
    assert [panel.area for panel in structure.panels] == pytest.approx([5000])
    assert structure.cut_length == pytest.approx(300)
    assert OUTLINE.kind is CUT
