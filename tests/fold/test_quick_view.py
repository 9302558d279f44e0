"""The box that is drawn point by point is the box that is cut out exactly."""

from __future__ import annotations

import math

import pytest

from tests.fold.flats import BY_NAME, boxed, chosen
from tiler.fold.best_corner import best_corner
from tiler.fold.box import FoldedBox
from tiler.fold.camera import CORNERS, Corner, projection
from tiler.fold.framing import enlarged, steady_extent
from tiler.fold.quick_view import FINER, QuickView, middle_of, quick_view
from tiler.fold.scene import scene_of
from tiler.fold.spotlight import hinge_named, meeting_named, visible_crease, visible_edge, visible_meeting
from tiler.fold.view import Textures
from tiler.geometry import Point, Rect

SIZE = (240, 180)


def seen(box: FoldedBox, corner: Corner, opening: float = 0.0) -> QuickView:
    places = box.folding.places(opening)
    return quick_view(box, places, corner, steady_extent(box, places, corner), Textures(), SIZE)


@pytest.mark.parametrize("name", BY_NAME)
@pytest.mark.parametrize("opening", [0.0, 0.45])
def test_every_panel_shows_as_much_as_in_the_exact_scene(name: str, opening: float) -> None:
    box, corner = boxed(name), Corner(37, 21)
    view, scene = seen(box, corner, opening), scene_of(box, corner, opening)
    exact = {facet.panel: facet.shape for facet in scene.facets}
    finest = FINER * view.to_points.a
    whole = sum(shape.area for shape in exact.values()) * finest**2
    for number, node in enumerate(box.folding.tree.nodes):
        points = int((view.owner == number).sum())
        shape = exact.get(node.panel.id)
        area = 0.0 if shape is None else shape.area * finest**2
        edge = 0.0 if shape is None else shape.length * finest
        assert abs(points - area) <= 1.2 * edge + 0.02 * whole, node.panel.id


@pytest.mark.parametrize("azimuth", range(0, 360, 45))
@pytest.mark.parametrize("opening", [0.0, 0.5, 1.0])
def test_a_box_keeps_its_place_and_size_while_it_is_turned(azimuth: int, opening: float) -> None:
    box = boxed("straight tuck")
    places = box.folding.places(opening)
    first, other = (steady_extent(box, places, Corner(turn, 24)) for turn in (0, azimuth))
    assert (first.width, first.height) == pytest.approx((other.width, other.height))
    matrix = projection(box.standing, Corner(azimuth, 24))
    for node in box.folding.tree.nodes:
        for x, y, _ in (places[node.panel.id].place(node.panel.polygon) @ matrix.T).tolist():
            assert other.x - 1e-6 <= x <= other.right + 1e-6
            assert other.y - 1e-6 <= y <= other.bottom + 1e-6


def test_an_enlarged_picture_shows_less_round_its_middle() -> None:
    extent = Rect(10, 20, 100, 60)
    assert enlarged(extent, 1) == extent
    assert enlarged(extent, 2) == Rect(35, 35, 50, 30)
    assert enlarged(extent, 4, Point(0, 0)) == Rect(-12.5, -7.5, 25, 15)


def test_the_front_edge_of_a_box_is_seen_and_the_back_edge_is_not() -> None:
    box = boxed("telescoping tray")
    places = box.folding.places()
    shown = {}
    for azimuth in (45, 135, -135, -45):
        view = seen(box, Corner(azimuth, -10))
        shown[azimuth] = {m.id for m in box.meetings if visible_meeting(view, places, m)}
    assert all(len(found) == 3 for found in shown.values())
    assert len({frozenset(found) for found in shown.values()}) == 4


def test_a_visible_edge_is_as_long_as_its_projection() -> None:
    box = boxed("telescoping tray")
    places = box.folding.places()
    view = seen(box, Corner(45, -10))
    lengths = []
    for meeting in box.meetings:
        side, place = meeting.a, places[meeting.a.panel]
        ends = view.pictured(place.place([side.start, side.end]))
        stretches = visible_edge(view, place, side.start, side.end)
        whole = math.dist(ends[0, :2].tolist(), ends[1, :2].tolist())
        lengths.append(sum(math.dist(*stretch) for stretch in stretches) / whole)
    assert sorted(lengths) == pytest.approx([0, 1, 1, 1], abs=0.05)


