"""Strips lie as their panels meet, and drawings of the box are data that a page or an SVG file can take."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
import shapely
from PIL import Image
from shapely.geometry import Polygon

from tests.fold.flats import boxed
from tiler.fold.camera import CORNERS
from tiler.fold.scene import scene_of
from tiler.fold.strips import crease_strips, meeting_strips, picture_of, rings_of
from tiler.fold.svg import svg_of
from tiler.fold.verdict import Verdict
from tiler.fold.view import Texture, Textures
from tiler.pack.corners_facts import BAND

MATCHES = Verdict("matches", 0.0, None, 0.0, 0.0, 0.0)
NAMES = ["telescoping tray", "straight tuck", "hexagonal sleeve", "pyramid", "lid with glue flaps"]


@pytest.mark.parametrize("name", NAMES)
def test_both_sides_of_a_strip_are_turned_never_mirrored_and_meet_point_for_point(name: str) -> None:
    found = boxed(name)
    strips = meeting_strips(found, {meeting.id: MATCHES for meeting in found.meetings})
    for strip, meeting in zip(strips, found.meetings, strict=True):
        for side, edge in ((strip.above, meeting.a), (strip.below, meeting.b)):
            a, b, c, d, _, _ = side.to_strip
            assert (a * d - b * c, a * a + b * b) == pytest.approx((1, 1))
            ends = [side.to_strip.apply(*place) for place in (edge.start, edge.end)]
            assert [end.y for end in ends] == pytest.approx([0, 0], abs=1e-6)
        starts = [s.to_strip.apply(*e.start) for s, e in ((strip.above, meeting.a), (strip.below, meeting.b))]
        assert starts[0] == pytest.approx(starts[1], abs=0.05)


@pytest.mark.parametrize("name", NAMES)
def test_a_strip_shows_fifteen_millimetres_of_the_panel_on_its_own_side(name: str) -> None:
    found = boxed(name)
    for strip in meeting_strips(found, {meeting.id: MATCHES for meeting in found.meetings}):
        above = [point.y for ring in strip.above.rings for point in ring]
        below = [point.y for ring in strip.below.rings for point in ring]
        assert -BAND - 1e-6 <= min(above) < -5
        assert max(above) <= 1e-6
        assert 5 < max(below) <= BAND + 1e-6
        assert min(below) >= -1e-6


def test_every_hinge_has_a_strip_as_it_lies_in_the_flat() -> None:
    found = boxed("sleeve")
    strips = crease_strips(found)
    assert [strip.name for strip in strips] == ["P1 | P2", "P2 | P3", "P3 | P4", "P4 | P5"]
    for strip in strips:
        assert strip.length == pytest.approx(60)
        assert strip.above.to_strip == pytest.approx(strip.below.to_strip)


def test_outlines_without_holes_cover_what_was_there() -> None:
    holed = Polygon(
        [(0, 0), (20, 0), (20, 10), (0, 10)], [[(4, 4), (6, 4), (6, 6), (4, 6)], [(12, 3), (14, 3), (14, 5)]]
    )
    parts = [Polygon(ring) for ring in rings_of(holed)]
    assert all(not part.interiors for part in parts)
    assert shapely.union_all(parts).symmetric_difference(holed).area < 1e-9
    assert sum(part.area for part in parts) == pytest.approx(holed.area)


def test_a_picture_for_a_page_holds_every_visible_face() -> None:
    scene = scene_of(boxed("straight tuck"), CORNERS["front-right"])
    picture = picture_of(scene, 275.0)
    assert len(picture.faces) == len(scene.facets) == 3
    assert {name for name, _ in picture.labels} == {label.text for label in scene.labels}


def test_an_svg_file_is_well_formed_and_embeds_each_print_once() -> None:
    texture = Texture(Image.new("RGB", (275, 254), (40, 60, 200)), 1.0)
    scene = scene_of(boxed("straight tuck"), CORNERS["front-right"])
    root = ET.fromstring(svg_of(scene, Textures(texture)))
    space = "{http://www.w3.org/2000/svg}"
    assert root.tag == f"{space}svg"
    assert len(root.findall(f".//{space}image")) == 1
    assert len(root.findall(f".//{space}use")) == 3
    names = {element.text for element in root.findall(f".//{space}text")}
    assert names == {label.text for label in scene.labels}
    assert root.get("width", "").endswith("mm")
