"""The folded box, ways up, meetings, check points and text numbers on the map page."""

from __future__ import annotations

import functools
import math
from dataclasses import replace
from pathlib import Path

import pytest
import shapely

from tests.fold.flats import BY_NAME, structure
from tests.outlines import colliding_words, covers, outline, rectangle, words_box
from tests.sample_plans import ALL_PLANS, LETTER, facts_for, grid_2x3
from tiler.flat.read import Wanted, read_flat
from tiler.geometry import Affine, Point, Rect, Size
from tiler.job import CheckPoint, Job
from tiler.load import Loaded, load
from tiler.marks.box_picture import BoxPicture, PicturedFace
from tiler.marks.facts import CheckSpot, Facts, FoldFacts
from tiler.marks.shapes import Area, Artwork, Line, Page, Ring, Words
from tiler.pack.corners_view import draw_box
from tiler.pack.ink import text_width
from tiler.pack.map_page import map_pages
from tiler.pack.map_panels import way_up
from tiler.plan.tile import Plan
from tiler.printers.sheets import find_sheet
from tiler.run import facts_of, plan_sheets

SAMPLES = Path(__file__).parent.parent.parent / "sample_art"
SHEETS = ("A4", "letter", "A3", "A5")


@functools.cache
def loaded(file: str) -> Loaded:
    return load(Job(SAMPLES / file, find_sheet("A4")))


def planned(file: str, sheet: str, **choices: object) -> tuple[Plan, Facts]:
    job = Job(SAMPLES / file, find_sheet(sheet), **choices)  # type: ignore[arg-type]
    prepared = plan_sheets(job, loaded(file))
    return prepared.plan, facts_of(prepared)


def drawn(plan: Plan, facts: Facts) -> tuple[Page, ...]:
    return map_pages(plan, facts, text_width)


def texts(pages: tuple[Page, ...]) -> str:
    return " ".join(shape.text for page in pages for shape in page.shapes if isinstance(shape, Words))


def net(flat: Size, columns: int, rows: int) -> list[Point]:
    return [
        Point(flat.width * (x + 0.4) / columns, flat.height * (y + 0.7) / rows)
        for y in range(rows)
        for x in range(columns)
    ]


POINTS = tuple(CheckPoint(f"Look {i}", at) for i, at in enumerate(net(Size(420, 340), 5, 4)))


def crowded(file: str, sheet: str, count: int = 9) -> tuple[Plan, Facts]:
    """A map with everything on it that it may carry."""
    plan, facts = planned(file, sheet, check_points=POINTS)
    numbers = tuple((str(i + 1), at) for i, at in enumerate(net(plan.flat, count, count)))
    return plan, replace(facts, numbers=numbers)


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("file", ["lid.pdf", "tray.pdf"])
def test_nothing_is_written_over_anything_else_on_a_full_map(file: str, sheet: str) -> None:
    plan, facts = crowded(file, sheet)
    for page in drawn(plan, facts):
        assert colliding_words(page.shapes) == []
        landscape = page.size.width > page.size.height
        printable = rectangle(plan.sheet.printable(plan.margins, landscape).grown(1e-6))
        for shape in page.shapes:
            assert covers(printable, outline(shape, halo=False)), shape


@pytest.mark.parametrize("name", ALL_PLANS)
def test_no_disc_of_a_check_point_hides_a_word(name: str) -> None:
    plan = ALL_PLANS[name]()
    spots = tuple(CheckSpot("abcdefghjkmn"[i], "Look", at) for i, at in enumerate(net(plan.flat, 4, 3)))
    page = drawn(plan, replace(facts_for(plan), check_points=spots))[0]
    discs = [s for s in page.shapes if isinstance(s, Ring) and s.filled and s.radius > 1]
    assert len(discs) >= len(spots)
    for disc in discs:
        hidden = [s.text for s in page.shapes if isinstance(s, Words) and _touch(disc, s)]
        assert len(hidden) == 1, hidden
        assert hidden[0] in "abcdefghjkmn"


def _touch(disc: Ring, words: Words) -> bool:
    return bool(words_box(words).buffer(-0.05).intersects(shapely.Point(disc.centre).buffer(disc.radius)))


