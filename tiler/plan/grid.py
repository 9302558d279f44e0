"""The plain grid: one size of face for all rows and columns, blank cells left out.

::

    A1 | A2 | .        a cell without anything to cover is not printed and is no neighbour,
    ---+----+---       but its place in the numbering stays
    B1 | B2 | B3
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tiler.geometry import Rect
from tiler.plan.build import Face, build_plan
from tiler.plan.chain import Fees
from tiler.plan.place import Task, place
from tiler.plan.refuse import check_rules, no_plan
from tiler.plan.region import Span
from tiler.plan.request import LEAST_FACE, Axis, PlanRequest, check_request
from tiler.plan.space import rule_of
from tiler.plan.tile import ALLOWANCE, EDGE_BAND, Plan, tile_label


@dataclass(frozen=True)
class Grid:
    """Lines of a grid and the cells that are printed."""

    landscape: bool
    """How all sheets lie."""
    columns: tuple[float, ...]
    """Edges of the columns from left to right, mm."""
    rows: tuple[float, ...]
    """Edges of the rows from top to bottom, mm."""
    cells: tuple[tuple[int, int], ...]
    """Row and column of each printed cell."""

    def cell(self, row: int, column: int) -> Rect:
        """The face of a cell, mm."""
        return Rect.between(
            self.columns[column], self.rows[row], self.columns[column + 1], self.rows[row + 1]
        )

    @property
    def unevenness(self) -> float:
        """How far the first face is from a square, as the ratio of its sides; 1 is square."""
        face = self.cell(0, 0)
        return max(face.width, face.height) / min(face.width, face.height)


def plan_grid(request: PlanRequest) -> Plan:
    """The plain grid with the fewest sheets; among equals the one with the rounder tiles.

    Raises:
        PlanError: Paper and choices leave no room, or the rules for seams allow no grid.
    """
    check_request(request)
    check_rules(request)
    grid = best_grid(request)
    if grid is None:
        raise no_plan(request)
    return build_plan(request, grid_faces(grid), "grid", "across", len(grid.cells))


def grid_faces(grid: Grid) -> list[Face]:
    """The printed cells as faces; a row is a strip."""
    faces, order, last_row = [], 0, -1
    for row, column in grid.cells:
        order = 0 if row != last_row else order + 1
        last_row = row
        faces.append(Face(tile_label(row, column), row, order, grid.cell(row, column), grid.landscape))
    return faces


def best_grid(request: PlanRequest) -> Grid | None:
    """The grid with the fewest sheets, then the rounder tiles; None if the rules allow none."""
    grids = [grid for grid in (lay_grid(request, way) for way in request.orientations) if grid]
    return min(
        grids, key=lambda grid: (len(grid.cells), round(grid.unevenness, 6), grid.landscape), default=None
    )


def lay_grid(request: PlanRequest, landscape: bool) -> Grid | None:
    """The grid of sheets that lie one way."""
    extent, area = request.region.extent, request.printable(landscape)
    columns = _lines((extent.x, extent.right), area.width, request, "x")
    rows = _lines((extent.y, extent.bottom), area.height, request, "y")
    if not columns or not rows:
        return None
    grid = Grid(landscape, columns, rows, ())
    cells = tuple(
        (row, column)
        for row in range(len(rows) - 1)
        for column in range(len(columns) - 1)
        if request.region.touches(grid.cell(row, column))
    )
    return Grid(landscape, columns, rows, cells)


def _lines(extent: Span, room: float, request: PlanRequest, axis: Axis) -> tuple[float, ...]:
    """Edges of rows or columns; as even as the rules for seams allow, empty when they allow none."""
    rule = rule_of(request, axis)
    if not rule.pins and not rule.forbidden:
        return even_lines(*extent, room, request.tab)
    task = Task((extent,), room, Fees.of(request.tab), rule, (LEAST_FACE,))
    _, faces = place(task, lambda places: np.zeros(len(places)))
    return (extent[0], *(end for _, end in faces)) if faces else ()


def even_lines(start: float, end: float, room: float, tab: float) -> tuple[float, ...]:
    """Divide a stretch into the fewest faces that fit, as even as the outer ones allow.

    A face with neighbours on both sides has ``room`` less a cut allowance and a glue tab; the first one needs
    no allowance and the last one only the edge band.

    Args:
        start: Where the first face begins, mm.
        end: Where the last face ends, mm.
        room: Printable length, mm.
        tab: Paper beyond an edge with a neighbour, mm.
    """
    count = 1
    while sum(_limits(count, room, tab)) < end - start - 1e-9:
        count += 1
    lines, left = [start], end - start
    limits = _limits(count, room, tab)
    sizes = [0.0] * count
    for done, index in enumerate(sorted(range(count), key=lambda i: limits[i])):
        sizes[index] = min(limits[index], left / (count - done))
        left -= sizes[index]
    for size in sizes[:-1]:
        lines.append(lines[-1] + size)
    return (*lines, end)


def _limits(count: int, room: float, tab: float) -> list[float]:
    """The largest face at each place of a row of ``count``, mm."""
    if count == 1:
        return [room - EDGE_BAND]
    middle = [room - ALLOWANCE - tab] * (count - 2)
    return [room - tab, *middle, room - ALLOWANCE - EDGE_BAND]
