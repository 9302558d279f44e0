"""What folding tells the sheets, held against boxes whose folding is worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
import shapely

from tests.flats import flat_pdf
from tests.fold.flats import BY_NAME, structure
from tiler.check_spots import check_spots
from tiler.errors import UsageError
from tiler.flat.read import Wanted, read_flat
from tiler.fold.choices import FoldChoices
from tiler.folding import fold_facts, fold_of, fold_warnings
from tiler.geometry import Point
from tiler.job import CheckPoint, Job
from tiler.load import Loaded, load
from tiler.marks.facts import FoldFacts
from tiler.printers.sheets import find_sheet
from tiler.run import plan_sheets

SAMPLES = Path(__file__).parent.parent / "sample_art"
A4 = find_sheet("A4")
TRAY = Job(SAMPLES / "tray.pdf", A4)


@pytest.fixture(scope="module")
def tray() -> Loaded:
    return load(TRAY)


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    """A flat without lines, to which those of a carton are given."""
    path = flat_pdf(tmp_path_factory.mktemp("blank") / "a.pdf")
    return Loaded(read_flat(path, Wanted()), structure("pyramid"))


def told(job: Job, loaded: Loaded) -> FoldFacts:
    facts = fold_facts(job, loaded)
    assert facts is not None
    return facts


def test_the_walls_of_a_tray_point_outward_and_its_bottom_lies_level(tray: Loaded) -> None:
    # A tray stands on its middle panel. Folded up, the far end of each wall is its rim, so up on a wall
    # is the direction from the middle panel's centre to the wall's: found here from the outlines alone.
    panels = {panel.id: shapely.Polygon(panel.polygon) for panel in tray.structure.panels}
    bottom = max(panels, key=lambda name: panels[name].area)
    middle = panels[bottom].centroid
    ups = dict(told(TRAY, tray).ups)
    assert ups[bottom] is None
    walls = [n for n in panels if n != bottom and panels[n].intersection(panels[bottom]).length > 100]
    assert len(walls) == 4
    for name in walls:
        dx, dy = panels[name].centroid.x - middle.x, panels[name].centroid.y - middle.y
        outward = (math.copysign(1, dx), 0) if abs(dx) > abs(dy) else (0, math.copysign(1, dy))
        turn = ups[name]
        assert turn is not None
        assert (math.sin(math.radians(turn)), -math.cos(math.radians(turn))) == pytest.approx(outward)


def test_a_flap_of_the_tray_is_up_where_the_wall_that_carries_it_is(tray: Loaded) -> None:
    # A flap turns about an upright corner, so its up is that of its wall: 0 above the bottom, 180 below it.
    ups = dict(told(TRAY, tray).ups)
    assert [round(ups[name] or 0) % 360 for name in ("P1", "P3", "P7", "P9")] == [0, 0, 180, 180]


def test_a_lid_stands_on_its_rim_so_its_walls_point_to_the_top() -> None:
    job = Job(SAMPLES / "lid.pdf", A4)
    ups = dict(told(job, load(job)).ups)
    # P2 above, P4 left of, P6 right of and P8 below the top panel P5, as on the map.
    assert ups["P5"] is None
    assert [round(ups[name] or 0) % 360 for name in ("P2", "P4", "P6", "P8")] == [180, 90, 270, 0]


def test_the_folded_size_is_told_after_scaling(tray: Loaded) -> None:
    assert told(TRAY, tray).size == pytest.approx((298, 218, 80))
    assert told(replace(TRAY, scale=0.5), tray).size == pytest.approx((149, 109, 40))


def test_meeting_edges_have_the_names_and_places_of_the_box(tray: Loaded) -> None:
    meetings = fold_of(tray, FoldChoices()).box.meetings
    edges = told(replace(TRAY, scale=0.5), tray).edges
    assert [edge.text for edge in edges] == [meeting.id for meeting in meetings for _ in "ab"]
    for edge, side in zip(edges, (s for m in meetings for s in (m.a, m.b)), strict=True):
        assert (*edge.start, *edge.end) == pytest.approx(tuple(v / 2 for v in (*side.start, *side.end)))


@pytest.mark.parametrize("name", [name for name in BY_NAME if name != "single panel"])
@pytest.mark.parametrize("scale", [1.0, 0.25])
def test_spots_for_names_lie_in_the_waste_whatever_the_scale(blank: Loaded, name: str, scale: float) -> None:
    loaded = replace(blank, structure=structure(name))
    facts = fold_facts(replace(TRAY, scale=scale), loaded)
    board = shapely.union_all([shapely.Polygon(panel.polygon) for panel in structure(name).panels])
    for edge in facts.edges if facts is not None else ():
        for spot in edge.spots:
            assert board.distance(shapely.Point(spot.x / scale, spot.y / scale)) * scale >= 2.9


def test_the_board_is_spoken_of_only_at_true_size_and_with_a_caliper(tray: Loaded) -> None:
    thick = replace(TRAY, fold=FoldChoices(caliper=2))
    assert told(TRAY, tray).board == ""
    assert told(replace(thick, scale=0.5), tray).board == ""
    # 298 × 218 × 80 mm between crease centres: two walls take half a caliper each, a tray has one bottom.
    assert "inside about 296 × 216 × 79 mm" in told(thick, tray).board


def test_a_flat_is_folded_once_for_all_choices_of_paper(tray: Loaded) -> None:
    assert fold_of(tray, FoldChoices()) is fold_of(tray, FoldChoices())
    assert told(TRAY, tray).picture is told(replace(TRAY, scale=0.5), tray).picture


def test_a_flat_that_is_no_box_has_nothing_to_tell(blank: Loaded) -> None:
    assert fold_facts(TRAY, replace(blank, structure=structure("single panel"))) is None
    assert fold_facts(TRAY, load(Job(SAMPLES / "sleeve.jpg", A4))) is None


def test_the_reason_is_among_the_warnings_only_when_folding_was_asked_for() -> None:
    job = Job(SAMPLES / "sleeve.jpg", A4)
    loaded = load(job)
    asked = replace(job, corners=True)
    assert fold_warnings(job, loaded) == ()
    (reason,) = fold_warnings(asked, loaded)
    assert reason in plan_sheets(asked, loaded).warnings
    assert reason not in plan_sheets(job, loaded).warnings


def test_a_panel_that_does_not_exist_is_refused_in_a_sentence(tray: Loaded) -> None:
    with pytest.raises(UsageError, match="P99"):
        plan_sheets(replace(TRAY, fold=FoldChoices(root="P99")), tray)


def test_check_points_get_letters_and_know_whether_they_lie_in_the_waste(tray: Loaded) -> None:
    # The tray's upper left corner is waste; its middle is the bottom panel.
    points = (CheckPoint("Corner", Point(20, 20)), CheckPoint("Middle", Point(232, 192)))
    first, second = check_spots(replace(TRAY, check_points=points, scale=0.5), tray)
    assert (first.sign, first.name, first.in_waste) == ("a", "Corner", True)
    assert (second.sign, second.at, second.in_waste) == ("b", Point(116, 96), False)


def test_panels_upside_down_are_named_in_order() -> None:
    job = Job(SAMPLES / "lid.pdf", A4, fold=FoldChoices(stands="root"))
    # A lid made to stand on its top: every wall that has text reads upside down.
    assert told(job, load(job)).upside_down == ("P2", "P4", "P6", "P8")