def test_a_disc_stands_on_its_spot_and_beside_it_with_a_line_where_that_is_taken() -> None:
    plan = grid_2x3()
    free, again = Point(300, 100), Point(302, 100)
    spots = (CheckSpot("a", "Free", free), CheckSpot("b", "Same place", again))
    page = drawn(plan, replace(facts_for(plan), check_points=spots))[0]
    (art,) = (s for s in page.shapes if isinstance(s, Artwork))
    factor = art.clip.width / plan.flat.width
    at, then = (Point(art.clip.x + p.x * factor, art.clip.y + p.y * factor) for p in (free, again))
    discs = [s for s in page.shapes if isinstance(s, Ring) and s.filled and s.radius > 1]
    assert any(math.dist(disc.centre, at) < 1e-6 for disc in discs)
    leaders = [s for s in page.shapes if isinstance(s, Line) and math.dist(s.points[0], then) < 1e-6]
    assert any(disc.centre == leader.points[-1] for leader in leaders for disc in discs)


def test_check_points_are_listed_with_their_tiles() -> None:
    plan = grid_2x3()
    spots = (
        CheckSpot("a", "Hinge", plan.tiles[0].face.centre),
        CheckSpot("b", "Handle", plan.tiles[-1].face.centre),
        CheckSpot("c", "Beyond", Point(-50, -50)),
    )
    text = texts(drawn(plan, replace(facts_for(plan), check_points=spots)))
    assert f"(a) Hinge, {plan.tiles[0].label}; (b) Handle, {plan.tiles[-1].label};" in text
    assert "(c) Beyond, on no sheet" in text


def test_the_arrow_of_a_panel_points_where_the_folded_box_has_its_top() -> None:
    plan, facts = planned("tray.pdf", "A4")
    page = drawn(plan, facts)[0]
    words = {s.text: s for s in page.shapes if isinstance(s, Words) and s.text in ("P2", "P4", "P6", "P8")}
    heads = [s for s in page.shapes if isinstance(s, Area) and 0 < s.grey < 0.5]
    # A tray's walls are up away from its bottom: P2 lies above it, P4 left, P6 right, P8 below.
    for name, direction in {"P2": (0, -1), "P4": (-1, 0), "P6": (1, 0), "P8": (0, 1)}.items():
        near = min(heads, key=lambda head: math.dist(head.points[0], words[name].at))
        tip, *base = near.points
        back = Point((base[0].x + base[1].x) / 2, (base[0].y + base[1].y) / 2)
        length = math.dist(tip, back)
        assert ((tip.x - back.x) / length, (tip.y - back.y) / length) == pytest.approx(direction)


@pytest.mark.parametrize("turn", [0, 37, 90, 180, -90])
def test_an_arrow_is_turned_clockwise_from_the_top(turn: float) -> None:
    tip = [shape for shape in way_up(Point(50, 50), turn) if isinstance(shape, Area)][-1].points[0]
    angle = math.radians(turn)
    assert (tip.x - 50, tip.y - 50) == pytest.approx((1.5 * math.sin(angle), -1.5 * math.cos(angle)))


def test_a_level_panel_has_a_dot() -> None:
    (dot,) = way_up(Point(50, 50), None)
    assert isinstance(dot, Ring)
    assert dot.filled


def test_both_edges_of_every_meeting_are_named_and_no_name_stands_in_the_bleed() -> None:
    plan, facts = planned("tray.pdf", "A4")
    assert facts.fold is not None
    page = drawn(plan, facts)[0]
    art = next(s for s in page.shapes if isinstance(s, Artwork) and s.lighten)
    named = [
        s for s in page.shapes if isinstance(s, Words) and s.text.startswith("m") and s.text[1:].isdigit()
    ]
    on_flat = [s for s in named if art.clip.contains(s.at)]
    assert sorted(s.text for s in on_flat) == ["m1", "m1", "m2", "m2", "m3", "m3", "m4", "m4"]
    factor = art.clip.width / plan.flat.width
    for edge in facts.fold.edges:
        ends = [(art.clip.x + p.x * factor, art.clip.y + p.y * factor) for p in (edge.start, edge.end)]
        line = shapely.LineString(ends)
        distance = min(line.distance(words_box(s)) for s in on_flat if s.text == edge.text)
        assert (3 * factor if edge.spots else 0) < distance < 3


@pytest.mark.parametrize("sheet", ["A4", "letter", "A5"])
def test_the_folded_box_stands_over_its_size_and_hides_no_word(sheet: str) -> None:
    plan, facts = planned("lid.pdf", sheet)
    found = [
        (page, s) for page in drawn(plan, facts) for s in page.shapes if isinstance(s, Artwork) and s.rings
    ]
    assert found
    page = found[0][0]
    faces = shapely.union_all([rectangle(art.clip) for _, art in found])
    size = max(
        (s for s in page.shapes if isinstance(s, Words) and s.text == "300 × 220 × 60 mm"),
        key=lambda words: words.at.y,
    )
    assert size.at.y > faces.bounds[3]
    assert size.at.y - faces.bounds[3] < 8
    others = [s for s in page.shapes if isinstance(s, Words) and not s.text.startswith("m")]
    assert not any(words_box(words).intersects(faces) for words in others)


