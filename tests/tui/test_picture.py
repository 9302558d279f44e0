"""Points, marks and cells of the picture."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.sample_plans import grid_2x3, one_tile
from tiler.geometry import Point, Rect, Size
from tiler.job import CheckPoint, Job
from tiler.plan.request import Nudge, Pin
from tiler.plan.tile import Plan
from tiler.printers.sheets import find_sheet
from tiler.tui.overlay import Scene, cut_points, overlay, shaded
from tiler.tui.paint import paint, paint_plain
from tiler.tui.picking import Picked
from tiler.tui.pixels import PixelStore
from tiler.tui.strokes import Glyph, Strokes
from tiler.tui.structure_facts import Fold
from tiler.tui.themes import MAT, palette_of
from tiler.tui.viewport import Viewport

JOB = Job(Path("lid.pdf"), find_sheet("A4"))
GROUND = (1, 2, 3)


def scene_of(plan: Plan, **changes: object) -> Scene:
    labels = frozenset(tile.label for tile in plan.tiles)
    return replace(Scene(plan.flat, plan, JOB, labels), **changes)  # type: ignore[arg-type]


def drawn(scene: Scene, columns: int = 78, rows: int = 36, zoom: int = 0) -> list[str]:
    view = Viewport.whole(columns, rows, scene.flat).zoomed(zoom)
    marks = overlay(scene, view)
    empty = Glyph(" ", "quiet")
    return ["".join(marks.get((r, c), empty).text for c in range(columns)) for r in range(rows)]


def test_lines_that_meet_become_one_sign() -> None:
    strokes = Strokes(3, 5)
    strokes.level(1, 0, 4, "light", "seam")
    strokes.upright(2, 0, 2, "light", "seam")
    marks = strokes.glyphs()
    lines = ["".join(marks[r, c].text if (r, c) in marks else " " for c in range(5)) for r in range(3)]
    assert lines == ["  ╷  ", "╶─┼─╴", "  ╵  "]


def test_lines_outside_the_window_are_cut_off() -> None:
    strokes = Strokes(2, 2)
    strokes.level(0, -9, 99, "heavy", "picked")
    strokes.upright(7, 0, 1, "heavy", "picked")
    assert {at: glyph.text for at, glyph in strokes.glyphs().items()} == {(0, 0): "━", (0, 1): "━"}


def test_every_tile_bears_its_label_and_the_flat_its_size() -> None:
    text = "\n".join(drawn(scene_of(grid_2x3())))
    assert all(f" {label} " in text for label in ("A1", "A2", "A3", "B1", "B2", "B3"))
    assert " 506 mm " in text
    assert "426" in text


def test_labels_stay_in_sight_when_the_picture_is_enlarged() -> None:
    text = "\n".join(drawn(scene_of(grid_2x3()), zoom=2))
    assert " A2 " in text
    assert " B2 " in text
    assert "mm" not in text


def test_a_picked_tile_and_a_tile_left_out_are_told_by_signs() -> None:
    scene = scene_of(grid_2x3(), picked=Picked(tile="A1"), printed=frozenset({"A1"}))
    text = "\n".join(drawn(scene, 120, 40))
    assert "▸A1◂" in text
    assert "┏" in text
    assert " B2 off " in text


def test_a_picked_seam_and_held_seams_are_told_by_signs() -> None:
    job = replace(JOB, pins=(Pin("x", 168.0, 120.0),), nudges=(Nudge("B1|B2", 1.0),))
    text = "\n".join(drawn(scene_of(grid_2x3(), job=job, picked=Picked(seam="A2|A3"))))
    assert (text.count("◆"), text.count("◇")) == (1, 1)
    assert "║" in text


def test_creases_are_dashed_and_check_points_named() -> None:
    job = replace(JOB, check_points=(CheckPoint("code", Point(60, 60)),))
    folds = (
        Fold((Point(100, 20), Point(100, 200)), is_cut=False),
        Fold((Point(10, 10), Point(60, 40)), is_cut=False),
    )
    text = "\n".join(drawn(scene_of(one_tile(), job=job, folds=folds)))
    assert "╎" in text
    assert "·" in text
    assert "✕ code " in text


def test_without_colours_all_marks_are_plain() -> None:
    scene = scene_of(grid_2x3(), picked=Picked(tile="A1"), plain=True)
    assert "".join(drawn(scene)).isascii()


def test_unprinted_tiles_are_dim_and_lightening_is_shown() -> None:
    plan = grid_2x3()
    view = Viewport.whole(78, 36, plan.flat)
    black = np.zeros((72, 78, 3), dtype=np.uint8)
    scene = scene_of(plan, job=replace(JOB, lighten=0.5), printed=frozenset({"A1"}))
    points = shaded(black, scene, view, (200, 200, 200))

    def at(x: float, y: float) -> int:
        column, row = (int(value) for value in view.point(x, y))
        return int(points[row, column, 0])

    assert at(50, 50) == 127
    assert 100 < at(400, 300) < 200
    assert points[0, 0, 0] == 0


def test_a_cut_is_painted_into_the_picture() -> None:
    view = Viewport.whole(40, 20, Size(100, 100))
    found = cut_points([Fold((Point(0, 0), Point(100, 100)), is_cut=True)], view)
    rows, columns = {row for row, _ in found}, {column for _, column in found}
    assert len(rows) > 20
    assert len(columns) > 20
    assert cut_points([Fold((Point(0, 0), Point(100, 100)), is_cut=False)], view) == ()


def test_a_cell_shows_two_points() -> None:
    points = np.zeros((2, 2, 3), dtype=np.uint8)
    points[0, 0] = 252
    (strip,) = paint(points, {}, palette_of(MAT.variables))
    first, second = list(strip)
    assert (first.text, second.text) == ("▀", " ")
    assert first.style is not None
    assert first.style.color is not None
    assert first.style.color.triplet == (252, 252, 252)


def test_without_colours_darker_is_denser() -> None:
    points = np.zeros((2, 3, 3), dtype=np.uint8)
    points[:, 0], points[:, 1] = 255, 128
    (strip,) = paint_plain(points, {(0, 2): Glyph("A", "label")})
    assert strip.text[0] == " "
    assert strip.text[1] not in " @"
    assert strip.text[2] == "A"


class Camera:
    """Renders a page whose left half is black, and counts."""

    def __init__(self) -> None:
        self.shots: list[tuple[Rect, float]] = []

    def render(self, window: Rect, density: float) -> Image.Image:
        self.shots.append((window, density))
        width, height = round(window.width * density), round(window.height * density)
        picture = Image.new("RGB", (width, height), "white")
        edge = round((50 - window.x) * density)
        if edge > 0:
            picture.paste((0, 0, 0), (0, 0, min(edge, width), height))
        return picture


def test_pictures_are_rendered_once_for_each_enlargement() -> None:
    camera, page = Camera(), Size(100, 80)
    store = PixelStore(camera.render, Rect(0, 0, *page))
    view = Viewport.whole(40, 20, page)
    assert store.cut(view, GROUND) is None
    wish = store.wish(view)
    assert wish is not None
    store.make(wish, lambda: False)
    assert store.wish(view) is None
    assert store.wish(view.panned(3, 3)) is None
    near = view.zoomed(2)
    assert store.wish(near) is not None
    assert store.cut(near, GROUND) is not None
    assert len(camera.shots) == 1


def test_a_picture_that_is_there_is_not_rendered_again() -> None:
    camera = Camera()
    store = PixelStore(camera.render, Rect(0, 0, 100, 80))
    wish = store.wish(Viewport.whole(40, 20, Size(100, 80)))
    assert wish is not None
    store.make(wish, lambda: False)
    store.make(wish, lambda: False)
    assert len(camera.shots) == 1


def test_a_picture_called_off_is_not_rendered() -> None:
    camera = Camera()
    store = PixelStore(camera.render, Rect(0, 0, 100, 80))
    wish = store.wish(Viewport.whole(40, 20, Size(100, 80)))
    assert wish is not None
    store.make(wish, lambda: True)
    assert camera.shots == []


@pytest.mark.parametrize("zoom", [0, 1, 3, 9])
def test_the_cut_shows_the_right_place(zoom: int) -> None:
    camera, page = Camera(), Size(100, 80)
    store = PixelStore(camera.render, Rect(0, 0, *page))
    view = Viewport.whole(40, 20, page).zoomed(zoom)
    wish = store.wish(view)
    assert wish is not None
    store.make(wish, lambda: False)
    points = store.cut(view, GROUND)
    assert points is not None
    column = int(view.point(50, 40)[0])
    middle = points[20]
    assert middle[column - 2].max() < 60
    assert middle[column + 2].min() > 195
    if zoom == 0:
        assert tuple(points[0, 0]) == GROUND
    assert all(rect.width * density < 4000 for rect, density in camera.shots)
