"""Small faults of drawing are mended and told; larger ones are told."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tiler.geometry import Point
from tiler.structure.kinds import Evidence, LineKind
from tiler.structure.lines import Found, Line
from tiler.structure.model import Structure
from tiler.structure.structure import read_structure

CUT, CREASE = LineKind.CUT, LineKind.CREASE


def chain(*places: tuple[float, float], kind: LineKind = CUT, evidence: Evidence = Evidence.LAYER) -> Line:
    return Line(tuple(Point(x, y) for x, y in places), kind, evidence)


def read(*lines: Line) -> Structure:
    return read_structure(Found(lines))


OUTLINE = chain((0, 0), (100, 0), (100, 50), (0, 50), (0, 0))
FOLD = chain((40, 0), (40, 50), kind=CREASE)


def assert_two_panels(structure: Structure) -> None:
    assert [panel.area for panel in structure.panels] == pytest.approx([2000, 3000], rel=1e-3)
    assert [crease.panels for crease in structure.creases] == [("P1", "P2")]
    assert structure.cut_length == pytest.approx(300, abs=0.5)


def test_a_clean_drawing_has_nothing_to_tell() -> None:
    structure = read(OUTLINE, FOLD)
    assert_two_panels(structure)
    assert structure.reports == ()
    assert structure.cut_length == pytest.approx(300)
    assert structure.crease_length == pytest.approx(50)


@pytest.mark.parametrize(
    ("gap", "told"),
    [(0.004, ""), (0.15, ""), (0.4, "a gap of 0.40 mm in the cut at (60.4, 0.0) mm is closed")],
)
def test_small_gaps_in_the_outline_are_closed(gap: float, told: str) -> None:
    structure = read(chain((60 + gap, 0), (100, 0), (100, 50), (0, 50), (0, 0), (60, 0)), FOLD)
    assert_two_panels(structure)
    assert structure.reports == ((told,) if told else ())


def test_a_wide_gap_stays_open_and_is_told_with_its_place() -> None:
    structure = read(chain((60.9, 0), (100, 0), (100, 50), (0, 50), (0, 0), (60, 0)), FOLD)
    assert [panel.area for panel in structure.panels] == pytest.approx([2000])
    assert any("the outline is open at (60" in report and "0.90 mm" in report for report in structure.reports)


@pytest.mark.parametrize("short", [0.003, 0.1, 0.2, 0.45])
def test_a_crease_that_stops_short_reaches_the_cut(short: float) -> None:
    structure = read(OUTLINE, chain((40, short), (40, 50 - short), kind=CREASE))
    assert_two_panels(structure)
    assert structure.crease_length == pytest.approx(50, abs=0.05)
    assert len(structure.reports) == (short > 0.2)


def test_a_crease_shortened_on_purpose_is_taken_on_and_told() -> None:
    structure = read(OUTLINE, chain((40, 2), (40, 48.5), kind=CREASE))
    assert_two_panels(structure)
    assert structure.reports == (
        "2 crease ends stopping short, by up to 2.00 mm at (40.0, 2.0) mm, taken on to the next line",
    )


def test_a_crease_drawn_dash_by_dash_is_one_crease() -> None:
    dashes = [chain((40, y), (40, min(50, y + 4)), kind=CREASE) for y in range(0, 50, 7)]
    structure = read(OUTLINE, *dashes)
    assert_two_panels(structure)
    assert structure.crease_length == pytest.approx(50)


def test_creases_side_by_side_or_askew_are_not_joined() -> None:
    pieces = [chain((40, 0), (40, 20), kind=CREASE), chain((44, 20), (44, 50), kind=CREASE)]
    assert len(read(OUTLINE, *pieces).panels) == 1


def test_a_crease_that_ends_far_from_anything_lies_within_its_panel() -> None:
    structure = read(OUTLINE, chain((40, 0), (40, 30), kind=CREASE))
    assert len(structure.panels) == 1
    (crease,) = structure.creases
    assert crease.panels == ("P1",)
    assert crease.length == pytest.approx(30)
    assert structure.reports == ("1 crease end meeting no other line, at (40.0, 30.0) mm",)


def test_lines_that_shoot_over_are_trimmed() -> None:
    crossing = [chain((-0.3, 0), (100.3, 0)), chain((100, -0.4), (100, 50.2)), chain((100.1, 50), (-0.1, 50))]
    structure = read(*crossing, chain((0, 50.3), (0, -0.3)), chain((40, -0.3), (40, 50.3), kind=CREASE))
    assert_two_panels(structure)
    assert structure.cut_length == pytest.approx(300)
    assert structure.crease_length == pytest.approx(50)


def test_a_line_drawn_twice_counts_once() -> None:
    structure = read(OUTLINE, OUTLINE, FOLD, chain((40, 10), (40, 30), kind=CREASE))
    assert_two_panels(structure)
    assert structure.cut_length == pytest.approx(300)
    assert structure.crease_length == pytest.approx(50)
    assert structure.reports == ("lines lie on top of each other over 320 mm; each counts once",)


def test_lines_side_by_side_are_one() -> None:
    left = chain((40, 0), (0, 0), (0, 50), (40, 50), (40, 0))
    structure = read(
        left, chain((40.1, 0), (100, 0), (100, 50), (40.1, 50)), chain((40.1, 0), (40.1, 50), kind=CREASE)
    )
    assert len(structure.panels) == 2
    assert sum(panel.area for panel in structure.panels) == pytest.approx(5000, rel=2e-3)


def test_on_equal_evidence_a_cut_over_a_crease_cuts_and_better_evidence_wins_over_both() -> None:
    slit = chain((40, 10), (40, 30))
    structure = read(OUTLINE, FOLD, slit)
    assert structure.crease_length == pytest.approx(30)
    assert structure.cut_length == pytest.approx(320)
    told = read(OUTLINE, slit, chain((40, 0), (40, 50), kind=CREASE, evidence=Evidence.TOLD))
    assert told.crease_length == pytest.approx(50)
    assert told.cut_length == pytest.approx(300)


def test_lines_without_length_are_left_out_and_told() -> None:
    structure = read(OUTLINE, FOLD, chain((5, 5), (5, 5)), chain((7, 7), (7.001, 7)))
    assert_two_panels(structure)
    assert structure.reports == ("2 lines without length left out",)


def test_a_slit_within_a_panel_is_told_as_such() -> None:
    structure = read(OUTLINE, chain((20, 20), (60, 20)))
    assert len(structure.panels) == 1
    assert structure.reports == ("2 cut ends within a panel: a slit, or a line left open",)


def test_cuts_that_enclose_nothing_give_no_panel_and_a_sentence() -> None:
    structure = read(chain((0, 0), (50, 50)), chain((0, 50), (50, 0)))
    assert structure.panels == ()
    assert "the lines enclose no panel" in structure.reports
    assert structure.cut_length == pytest.approx(2 * math.hypot(50, 50))


@pytest.mark.parametrize("noise", [0.0, 0.0015])
def test_a_curve_in_thousands_of_strokes_is_one_curve(noise: float) -> None:
    count, rng = 5000, random.Random(1)
    places = [(100 + 60 * math.cos(2 * math.pi * k / count), 100 + 60 * math.sin(2 * math.pi * k / count))
              for k in range(count + 1)]  # fmt: skip
    strokes = [
        chain(a, (b[0] + rng.uniform(-noise, noise), b[1] + rng.uniform(-noise, noise)))
        for a, b in pairwise(places)
    ]
    structure = read(*strokes)
    assert len(structure.panels) == 1
    assert structure.cut_length == pytest.approx(120 * math.pi, abs=0.05)
    assert structure.outline_area == pytest.approx(math.pi * 3600, rel=1e-3)


def test_an_absurd_scribble_is_refused_with_a_sentence() -> None:
    rng = random.Random(3)
    places = [(rng.uniform(0, 500), rng.uniform(0, 500)) for _ in range(3000)]
    structure = read(chain(*places))
    assert structure.panels == ()
    assert any("cross too much" in report for report in structure.reports)


def test_confetti_is_survived() -> None:
    rng = random.Random(4)
    ends = [
        (rng.uniform(0, 50), rng.uniform(0, 50), rng.uniform(-1, 1), rng.uniform(-1, 1)) for _ in range(1500)
    ]
    assert read(*(chain((x, y), (x + dx, y + dy)) for x, y, dx, dy in ends)).reports


PLACE = st.tuples(st.integers(0, 20).map(lambda n: n * 2.5), st.floats(-10, 60).map(lambda x: round(x, 2)))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.lists(PLACE, min_size=2, max_size=5), st.sampled_from(LineKind)), max_size=12))
def test_any_lines_can_be_read(drawing: list[tuple[list[tuple[float, float]], LineKind]]) -> None:
    structure = read(*(chain(*places, kind=kind) for places, kind in drawing))
    total = sum(panel.area for panel in structure.panels)
    assert structure.outline_area == pytest.approx(total)
    assert total <= 50 * 70 + 1e-6