def test_both_edges_of_a_meeting_are_shown_while_the_box_is_open() -> None:
    box = boxed("telescoping tray")
    view = seen(box, Corner(32, 80), 1.0)
    found = visible_meeting(view, box.folding.places(1.0), box.meetings[0])
    assert len(found) == 2
    assert math.dist(found[0][0], found[1][0]) > 5


def test_creases_and_meetings_are_found_by_name() -> None:
    box = boxed("telescoping tray")
    _, hinge = next(iter(box.folding.tree.hinged()))
    assert hinge_named(box, hinge.name) == hinge
    assert hinge_named(box, "P1/P99") is None
    assert meeting_named(box, "m2") == box.meetings[1]
    assert meeting_named(box, "m99") is None
    opened = box.folding.places(1.0)
    assert visible_crease(seen(box, CORNERS["front-right"], 1.0), opened, hinge)


def test_a_flap_under_a_wall_is_hidden_by_it() -> None:
    box = boxed("lid with glue flaps")
    flaps = {n.panel.id for n in box.folding.tree.nodes if box.folding.folds.get(n.panel.id) is not None}
    under = {name for name in flaps if box.folding.folds[name].how == "laid under"}
    assert len(under) == 4
    for corner in CORNERS.values():
        if corner.elevation > 0:
            view = seen(box, corner)
            points = [
                int((view.owner == number).sum())
                for number, node in enumerate(box.folding.tree.nodes)
                if node.panel.id in under
            ]
            assert sum(points) < 0.02 * (view.owner >= 0).sum()


def test_a_name_stands_on_its_panel() -> None:
    box = chosen("telescoping tray", stands="rim")
    view = seen(box, CORNERS["front-right"])
    named = 0
    for number in range(len(box.folding.tree.nodes)):
        at = middle_of(view, number, 4)
        if at is not None:
            named += 1
            assert view.owner[int(at.y * FINER), int(at.x * FINER)] == number
    assert named >= 2
    assert middle_of(view, 99, 4) is None


def test_an_inside_print_is_laid_on_the_inside() -> None:
    from PIL import Image

    from tiler.fold.view import Texture

    box = boxed("single panel")
    outline = box.folding.tree.root.box
    red, blue = (
        Texture(Image.new("RGB", (round(outline.right), round(outline.bottom)), colour), 1.0)
        for colour in ("red", "blue")
    )
    places = box.folding.places()
    colours = []
    for elevation in (90, -90):
        corner = Corner(0, elevation)
        view = quick_view(box, places, corner, steady_extent(box, places, corner), Textures(red, blue), SIZE)
        middle = view.points[SIZE[1] // 2, SIZE[0] // 2]
        colours.append("red" if middle[0] > middle[2] else "blue")
    assert sorted(colours) == ["blue", "red"]


@pytest.mark.parametrize("name", ["telescoping tray", "straight tuck", "lid with glue flaps", "pyramid"])
def test_the_best_corner_shows_the_art_on_both_sides_of_a_meeting(name: str) -> None:
    box = boxed(name)
    places = box.folding.places()
    for meeting in box.meetings:
        corner = best_corner(box, meeting, 0.0, CORNERS["front-right"])
        assert corner is not None
        view = seen(box, corner)
        assert visible_meeting(view, places, meeting), (meeting.id, corner)
        facing = [float(places[panel].outside @ view.matrix[2]) for panel in meeting.panels]
        assert min(facing) > 0, (meeting.id, corner)


def test_a_corner_that_shows_as_much_is_kept() -> None:
    box = boxed("telescoping tray")
    shown = {}
    for meeting in box.meetings:
        corner = best_corner(box, meeting, 0.0, CORNERS["front-right"])
        assert corner is not None
        shown[meeting.id] = corner
        assert best_corner(box, meeting, 0.0, corner) == corner
    assert CORNERS["front-right"] in shown.values()
    assert best_corner(box, box.meetings[0], 0.0, CORNERS["front-right"], lambda: True) is None
