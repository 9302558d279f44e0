"""What is drawn over the flat: faces, seams, labels, creases, dimensions. Pure; cells come out.

Millimetres of the plan are on paper, the picture shows the flat at true size; ``1 / scale`` leads from one
to the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tiler.geometry import Point, Rect, Size
from tiler.job import CheckPoint, Job
from tiler.plan.request import Forbidden
from tiler.plan.tile import Plan, Seam, Tile
from tiler.tui.picking import NOTHING, Picked, is_nudged, pin_of, seam_name
from tiler.tui.pixels import Points
from tiler.tui.strokes import Glyph, Role, Strokes
from tiler.tui.structure_facts import Fold
from tiler.tui.viewport import Viewport
from tiler.units import format_number

DIM = 0.72
"""Share of the ground laid over what is not printed."""

BADGE_ROOM = 5
"""Cells a face must be wide to carry its label."""


@dataclass(frozen=True)
class Scene:
    """All that the picture of the flat shows."""

    flat: Size
    """True size, mm."""
    plan: Plan | None = None
    job: Job | None = None
    printed: frozenset[str] = frozenset()
    picked: Picked = NOTHING
    folds: tuple[Fold, ...] = ()
    plain: bool = False
    """True where the terminal shall show no colours and plain characters."""


def overlay(scene: Scene, view: Viewport) -> dict[tuple[int, int], Glyph]:
    """Every mark with its cell (row, column)."""
    strokes = Strokes(view.rows, view.columns, scene.plain)
    _draw_folds(strokes, scene, view)
    if scene.plan is not None and scene.job is not None:
        _draw_tiles(strokes, scene, scene.plan, scene.job, view)
        for point in scene.job.check_points:
            _draw_check_point(strokes, point, view, scene.plain)
        _draw_dimensions(strokes, scene.flat, scene.plan.flat, view)
        for stretch in scene.job.forbidden:
            _draw_forbidden(strokes, stretch, scene.job.scale, view)
    return strokes.glyphs()


def shaded(points: Points, scene: Scene, view: Viewport, ground: tuple[int, int, int]) -> Points:
    """The picture as it will be seen: lightened where asked, and dim where nothing is printed."""
    plan, job = scene.plan, scene.job
    if plan is None or job is None:
        return points
    kept = np.zeros(points.shape[:2], dtype=bool)
    for tile in plan.tiles:
        if tile.label in scene.printed:
            left, top, right, bottom = _point_box(view, tile.face.scaled(1 / job.scale))
            kept[max(top, 0) : max(bottom, 0), max(left, 0) : max(right, 0)] = True
    on_flat = np.zeros_like(kept)
    left, top, right, bottom = _point_box(view, Rect(0, 0, *scene.flat))
    on_flat[max(top, 0) : max(bottom, 0), max(left, 0) : max(right, 0)] = True
    result = points.astype(np.float32)
    if job.lighten:
        result[kept] += (255 - result[kept]) * job.lighten
    dim = on_flat & ~kept
    result[dim] += (np.array(ground, dtype=np.float32) - result[dim]) * DIM
    return result.astype(np.uint8)


def _point_box(view: Viewport, rect: Rect) -> tuple[int, int, int, int]:
    left, top = view.point(rect.x, rect.y)
    right, bottom = view.point(rect.right, rect.bottom)
    return round(left), round(top), round(right), round(bottom)


def _cells(view: Viewport, rect: Rect, flat: Size) -> tuple[int, int, int, int]:
    """Top, left, bottom and right cell of a rectangle's lines, none of them outside the flat."""
    top, left = view.cell(rect.x, rect.y)
    bottom, right = _last_cell(view, rect.right, rect.bottom, flat)
    return top, left, bottom, right


def _last_cell(view: Viewport, x: float, y: float, flat: Size) -> tuple[int, int]:
    """The cell of a line's lower or right end; at the flat's edge the last cell that holds some of it."""
    row, column = view.cell(x, y)
    across, down = view.point(*flat)
    return min(row, math.ceil(down / 2 - 0.6) - 1), min(column, math.ceil(across - 0.5) - 1)


def _draw_tiles(strokes: Strokes, scene: Scene, plan: Plan, job: Job, view: Viewport) -> None:
    factor = 1 / job.scale
    for seam in plan.seams:
        _draw_seam(strokes, seam, scene.flat, view, factor, is_picked=False)
    for tile in plan.tiles:
        if tile.label == scene.picked.tile:
            _draw_picked(strokes, tile, scene, view, factor)
    for seam in plan.seams:
        if seam_name(seam) == scene.picked.seam:
            _draw_seam(strokes, seam, scene.flat, view, factor, is_picked=True)
        _draw_holder(strokes, seam, job, view, factor, scene.plain)
    for tile in plan.tiles:
        _draw_label(strokes, tile, scene, view, factor)


def _draw_picked(strokes: Strokes, tile: Tile, scene: Scene, view: Viewport, factor: float) -> None:
    """A heavy line round the face, and a broken one round all that its sheet prints."""
    top, left, bottom, right = _cells(view, tile.window.scaled(factor), scene.flat)
    strokes.box(top, left, bottom, right, "dashed", "tab")
    strokes.box(*_cells(view, tile.face.scaled(factor), scene.flat), "heavy", "picked")


def _draw_seam(
    strokes: Strokes, seam: Seam, flat: Size, view: Viewport, factor: float, is_picked: bool
) -> None:
    start = view.cell(seam.start.x * factor, seam.start.y * factor)
    end = _last_cell(view, seam.end.x * factor, seam.end.y * factor, flat)
    role: Role = "picked" if is_picked else "seam"
    if seam.is_upright:
        strokes.upright(start[1], start[0], end[0], "double" if is_picked else "light", role)
    else:
        strokes.level(start[0], start[1], end[1], "double" if is_picked else "light", role)


