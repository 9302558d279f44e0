"""The folded box as cells, and how it is looked at."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from tests.fold.flats import boxed
from tiler.fold.camera import CORNERS, Corner
from tiler.fold.view import Texture, Textures
from tiler.tui.fold_look import ZOOMS, Look, corner_words
from tiler.tui.fold_picture import Prints, Shot, draw
from tiler.tui.latest import Latest
from tiler.tui.paint import paint_plain

TRAY = boxed("telescoping tray")
LIGHT = (255, 185, 84)
GROUND = (1, 2, 3)
SHOT = Shot(TRAY, Prints(), Look(), 60, 24, ground=GROUND, light=LIGHT)


def words_of(shot: Shot) -> list[str]:
    marks = draw(shot).marks
    return [
        "".join(marks[r, c].text if (r, c) in marks else " " for c in range(shot.columns))
        for r in range(shot.rows)
    ]


def test_the_box_stands_in_the_middle_on_its_ground() -> None:
    points = draw(SHOT).points
    assert points.shape == (48, 60, 3)
    assert tuple(points[0, 0]) == GROUND
    rows, columns = np.nonzero((points != GROUND).any(axis=2))
    assert (columns.min() + columns.max()) / 2 == pytest.approx(29.5, abs=2)
    assert rows.max() - rows.min() > 20
    assert columns.max() - columns.min() > 45


def test_art_lies_on_the_box() -> None:
    red = Texture(Image.new("RGB", (400, 320), "red"), 2.0)
    shot = replace(SHOT, prints=Prints.of(Textures(red)), look=Look(CORNERS["below-front-right"]))
    points = draw(shot).points.astype(int)
    reddish = (points[..., 0] > points[..., 1] + 80).sum()
    assert reddish > 400
    assert (draw(SHOT).points.astype(int)[..., 0] > 80 + draw(SHOT).points.astype(int)[..., 1]).sum() == 0


def test_prints_are_halved_for_small_pictures() -> None:
    large = Texture(Image.new("RGB", (1600, 1200), "white"), 8.0)
    prints = Prints.of(Textures(large))
    assert [level.outside.pixels_per_mm for level in prints.levels if level.outside] == [8, 4, 2, 1]
    found = prints.for_density(1.5).outside
    assert found is not None
    assert found.pixels_per_mm == 2
    assert prints.for_density(99) == prints.levels[0]
    assert prints.density == 8
    assert Prints().for_density(1) == Textures()


def test_what_is_picked_is_lit_and_named() -> None:
    meeting = draw(replace(SHOT, look=Look(CORNERS["front-right"], picked="m4")))
    assert meeting.is_picked_seen
    assert (meeting.points == LIGHT).all(axis=2).sum() > 5
    assert any(" m4 " in line for line in words_of(replace(SHOT, look=Look(picked="m4"))))
    crease = draw(replace(SHOT, look=Look(picked="P3/P4")))
    assert (crease.points == LIGHT).all(axis=2).sum() > 5
    hidden = draw(replace(SHOT, look=Look(Corner(45, -20), picked="m2")))
    assert not hidden.is_picked_seen
    assert not (hidden.points == LIGHT).all(axis=2).any()


def test_odd_meetings_are_named_on_the_closed_box_only() -> None:
    odd = replace(SHOT, odd=frozenset({"m4"}))
    assert any(" m4 " in line for line in words_of(odd))
    assert not any("m4" in line for line in words_of(replace(odd, look=Look(shut=50))))
    both = words_of(replace(odd, look=Look(picked="m4", zoom=3.0)))
    assert sum(line.count("m4") for line in both) == 1


def test_panels_bear_their_names_unless_that_is_not_wanted() -> None:
    text = "\n".join(words_of(replace(SHOT, look=Look(shut=0))))
    assert all(name in text for name in ("P1", "P2", "P3", "P4", "P5"))
    assert not draw(replace(SHOT, look=Look(shut=0, has_names=False))).marks


def test_without_colours_the_box_is_drawn_in_lines_of_plain_characters() -> None:
    drawn = draw(replace(SHOT, plain=True, look=Look(picked="m4")))
    lines = [strip.text for strip in paint_plain(drawn.points, drawn.marks)]
    text = "\n".join(lines)
    assert text.isascii()
    assert {"-", "|", "#"} <= set(text)
    assert "P5" in text
    assert {len(line) for line in lines} == {60}


def test_a_draft_shows_the_same_box_in_few_colours() -> None:
    art = np.random.default_rng(7).integers(0, 256, (320, 400, 3), dtype=np.uint8)
    shot = replace(
        SHOT,
        prints=Prints.of(Textures(Texture(Image.fromarray(art), 2.0))),
        look=Look(CORNERS["below-front-right"]),
    )
    fine, draft = draw(shot), draw(replace(shot, is_draft=True))
    colours = [len(np.unique(drawn.points.reshape(-1, 3), axis=0)) for drawn in (fine, draft)]
    assert colours[1] < 0.8 * colours[0]
    assert np.abs(fine.points.astype(int) - draft.points.astype(int)).mean() < 16


def test_nearer_shows_what_is_picked_larger_in_the_middle() -> None:
    look = Look(picked="m4")
    near = draw(replace(SHOT, look=replace(look, zoom=6.0)))
    assert near.density == pytest.approx(6 * draw(replace(SHOT, look=look)).density)
    rows, columns = np.nonzero((near.points == LIGHT).all(axis=2))
    assert columns.mean() == pytest.approx(30, abs=3)
    assert rows.mean() == pytest.approx(24, abs=3)


def test_a_look_turns_opens_and_comes_nearer_within_its_ends() -> None:
    look = Look()
    assert look.turned(350, 100).corner == Corner(22, 90)
    assert look.closed_by(-30).shut == 70
    assert look.closed_by(30).shut == 100
    assert look.closed_to(-5).opening == 1
    assert look.zoomed(1).zoomed(1).zoom == ZOOMS[2]
    assert look.zoomed(99).zoom == ZOOMS[-1]
    assert look.zoomed(3).zoomed(0).zoom == 1
    assert look.opposite().corner == Corner(-148, -24)
    seen = []
    for _ in CORNERS:
        seen.append(look.corner)
        look = look.next_corner(1)
    assert seen == list(CORNERS.values())
    assert look.next_corner(-1).corner == seen[-1]
    assert Look(Corner(1, 2)).next_corner(1).corner == seen[0]
    assert Look(Corner(1, 2)).next_corner(-1).corner == seen[-1]


def test_a_glide_takes_the_shorter_way_round_and_ends_where_it_shall() -> None:
    start, end = Look(Corner(170, 0), shut=0), Look(Corner(-170, 40), shut=100)
    half = start.towards(end, 0.5)
    assert half.corner.azimuth == pytest.approx(-180)
    assert (half.corner.elevation, half.shut) == (20, 50)
    assert start.towards(end, 0).corner == start.corner
    assert start.towards(end, 1.2) == end


@pytest.mark.parametrize(
    ("corner", "words"),
    [
        (Corner(0, 90), "straight from above"),
        (Corner(0, -90), "straight from below"),
        (Corner(5, 0.2), "from the front, level"),
        (Corner(-45, 30), "from front left, 30° above"),
        (Corner(90, -10), "from the right, 10° below"),
    ],
)
def test_a_corner_is_told_in_words(corner: Corner, words: str) -> None:
    assert corner_words(corner) == words


def test_of_wishes_that_wait_only_the_newest_is_worked_on() -> None:
    begun: list[int] = []
    latest: Latest[int] = Latest(begun.append)
    for wish in (1, 2, 3):
        latest.want(wish)
    assert begun == [1]
    latest.done()
    assert begun == [1, 3]
    latest.done()
    assert not latest.is_busy
    latest.want(4)
    assert begun == [1, 3, 4]