def test_the_faces_of_the_box_show_their_own_part_of_the_flat() -> None:
    plan, facts = planned("lid.pdf", "A4")
    panels = {p.id: shapely.Polygon(p.polygon) for p in loaded("lid.pdf").structure.panels}
    shown = set()
    for page in drawn(plan, facts):
        for art in page.shapes:
            if isinstance(art, Artwork) and art.rings:
                back = art.to_sheet.inverse()
                middle = shapely.Polygon([back.apply(*p) for p in art.rings[0]]).centroid
                shown |= {name for name, panel in panels.items() if panel.contains(middle)}
    # From before its right corner and above: the top, the front below it on the flat, and the right side.
    assert shown == {"P5", "P8", "P6"}


def test_the_folded_box_never_makes_the_drawing_much_smaller() -> None:
    for sheet in SHEETS:
        plan, facts = planned("tray.pdf", sheet)
        assert facts.fold is not None
        without = replace(facts, fold=replace(facts.fold, picture=None))
        sizes = [
            next(s for s in drawn(plan, told)[0].shapes if isinstance(s, Artwork) and s.lighten).clip.width
            for told in (facts, without)
        ]
        assert sizes[0] >= 0.92 * sizes[1]


def test_what_finds_no_room_is_told() -> None:
    plan, facts = crowded("lid.pdf", "A5", count=30)
    text = texts(drawn(plan, facts))
    assert "Left out of this map for want of room:" in text
    assert "text numbers" in text
    plan, facts = planned("lid.pdf", "A4")
    assert "Left out" not in texts(drawn(plan, facts))


def test_a_number_stands_on_its_text() -> None:
    plan = grid_2x3()
    wanted = {"1": Point(100, 60), "2": Point(300, 90), "17": Point(250, 250)}
    page = drawn(plan, replace(facts_for(plan), numbers=tuple(wanted.items())))[0]
    (art,) = (s for s in page.shapes if isinstance(s, Artwork))
    factor = art.clip.width / plan.flat.width
    for text, at in wanted.items():
        spot = shapely.Point(art.clip.x + at.x * factor, art.clip.y + at.y * factor)
        words = [words_box(s) for s in page.shapes if isinstance(s, Words) and s.text == text]
        assert min(box.centroid.distance(spot) for box in words) < 0.5


def test_panels_that_end_on_their_heads_are_named() -> None:
    plan = grid_2x3()
    fold = FoldFacts((300, 220, 60), upside_down=("P2", "P8"))
    text = texts(drawn(plan, replace(facts_for(plan), fold=fold)))
    assert "text on P2 and P8 is upside down" in text


def test_the_words_on_the_real_board_take_the_place_of_the_general_ones() -> None:
    plan = grid_2x3()
    fold = FoldFacts((300, 220, 60), board="Board of 0.5 mm: try it.")
    text = texts(drawn(plan, replace(facts_for(plan), fold=fold)))
    assert "Board of 0.5 mm: try it." in text
    assert "about one caliper" not in text


def test_an_inside_print_of_its_own_size_is_laid_middle_on_middle() -> None:
    flat, inside = Size(400, 300), Size(406, 304)
    ring = (Point(0, 0), Point(100, 0), Point(100, 50), Point(0, 50))
    mirrored = Affine(-1, 0, 0, 1, flat.width, 0)
    box = BoxPicture((PicturedFace("inside", mirrored, (ring,), 0.0),), (), (), Rect(0, 0, 100, 50), True)
    (art,) = draw_box(box, Rect(0, 0, 100, 50), flat, text_width, inside)
    assert isinstance(art, Artwork)
    assert art.flat == inside
    assert art.to_sheet.apply(inside.width / 2, inside.height / 2) == pytest.approx((200, 150))


@pytest.mark.parametrize("name", BY_NAME)
def test_the_map_of_any_box_is_readable(name: str, tmp_path: Path) -> None:
    flat = read_flat(SAMPLES / "tray.pdf", Wanted())
    known = Loaded(flat, structure(name))
    prepared = plan_sheets(Job(flat.path, LETTER), known)
    for page in drawn(prepared.plan, facts_of(prepared)):
        assert colliding_words(page.shapes) == []