def _draw_holder(strokes: Strokes, seam: Seam, job: Job, view: Viewport, factor: float, plain: bool) -> None:
    """A sign in the middle of a seam that is pinned or was moved by hand."""
    is_pinned = pin_of(job, seam) is not None
    if not is_pinned and not is_nudged(job, seam):
        return
    middle = Point((seam.start.x + seam.end.x) / 2, (seam.start.y + seam.end.y) / 2)
    row, column = view.cell(middle.x * factor, middle.y * factor)
    sign = ("P" if is_pinned else "M") if plain else ("◆" if is_pinned else "◇")
    strokes.put(row, column, sign, "mark")


def _draw_label(strokes: Strokes, tile: Tile, scene: Scene, view: Viewport, factor: float) -> None:
    """The tile's name in the middle of what can be seen of its face."""
    seen = tile.face.scaled(factor).intersection(view.window)
    if seen.is_empty:
        return
    text = f" {tile.label} " if tile.label in scene.printed else f" {tile.label} off "
    if tile.label == scene.picked.tile:
        text = f"[{text.strip()}]" if scene.plain else f" ▸{text.strip()}◂ "
    row, middle = view.cell(*seen.centre)
    if seen.width * view.density < max(BADGE_ROOM, len(text)):
        text = tile.label
    strokes.word(row, middle - len(text) // 2, text, "picked" if tile.label == scene.picked.tile else "label")


def _draw_check_point(strokes: Strokes, point: CheckPoint, view: Viewport, plain: bool) -> None:
    row, column = view.cell(*point.at)
    strokes.put(row, column, "X" if plain else "✕", "mark")
    strokes.word(row, column + 1, f" {point.name} ", "label")


def _draw_forbidden(strokes: Strokes, stretch: Forbidden, scale: float, view: Viewport) -> None:
    """A heavy line beside the flat, along the stretch where no seam may lie."""
    start, end = stretch.start / scale, stretch.end / scale
    (top, left), (bottom, right) = view.cell(0, 0), view.cell(end, end)
    if stretch.axis == "x":
        strokes.level(max(0, top - 1), view.cell(start, 0)[1], right, "heavy", "mark")
    else:
        strokes.upright(max(0, left - 1), view.cell(0, start)[0], bottom, "heavy", "mark")


def _draw_folds(strokes: Strokes, scene: Scene, view: Viewport) -> None:
    """Creases dashed, along the axes as lines, otherwise as dots; cuts are painted into the picture."""
    for fold in scene.folds:
        if fold.is_cut:
            continue
        for a, b in pairwise(fold.points):
            (row_a, column_a), (row_b, column_b) = (_last_cell(view, *place, scene.flat) for place in (a, b))
            if column_a == column_b:
                strokes.upright(column_a, min(row_a, row_b), max(row_a, row_b), "dashed", "crease")
            elif row_a == row_b:
                strokes.level(row_a, min(column_a, column_b), max(column_a, column_b), "dashed", "crease")
            else:
                for row, column in _between((row_a, column_a), (row_b, column_b)):
                    strokes.put(row, column, "." if scene.plain else "·", "crease")


def cut_points(folds: Iterable[Fold], view: Viewport) -> tuple[tuple[int, int], ...]:
    """Picture points (row, column) that the cut lines run through."""
    found: dict[tuple[int, int], None] = {}
    for fold in folds:
        if not fold.is_cut:
            continue
        for a, b in pairwise(fold.points):
            (x1, y1), (x2, y2) = view.point(*a), view.point(*b)
            for row, column in _between((int(y1 // 1), int(x1 // 1)), (int(y2 // 1), int(x2 // 1))):
                if 0 <= row < view.rows * 2 and 0 <= column < view.columns:
                    found[row, column] = None
    return tuple(found)


def _between(start: tuple[int, int], end: tuple[int, int]) -> Iterable[tuple[int, int]]:
    """Grid places along a straight line."""
    steps = min(4000, max(abs(end[0] - start[0]), abs(end[1] - start[1])))
    for step in range(steps + 1):
        share = step / steps if steps else 0.0
        yield (
            round(start[0] + (end[0] - start[0]) * share),
            round(start[1] + (end[1] - start[1]) * share),
        )


def _draw_dimensions(strokes: Strokes, flat: Size, paper: Size, view: Viewport) -> None:
    """Overall width above and height to the left, as on a drawing; only where the whole flat shows."""
    if view.zoom > 1:
        return
    top, left = view.cell(0, 0)
    bottom, right = view.cell(flat.width, flat.height)
    row, column = top - 2, left - 3
    if row >= 0:
        _ruled(strokes, row, left, right - 1, f" {format_number(paper.width)} mm ")
    if column >= 0:
        strokes.upright(column, top, bottom - 1, "light", "quiet")
        ends = ("+", "+") if strokes.plain else ("┬", "┴")
        strokes.put(top, column, ends[0], "quiet")
        strokes.put(bottom - 1, column, ends[1], "quiet")
        text = format_number(paper.height)
        strokes.word((top + bottom) // 2, max(0, column - len(text) // 2), text, "quiet")


def _ruled(strokes: Strokes, row: int, left: int, right: int, text: str) -> None:
    strokes.level(row, left, right, "light", "quiet")
    ends = ("+", "+") if strokes.plain else ("├", "┤")
    strokes.put(row, left, ends[0], "quiet")
    strokes.put(row, right, ends[1], "quiet")
    strokes.word(row, (left + right - len(text)) // 2 + 1, text, "quiet")
