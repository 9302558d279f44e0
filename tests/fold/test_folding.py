"""Boxes fold to the size they were drawn for, and close."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.fold.flats import BY_NAME, boxed, chosen, made, structure
from tests.structure.cartons import box, down
from tiler.errors import StructureError, UsageError
from tiler.fold.box import FoldedBox, fold_flat
from tiler.fold.choices import FoldChoices, parse_fold
from tiler.structure.kinds import LineKind
from tiler.structure.lines import Found
from tiler.structure.model import Structure
from tiler.structure.structure import read_structure

SIZES = {
    **{carton.name: carton.folded for carton in BY_NAME.values() if carton.folded},
    # A regular hexagon of side 40: 80 across corners, 40·√3 across flats.
    "hexagonal sleeve": (80, 40 * math.sqrt(3), 90),
    # Slant height 75 over half a base of 40: √(75² − 40²).
    "pyramid": (80, 80, math.sqrt(75**2 - 40**2)),
    # Walls 24 along the slope, 10 wider at each end: √(24² − 10²).
    "tapered tray": (120, 80, math.sqrt(24**2 - 10**2)),
    "triangular prism": (50, 25 * math.sqrt(3), 120),
}


@pytest.mark.parametrize("name", SIZES)
def test_a_box_folds_to_the_size_it_was_drawn_for(name: str) -> None:
    size = boxed(name).size
    assert size is not None
    assert size.size == pytest.approx(SIZES[name], abs=0.1)


CLOSED = [
    "telescoping tray", "lid with glue flaps", "straight tuck", "reverse tuck", "sleeve", "hexagonal sleeve",
    "pyramid", "tapered tray", "triangular prism", "double-wall tray", "mailer with ears", "belly band",
]  # fmt: skip


@pytest.mark.parametrize("name", CLOSED)
def test_corners_that_meet_coincide(name: str) -> None:
    found = boxed(name)
    assert found.meetings
    for meeting in found.meetings:
        a, b = (
            found.folding.closed[side.panel].place([side.start, side.end]) for side in (meeting.a, meeting.b)
        )
        assert np.abs(a - b).max() < 0.05
        assert meeting.a.length == pytest.approx(meeting.b.length, abs=0.05)


def angles(found: FoldedBox) -> dict[str, float]:
    return {name: round(fold.angle, 2) for name, fold in found.folding.folds.items()}


def test_a_hexagon_closes_with_sixty_degrees_and_a_triangle_with_a_hundred_and_twenty() -> None:
    assert set(angles(boxed("hexagonal sleeve")).values()) == {60.0}
    ring = [fold.angle for fold in boxed("triangular prism").folding.folds.values() if fold.how == "ring"]
    assert ring == pytest.approx([120.0] * 3)


def test_the_dihedral_of_a_pyramid_follows_from_its_edges() -> None:
    # The face rises √(75² − 40²) over 40: it leans by atan(63.44/40) = 57.77°, and folds by the rest of 180°.
    lean = math.degrees(math.atan2(math.sqrt(75**2 - 40**2), 40))
    assert set(angles(boxed("pyramid")).values()) == {round(180 - lean, 2)}


def test_a_scalene_triangle_closes() -> None:
    # Sides 30, 40, 50: a right angle between 30 and 40, so the crease there folds by 90 degrees.
    xs = [0, 30, 70, 120, 130]
    found = fold_flat(made([box(0, 0, 130, 60)], [down(x, 0, 60) for x in xs[1:-1]]))
    folds = {
        hinge.name: found.folding.folds[node.panel.id].angle for node, hinge in found.folding.tree.hinged()
    }
    assert folds["P1/P2"] == pytest.approx(90)
    assert folds["P2/P3"] == pytest.approx(180 - math.degrees(math.acos(40 / 50)))
    assert [meeting.panels for meeting in found.meetings] == [("P1", "P3")]


def test_an_inner_wall_is_laid_flat_on_its_outer_wall_and_an_envelope_is_flat() -> None:
    found = boxed("double-wall tray").folding.folds
    assert (found["P1"].angle, found["P1"].how) == (180, "laid flat")
    assert set(angles(boxed("envelope")).values()) == {180.0}


def test_a_reverse_crease_folds_towards_the_print() -> None:
    flat = made([box(0, 0, 100, 50)], [down(60, 0, 50)], LineKind.REVERSE_CREASE)
    found = fold_flat(flat).folding
    assert found.folds["P2"].angle == -90
    assert found.closed["P2"].place([(100, 0)])[0][2] == pytest.approx(-40)


def test_a_folder_with_creases_both_ways_is_no_ring() -> None:
    flat = made([box(0, 0, 200, 60)], [down(50, 0, 60), down(150, 0, 60)])
    back = made([box(0, 0, 200, 60)], [down(100, 0, 60)], LineKind.REVERSE_CREASE)
    both = made([box(0, 0, 200, 60)], [])
    assert fold_flat(flat).folding.row is None
    lines = Found((*flat.lines, *(line for line in back.lines if line.kind is LineKind.REVERSE_CREASE)))
    folds = fold_flat(read_structure(lines)).folding.folds
    assert sorted(fold.angle for fold in folds.values()) == [-90, 90, 90]
    assert fold_flat(both).folding.row is None


def test_the_user_chooses_root_and_angles() -> None:
    found = chosen("sleeve", root="P2", angles=(("P2", "P1", 45.0),)).folding
    assert found.tree.root.id == "P2"
    assert (found.folds["P1"].angle, found.folds["P1"].how) == (45, "told")
    again = found.choices.with_angle("P1", "P2", 30)
    assert again.told("P2", "P1") == 30


def test_of_lid_and_base_as_large_the_one_with_walls_stays() -> None:
    # The mailer's lid P3 and base P7 both measure 150 × 100.
    assert boxed("mailer with ears").folding.tree.root.id == "P7"
    assert boxed("reverse tuck").folding.tree.root.id == "P6"


def test_flaps_that_go_under_a_panel_are_folded_first() -> None:
    # P3 is a dust flap on P7, P2 the lid over it.
    half = boxed("straight tuck").folding.places(0.5)
    assert abs(float(half["P3"].outside @ half["P7"].outside)) == pytest.approx(0, abs=1e-9)
    assert float(half["P2"].outside @ half["P6"].outside) == pytest.approx(math.sqrt(0.5))


def test_opening_goes_from_closed_to_flat() -> None:
    folding = boxed("straight tuck").folding
    for name, place in folding.places(1.0).items():
        assert place.turn == pytest.approx(np.eye(3)), name
    half = folding.places(0.5)["P7"]
    assert math.degrees(math.acos(half.turn[2, 2])) == pytest.approx(45)


def test_a_flat_without_panels_cannot_be_folded() -> None:
    with pytest.raises(StructureError, match="no panels to fold"):
        fold_flat(Structure())


@pytest.mark.parametrize(
    ("choices", "words"),
    [
        ({"root": "P99"}, "there is no panel P99; the flat has P1 to P5"),
        ({"angles": (("P1", "P3", 90.0),)}, "no straight crease between P1 and P3"),
    ],
)
def test_a_wrong_name_is_told(choices: dict[str, object], words: str) -> None:
    with pytest.raises(UsageError, match=words):
        chosen("sleeve", **choices)


@pytest.mark.parametrize("text", ["P2", "P2/P5", "P2/P5=190", "P2/P2=90", "2/5=90", "P2/P5=ninety"])
def test_words_that_are_no_fold_are_refused(text: str) -> None:
    with pytest.raises(UsageError, match="no fold"):
        parse_fold(text)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("single panel", "single panel"),
        ("gable", "closes a ring of panels"),
        ("pillow pack", "is curved or has a corner, so it is left flat"),
    ],
)
def test_what_does_not_fold_is_said_and_the_rest_is_folded(name: str, words: str) -> None:
    found = boxed(name)
    assert any(words in report for report in found.reports)
    assert len(found.folding.closed) == len(structure(name).panels)


def test_panels_that_pass_through_each_other_are_told() -> None:
    wide = made([box(0, 0, 200, 60)], [down(80, 0, 60), down(130, 0, 60)])
    found = chosen_of(wide, (("P1", "P2", 120.0), ("P2", "P3", 120.0)))
    assert any("P1 and P3 would pass through each other" in report for report in found.reports)
    assert not any("pass through" in report for report in fold_flat(wide).reports)


def chosen_of(flat: Structure, told: tuple[tuple[str, str, float], ...]) -> FoldedBox:
    return fold_flat(flat, (), FoldChoices(angles=told))


def test_panels_that_hang_apart_are_told() -> None:
    flat = made([box(0, 0, 100, 50), box(200, 0, 30, 30)], [down(60, 0, 50)])
    found = fold_flat(flat)
    assert any(report.startswith("no crease joins P1 to P2, so") for report in found.reports)


def test_board_thickness_changes_inside_and_outside() -> None:
    size = boxed("telescoping tray").size
    assert size is not None
    # Two walls across and along, one floor: half a caliper for each (common practice, no source).
    assert size.inside(1.5) == pytest.approx((118.5, 78.5, 29.25))
    assert size.outside(1.5) == pytest.approx((121.5, 81.5, 30.75))
    sleeve = boxed("sleeve").size
    assert sleeve is not None
    assert sleeve.outside(1.0) == pytest.approx((101, 36, 60))
